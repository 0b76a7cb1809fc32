"""What the rarer requests of a store give back: loading, a card's life, merging, examining, tuning."""

from datetime import date, datetime
from typing import TYPE_CHECKING

from recall.base.dataclass import dataclass, field

if TYPE_CHECKING:
    from recall.deck.pairing import Renamed


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What a load did. new, changed, withdrawn, moved, renamed: points; dropped: points that the notes still have and
    another version of the program asked about; paused: cards that rest, since what they were read from can't be read;
    in_force: the revision now asked from, None while none has come into effect; waits: the day on which this one
    will, where that is ahead; proposals: renamings to accept with `carry`; recorded: False where nothing changed;
    other: ids of the cards of changed points that have another answer now, or are new."""

    deck: str
    revision: str
    points: int
    cards: int
    new: int = 0
    changed: int = 0
    withdrawn: int = 0
    moved: int = 0
    renamed: int = 0
    dropped: int = 0
    paused: int = 0
    in_force: str | None = None
    waits: date | None = None
    recorded: bool = True
    proposals: "tuple[Renamed, ...]" = field(default=())
    other: tuple[str, ...] = ()


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
class MergeReport:
    """What a merge brought: events and reviews that weren't here, and how many cards were replayed for them."""

    path: str
    events: int
    reviews: int
    cards: int


@dataclass(frozen=True, slots=True)
class WrongClock:
    """A run whose clock was wrong. seconds, days: to add to its events, below 0 where it was ahead; until: its last
    moment, as it was written."""

    writer: str
    seconds: float
    days: int
    events: int
    until: datetime


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the doctor saw. found: what it can't mend; mended: what was derived wrongly and is right now; clocks:
    corrections it proposes; backup: path of the newest backup, empty where there is none; rescue: what to do where
    the store is damaged; corrected: the corrections in force."""

    found: tuple[str, ...]
    mended: tuple[str, ...]
    clocks: tuple[WrongClock, ...]
    events: int
    cards: int
    backup: str
    rescue: str = ""
    corrected: tuple[WrongClock, ...] = ()

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
