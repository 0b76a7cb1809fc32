"""What goes into a store and what comes out of it every day."""

from datetime import date
from typing import TYPE_CHECKING, Literal

from recall.base.dataclass import dataclass
from recall.base.marks import Standing
from recall.schedule import Memory

if TYPE_CHECKING:
    from recall.kinds.model import Card

MarkedBy = Literal["program", "self", "examiner"]
Mode = Literal["daily", "plan", "oral"]


@dataclass(frozen=True, slots=True)
class Review:
    """One asked card with its answer. mark: 1 missed, 2 hesitant, 3 sure, 4 instant; right: what the program judged
    (None where it can't); overruled: the mark isn't the program's; seconds: to the first key, None unmeasured;
    given: what was typed; claimed: the person says that it was right though it was marked wrong; drawn: the card was
    drawn at random, whatever is known of it; sitting: id of the sitting that it was given in; of: how many questions
    that one puts, where that is fixed (an oral). day, deck and revision are filled in by the store where they are
    left out."""

    card: str
    answer_hash: str
    mark: int
    right: bool | None = None
    overruled: bool = False
    marked_by: MarkedBy = "program"
    seconds: float | None = None
    given: str = ""
    mode: Mode = "daily"
    claimed: bool = False
    drawn: bool = False
    sitting: str = ""
    of: int | None = None
    day: date | None = None
    deck: str = ""
    revision: str | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one card. due: the day to ask it again, None while unasked; fresh: its answer changed and it
    hasn't been asked since; asked, right: first answers of a day, counted under the present answer; first_day:
    of all its answers."""

    id: str
    deck: str
    point: str
    kind: str
    aspect: str
    topic: tuple[str, ...]
    critical: bool
    file: str
    line: int
    answer_hash: str
    standing: Standing
    memory: Memory | None
    due: date | None
    fresh: bool
    asked: int
    right: int
    first_day: date | None


@dataclass(frozen=True, slots=True)
class Was:
    """A card as it was before `revision`."""

    card: "Card"
    revision: str


@dataclass(frozen=True, slots=True)
class DayAhead:
    """One day's load. overdue: due before it (today only); due: with those missed on it and not right
    yet; unasked: how many would be asked for the first time."""

    date: date
    overdue: int
    due: int
    unasked: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Confusion:
    """One card's answer given for another's. card, other: card ids."""

    card: str
    other: str
    times: int
    last: date


@dataclass(frozen=True, slots=True)
class DeckInForce:
    """A deck as it is asked now. record: what its head says, as plain values; pending: the day on which a later
    revision comes into effect."""

    slug: str
    revision: str
    record: dict[str, object]
    cards: int
    pending: date | None
