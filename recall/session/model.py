"""What the review engine deals in, and what it asks of the store."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from recall.answers import Verdict
from recall.base.marks import Mark
from recall.kinds.model import Card

Mode = Literal["daily", "plan", "oral"]
MarkedBy = Literal["program", "self", "examiner"]


@dataclass(frozen=True, slots=True)
class Was:
    """What the answer was before a revision changed it."""

    answer: tuple[str, ...]
    revision: str
    same_as_given: bool = False
    """The person answered with the old value."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A review as the engine hands it over to be kept. right: what came of the answer, whatever mark it was given."""

    card: Card
    mark: Mark
    right: bool
    given: str
    seconds: float | None
    overruled: bool = False
    marked_by: MarkedBy = "program"
    mode: Mode = "daily"


class Reviews(Protocol):
    """What the engine asks of the store."""

    def card(self, card: str) -> Card:
        """The card as its deck has it today."""
        ...

    def keep(self, answered: Answered) -> str:
        """Keep a review, durable when it returns; its event's id."""
        ...

    def take_back(self, event: str) -> None:
        """Undo the review of that event."""
        ...

    def pace(self, kind: str) -> Sequence[float]:
        """The person's seconds for right answers of a kind, latest ones."""
        ...

    def knows(self, deck: str, word: str) -> bool:
        """Whether a word, case folded, stands in the deck."""
        ...

    def confused_with(self, card: Card, given: str) -> Card | None:
        """The card whose right answer was given instead."""
        ...

    def was(self, card: Card, given: str) -> Was | None:
        """The answer before the last revision that changed it, where this is the first asking since."""
        ...

    def remark(self, card: Card) -> str:
        """The student's own remark, empty where there is none."""
        ...


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of an answer. returns: the card comes back in this session."""

    card: Card
    given: str
    verdict: Verdict
    mark: Mark
    proposed: Mark
    overruled: bool
    returns: bool
    was: Was | None = None
    confused: Card | None = None
    remark: str = ""
    capped: bool = False
    """The person asked for a better mark than a critical point allows."""


@dataclass(frozen=True, slots=True)
class Progress:
    """put: questions answered; left: still to come; seconds: the time left, by the pace so far."""

    put: int
    left: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Summary:
    """What a session brought. learned: cards right for the first time; missed: cards missed at least once, with
    whether they were right in the end."""

    answers: int
    right: int
    cards: int
    seconds: float
    learned: tuple[Card, ...]
    missed: tuple[tuple[Card, bool], ...]
