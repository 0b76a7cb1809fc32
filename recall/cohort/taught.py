"""What a class was taught: the cards of a deck, from the published files beside the hand-ins, or from the
notes."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.deck.model import Deck, Source
from recall.insight.weak import level_apart
from recall.kinds.model import Card
from recall.publish.asked import cards_of, whole_deck
from recall.publish.opening import decks_at
from recall.publish.places import is_published
from recall.publish.revision import read_notes, verified
from recall.store.loads import head_of
from recall.store.revisions import revision_key

Part = tuple[Deck, Mapping[str, Any]]
"""A deck, and its record as its load tells it."""


@dataclass(frozen=True, slots=True)
class Taught:
    """A deck as a class has it. record: as its load tells it; cards: those that are asked now; gone: those of
    earlier revisions; revisions: numbers, in order; source: where its notes are."""

    slug: str
    record: Mapping[str, Any]
    cards: tuple[Card, ...]
    gone: tuple[Card, ...]
    revisions: tuple[str, ...]
    source: Source

    @property
    def level(self) -> int:
        """How many headings from the top tell its systems apart."""
        return level_apart([card.topic or (card.deck,) for card in self.cards]) if self.cards else 1

    def place(self, card: Card) -> str:
        """The file of a card as a person finds it."""
        return self.source.named(card.file)


def taught(folder: Path, against: Path | None, today: date) -> list[Taught]:
    """The decks of a class, by the notes at `against`, or else by the newest published file in the folder.
    Raises RecallError where there is neither, and for a file that doesn't verify."""
    published = [_published(file, today) for file in sorted(folder.glob("*.zip")) if is_published(file)]
    noted = [] if against is None else list(map(_told, decks_at(str(against))))
    if not (published or noted):
        raise RecallError(
            f"nothing in `{folder}` says what the class was taught",
            "put the published file beside the hand-ins, or name the notes: --against PATH",
        )
    slugs = sorted({deck.record.deck for deck, _ in noted or published})
    return [
        _joined(
            slug, *([part for part in parts if part[0].record.deck == slug] for parts in (published, noted))
        )
        for slug in slugs
    ]


def _joined(slug: str, published: Sequence[Part], noted: Sequence[Part]) -> Taught:
    """The newest of several revisions (notes are newer than what was published), with the cards that only
    earlier ones have."""
    ordered = [*sorted(published, key=lambda part: revision_key(part[0].record.revision)), *noted]
    newest, record = ordered[-1]
    now = {card.id for card in newest.cards}
    gone = {card.id: card for deck, _ in ordered[:-1] for card in deck.cards if card.id not in now}
    revisions = dict.fromkeys(deck.record.revision for deck, _ in ordered if deck.record.revision)
    return Taught(slug, record, newest.cards, tuple(gone.values()), tuple(revisions), newest.source)


def _told(deck: Deck) -> Part:
    return deck, head_of(deck.record)["record"]


def _published(path: Path, today: date) -> Part:
    """The cards of a published file as they are asked, and its record."""
    found = verified(path)
    if (said := cards_of(found, today, lambda _: True)) is None:
        return _told(read_notes(found, today).deck)
    return whole_deck(said, found), said.fields["record"]
