"""Where decks are: a folder of notes, a lone note, or a published file."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from recall.base.dataclass import replace

if TYPE_CHECKING:
    from recall.base.finding import Finding
    from recall.deck.model import Deck, Source


def is_published(path: Path) -> bool:
    """Whether a path is to be taken for a published revision."""
    return path.suffix.lower() == ".zip" and path.is_file()


def read_all(path: Path, today: date | None = None) -> "Iterator[tuple[Deck, list[Finding]]]":
    """Every deck at a path, with its findings placed in files as they are shown to the person."""
    for deck, findings in _read(path, today):
        named = deck.source.named
        placed = [replace(said, place=replace(said.place, file=named(said.place.file))) for said in findings]
        yield deck, placed


def _read(path: Path, today: date | None) -> "Iterator[tuple[Deck, list[Finding]]]":
    if is_published(path):
        from recall.publish.revision import read_revision

        found = read_revision(path, today)
        yield found.deck, list(found.findings)
        return
    from recall.deck.read import read_deck
    from recall.deck.source import find_sources

    for source in find_sources(path):
        yield read_deck(source, today=today)


def source_at(place: Path) -> "Source":
    """The notes of a place itself, where others stand below it. RecallError where there are none."""
    from recall.deck.source import find_sources

    sources = find_sources(place)
    return next((source for source in sources if source.place == place.resolve()), sources[0])


def deck_at(place: Path) -> "Deck":
    """The deck of a place itself. RecallError where it can't be read."""
    if is_published(place):
        return next(_read(place, None))[0]
    from recall.deck.read import read_deck

    return read_deck(source_at(place))[0]
