"""The lines of a note around a card, where the notes are on this machine."""

from pathlib import Path

from recall.base.errors import RecallError
from recall.kinds.model import Card
from recall.store import Store
from recall.store.places import places_of

AROUND = 3


def _published(root: Path, file: str) -> str:
    """The note where it was loaded from a published file, empty where it wasn't."""
    if root.suffix.lower() != ".zip" or not root.is_file():
        return ""
    from recall.publish.revision import lines_of

    return lines_of(root, file)


class SourceText:
    """Looks cards up in the folders that decks were loaded from."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def lines(self, card: Card) -> list[tuple[int, str]]:
        """The card's line with some around it, numbered; nothing where the note isn't here."""
        for place in places_of(self.store, card.deck):
            root = Path(place)
            file = root if root.is_file() else root / card.file
            try:
                if root.is_dir() and not file.resolve().is_relative_to(root.resolve()):
                    continue  # a link that leads out of the deck is never shown
                text = (_published(root, card.file) or file.read_text(encoding="utf-8-sig")).splitlines()
            except (OSError, UnicodeDecodeError, RecallError):
                continue
            first = max(1, card.line - AROUND)
            return list(enumerate(text[first - 1 : card.line + AROUND], first))
        return []
