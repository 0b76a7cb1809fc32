"""A note of limits, read without a deck."""

from asked_kit import combined

from recall.base.finding import Finding
from recall.kinds.each.limit import Limit
from recall.kinds.model import Card, Point, Scope
from recall.kinds.reader import read_points
from recall.notes.reader import read_note
from recall.quantity import comma_decimals

KIND = Limit()


def read_limits(text: str) -> tuple[list[Point], list[Card], list[Finding]]:
    """Points, cards and findings of a note, by the limit kind alone."""
    note, findings = read_note(text, "note.md")
    points, said = read_points(note, [KIND], {}, Scope(comma=comma_decimals(text.split("|"))))
    for point in points:
        point.fits = point.applies
    material, told = combined(points, [KIND])
    cards = [card for asked in material.live for card in asked.cards]
    return points, cards, [*findings, *said, *told]


def table(*rows: str) -> str:
    """A Markdown table from its header and rows, without outer bars."""
    bars = [f"| {row} |" for row in rows]
    return "\n".join(["# Engine", "", bars[0], "|" + "---|" * (rows[0].count("|") + 1), *bars[1:], ""])


def answers(text: str) -> dict[str, tuple[str, ...]]:
    """Prompt → answer of all cards but readings."""
    return {card.prompt: card.answer.texts for card in read_limits(text)[1] if card.answer.form != "reading"}


def rules(text: str) -> list[tuple[int, str]]:
    """Line and rule of each finding."""
    return [(said.place.line, said.rule) for said in read_limits(text)[2]]
