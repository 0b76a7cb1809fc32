"""Pictures of points where a deck was loaded from: a folder of notes, or a published file, in which they lie under
`pictures/` as they stand below the deck's folder, checksummed as all else."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.deck.pictures import in_card, picture_file, place_in, type_of
from recall.kinds.model import Card
from recall.publish.places import is_published
from recall.publish.revision import PICTURES, file_in
from recall.store import Store


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture that is shown with an answer. words: what it shows; type: its media type."""

    words: str
    path: str
    content: bytes
    type: str


def pictures_of(root: Path, note: str, extra: Sequence[tuple[str, str]]) -> Iterator[Picture]:
    """The pictures that a card or a point of a note names, of a deck that lies at a place; without those that aren't
    there or may not be shown."""
    for words, path in in_card(extra):
        with suppress(OSError, ValueError, RecallError):
            content = _content(root, note, path)
            yield Picture(words, path, content, type_of(path, content))


def pictures_here(store: Store, card: Card) -> list[Picture]:
    """The pictures that are shown with a card's answer, from the first place of its deck that has them."""
    found = (list(pictures_of(Path(place), card.file, card.extra)) for place in store.places(card.deck))
    return next(filter(None, found), [])


def _content(root: Path, note: str, path: str) -> bytes:
    if is_published(root):
        return file_in(root, f"{PICTURES}{place_in(note, path)}")
    return picture_file(root if root.is_dir() else root.parent, note, path)
