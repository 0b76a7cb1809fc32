"""A note read by all kinds, without the checks of a whole deck."""

from dataclasses import dataclass

from asked_kit import combined

from recall.base.finding import Finding
from recall.kinds.model import Card, Scope
from recall.kinds.reader import read_points, says_memory
from recall.kinds.registry import KINDS
from recall.notes.reader import read_note


@dataclass(frozen=True)
class Seen:
    """What came of a note."""

    cards: list[Card]
    findings: list[Finding]

    def of(self, kind: str) -> list[Card]:
        """The cards of one kind."""
        return [card for card in self.cards if card.kind == kind]

    def answers(self, aspect: str) -> list[tuple[str, ...]]:
        """The answers on one aspect."""
        return [card.answer.texts for card in self.cards if card.aspect == aspect]

    @property
    def order(self) -> tuple[str, ...]:
        """The steps of the only flow."""
        (steps,) = self.answers("order")
        return steps

    @property
    def recited(self) -> tuple[str, ...]:
        """The steps of the only memory item."""
        (steps,) = self.answers("recite")
        return steps

    @property
    def prompts(self) -> dict[str, tuple[str, ...]]:
        """Prompt → answer."""
        return {card.prompt: card.answer.texts for card in self.cards}

    @property
    def said(self) -> list[tuple[int, str]]:
        """Each finding's line and rule."""
        return sorted((found.place.line, found.rule) for found in self.findings)


def see(text: str, title: str = "") -> Seen:
    """Read a text. title: the record's, which may say that all is to be known without fail."""
    note, findings = read_note(text, "note.md")
    points, said = read_points(note, KINDS, {}, Scope(memory=says_memory(title)))
    material, told = combined(points, KINDS)
    cards = [card for asked in material.live for card in asked.cards]
    return Seen(cards, [*findings, *said, *told])


def table(headers: str, *rows: str, heading: str = "Electrical") -> str:
    """A Markdown table under a heading, without outer bars; its first row stands in line 5."""
    cut = "|".join("---" for _ in headers.split("|"))
    lines = "\n".join(f"| {line} |" for line in (headers, cut, *rows))
    return f"# {heading}\n\n{lines}\n"
