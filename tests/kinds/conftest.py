"""A note read by the kinds whose answers are words, without a deck."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from asked_kit import combined

from recall.base.finding import Finding
from recall.kinds.each.abbreviation import Abbreviation
from recall.kinds.each.consequence import Consequence
from recall.kinds.each.interlock import Interlock
from recall.kinds.each.question import Question
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Scope
from recall.kinds.reader import read_points
from recall.notes.reader import read_note

KINDS: tuple[Kind, ...] = (Abbreviation(), Interlock(), Consequence(), Question())


@dataclass(frozen=True)
class Seen:
    """What came of a note."""

    cards: list[Card]
    findings: list[Finding]

    @property
    def lines(self) -> list[str]:
        """Each card as `aspect | prompt | answer`."""
        return [f"{card.aspect} | {card.prompt} | {'; '.join(card.answer.texts)}" for card in self.cards]

    @property
    def said(self) -> list[tuple[int, str]]:
        """Each finding's line and rule."""
        return sorted((found.place.line, found.rule) for found in self.findings)

    @property
    def letters(self) -> list[str]:
        """What the cards that ask for a meaning are about."""
        return [card.subject for card in self.cards if card.aspect == "meaning"]

    def answers(self, aspect: str) -> list[tuple[str, ...]]:
        """The answers on one aspect."""
        return [card.answer.texts for card in self.cards if card.aspect == aspect]


@pytest.fixture
def see() -> Callable[[str], Seen]:
    """Read a text: `see(text)`."""

    def read(text: str) -> Seen:
        note, findings = read_note(text, "note.md")
        points, said = read_points(note, KINDS, {}, Scope())
        material, told = combined(points, KINDS)
        cards = [card for asked in material.live for card in asked.cards]
        return Seen(cards, [*findings, *said, *told])

    return read
