"""The notes of a deck where they are on this machine: the lines around a card, a topic's page of the sheet."""

from collections.abc import Sequence
from pathlib import Path

from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.kinds.model import Card
from recall.publish.places import deck_at, is_published, source_at
from recall.session.helps import Notes
from recall.session.view import Line
from recall.store import Store

AROUND = 3


def notes_here(store: Store, deck: str) -> tuple[Path, str] | None:
    """Where the notes of a deck are on this machine, with a digest of them; None where they are gone."""
    from hashlib import sha256

    from recall.deck.source import notes_digest

    for place in store.places(deck):
        root = Path(place)
        try:
            if is_published(root):
                return root, sha256(root.read_bytes()).hexdigest()
            return root, notes_digest(source_at(root))
        except (OSError, RecallError):
            continue
    return None


def lines_at(root: Path, card: Card, last: int = 0) -> list[tuple[int, str]]:
    """A card's line with some around it, numbered; nothing where its note isn't at `root`, a folder, a lone note or a
    published file. last: the line down to which more is wanted."""
    file = root if root.is_file() else root / card.file
    try:
        if root.is_dir() and not file.resolve().is_relative_to(root.resolve()):
            return []  # a link that leads out of the deck is never shown
        if is_published(root):
            from recall.publish.revision import SOURCES, file_in

            content = file_in(root, f"{SOURCES}{card.file}")
        else:
            content = file.read_bytes()
        text = content.decode("utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError, RecallError):
        return []
    first = max(1, card.line - AROUND)
    return list(enumerate(text[first - 1 : max(card.line, last) + AROUND], first))


class SourceText(Notes):
    """Looks cards and topics up in the folders that decks were loaded from."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def lines(self, card: Card, last: int = 0) -> list[tuple[int, str]]:
        """As `lines_at`, from where the deck was loaded."""
        found = (lines_at(Path(place), card, last) for place in self.store.places(card.deck))
        return next(filter(None, found), [])

    def page(self, decks: Sequence[str], topic: str) -> list[Line]:
        """What the sheet says of a topic, read from the notes; a sentence where they aren't here."""
        from recall.deck.topics import in_topic
        from recall.publish.sheet import sheet_of
        from recall.publish.sheet_lines import sheet_lines

        found: list[Line] = []
        for place in (place for deck in self.store.decks() for place in self.store.places(deck.slug)):
            try:
                deck = deck_at(Path(place))
            except (OSError, RecallError):
                continue
            own = tuple(point for point in deck.points if in_topic(point.topic, topic))
            if own and (not decks or deck.record.deck in decks):
                found += sheet_lines(sheet_of(replace(deck, points=own)))
        return found or [Line("note", "The notes aren't on this machine.")]
