"""Reading decks for a command, with files named as the person named them."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from recall.base.finding import Finding
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.deck.source import find_sources


def read_all(path: Path, today: date | None = None) -> Iterator[tuple[Deck, list[Finding]]]:
    """Every deck at a path, published or not, with its findings placed in files as they are shown to the person."""
    if path.suffix.lower() == ".zip" and path.is_file():
        from recall.publish.revision import read_revision

        found = read_revision(path, today)
        read: Iterable[tuple[Deck, list[Finding]]] = [(found.deck, list(found.findings))]
    else:
        read = (read_deck(source, today=today) for source in find_sources(path))
    for deck, findings in read:
        named = deck.source.named
        yield (
            deck,
            [replace(said, place=replace(said.place, file=named(said.place.file))) for said in findings],
        )
