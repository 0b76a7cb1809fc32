"""A deck while it is read: what its notes say, what is asked of it so far, and what has been told."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding
from recall.base.text import shown
from recall.deck.model import Record, Source
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Point, digest, make_cards
from recall.notes.model import Note


@dataclass(slots=True)
class Asked:
    """A point with the cards it would make."""

    point: Point
    cards: list[Card]

    @property
    def answers(self) -> dict[str, str]:
        """Aspect, and its part where it has several → answer hash, of the aspects that can contradict one another."""
        return {self._asks(card): card.answer_hash for card in self.cards if not card.answer.drawn}

    def differs(self, later: "Asked") -> list[str]:
        """The aspects that both answer, and not alike."""
        answers = later.answers
        return [aspect for aspect, said in self.answers.items() if answers.get(aspect, said) != said]

    def answer_shown(self, aspect: str) -> str:
        """What it answers on an aspect, for a message."""
        return next((shown(card.answer.text) for card in self.cards if self._asks(card) == aspect), "")

    def _asks(self, card: Card) -> str:
        return card.aspect if card.condition == self.point.condition else f"{card.aspect} of {card.condition}"


@dataclass(slots=True)
class Material:
    """What each stage of reading a deck is given, adds to, and changes in place.

    points: as the notes say them; asked: every point with the cards it would make, once they are combined, and an
    error that a stage finds makes its point faulty; unread: files that couldn't be read; pieces: the words that a
    source is the digest of; kept: by a point's `id()`, where its cards are kept from reading to reading; near: card →
    the cards that it invites confusion with.
    """

    source: Source
    kinds: Sequence[Kind]
    today: date | None = None
    record: Record = field(default_factory=lambda: Record("deck"))
    notes: list[Note] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
    asked: list[Asked] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    pieces: dict[str, str] = field(default_factory=dict)
    kept: dict[int, tuple[dict[int, list[Card]], int]] = field(default_factory=dict)
    near: dict[str, list[str]] = field(default_factory=dict)

    @property
    def live(self) -> list[Asked]:
        """What no error stands against."""
        return [one for one in self.asked if not one.point.faulty]

    def cards_of(self, kind: Kind, point: Point) -> list[Card]:
        """The cards that a point makes by itself; none where an error stands against it."""
        if point.faulty:
            return []
        kept, at = self.kept.get(id(point), ({}, 0))
        if at not in kept:
            kept[at] = make_cards(point, kind.drafts(point), self.record.deck)
        return list(kept[at])

    def source_of(self, sources: Iterable[str]) -> str:
        """The source of what is made of several."""
        sources = tuple(sources)
        whole = digest(sources)
        self.pieces[whole] = "\n".join(self.pieces.get(one, "") for one in sources)
        return whole


Stage = Callable[[Material], Iterable[Finding]]
"""One thing that is done with a whole deck; it gives what it finds."""
