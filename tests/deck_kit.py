"""A deck on disk for tests: its notes as texts by name."""

from datetime import date
from pathlib import Path

from recall.base.finding import Finding
from recall.deck.model import Deck
from recall.deck.read import read_deck

TODAY = date(2026, 11, 24)


def deck_of(folder: Path, text: str = "", **notes: str) -> tuple[Deck, list[Finding]]:
    """The deck of one `note.md`, or of several notes: `deck_of(folder, deck=…, fuel=…)`."""
    for name, words in ({"note": text} if text else notes).items():
        (folder / f"{name}.md").write_text(words, encoding="utf-8")
    return read_deck(folder, today=TODAY)


def said(findings: list[Finding], *rules: str) -> list[tuple[str, int, str]]:
    """File, line and rule of each finding, of some rules or of all."""
    return [
        (found.place.file, found.place.line, found.rule)
        for found in findings
        if not rules or found.rule in rules
    ]
