"""What goes into a store and what comes out."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal

from recall.deck.changes import Renamed
from recall.schedule import Memory

Standing = Literal["unasked", "initial", "current", "requalifying"]
MarkedBy = Literal["program", "self", "examiner"]
Mode = Literal["daily", "plan", "oral"]


@dataclass(frozen=True, slots=True)
class Review:
    """One asked card with its answer. mark: 1 missed, 2 hesitant, 3 sure, 4 instant; right: what the program judged
    (None where it can't); overruled: the mark isn't the program's; seconds: to the first key, None unmeasured;
    given: what was typed. day, deck and revision are filled in by the store where they are left out."""

    card: str
    answer_hash: str
    mark: int
    right: bool | None = None
    overruled: bool = False
    marked_by: MarkedBy = "program"
    seconds: float | None = None
    given: str = ""
    mode: Mode = "daily"
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
    """What a card's answer was before `revision`."""

    answer: tuple[str, ...]
    revision: str


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What a load did. new, changed, withdrawn, moved: points; in_force: the revision now asked from, None while
    none has come into effect; proposals: renamings to accept with `carry`; recorded: False where nothing changed;
    other: ids of the cards of changed points that have another answer now, or are new."""

    deck: str
    revision: str
    points: int
    cards: int
    new: int = 0
    changed: int = 0
    withdrawn: int = 0
    moved: int = 0
    in_force: str | None = None
    recorded: bool = True
    proposals: tuple[Renamed, ...] = field(default=())
    other: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DayAhead:
    """One day's load. overdue: due before it (today only); unasked: how many would be asked for the first time."""

    date: date
    overdue: int
    due: int
    unasked: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a card's life. what: reviewed, undone, loaded, changed, withdrawn, back, moved; counts: whether the
    memory rests on it; holds, due: after it."""

    at: datetime
    day: date
    what: str
    event: str = ""
    mark: int | None = None
    right: bool | None = None
    given: str = ""
    seconds: float | None = None
    mode: str = ""
    counts: bool = False
    holds: float | None = None
    due: date | None = None
    revision: str = ""
    note: str = ""


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


@dataclass(frozen=True, slots=True)
class MergeReport:
    """What a merge brought: events and reviews that weren't here, and how many cards were replayed for them."""

    path: str
    events: int
    reviews: int
    cards: int


@dataclass(frozen=True, slots=True)
class WrongClock:
    """A run whose clock was ahead. seconds, days: to add to its events (negative); until: its last moment, as it
    was written."""

    writer: str
    seconds: float
    days: int
    events: int
    until: datetime


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the doctor saw. found: what it can't mend; mended: what was derived wrongly and is right now; clocks:
    corrections it proposes; backup: path of the newest backup, empty where there is none."""

    found: tuple[str, ...]
    mended: tuple[str, ...]
    clocks: tuple[WrongClock, ...]
    events: int
    cards: int
    backup: str

    @property
    def well(self) -> bool:
        """Whether there is nothing left to do."""
        return not self.found and not self.clocks


@dataclass(frozen=True, slots=True)
class Tuning:
    """An attempt to fit the memory model. answers: those on a later day than the one before, which it learns from;
    before, after: log loss on the held-out last fifth; adopted: whether the new parameters are in force."""

    answers: int
    held_out: int
    before: float
    after: float
    parameters: tuple[float, ...]
    adopted: bool
