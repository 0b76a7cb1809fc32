"""Reading decks for a command, with files named as the person named them."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from recall.base.finding import Finding
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.deck.source import find_sources


def read_all(path: Path, today: date | None = None) -> Iterator[tuple[Deck, list[Finding]]]:
    """Every deck at a path, with its findings placed in files as they are shown to the person."""
    for source in find_sources(path):
        deck, findings = read_deck(source, today=today)
        yield (
            deck,
            [
                replace(said, place=replace(said.place, file=source.named(said.place.file)))
                for said in findings
            ],
        )
