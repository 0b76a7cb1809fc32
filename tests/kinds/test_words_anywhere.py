"""What holds for every note, whatever stands in it."""

import re

from asked_kit import combined
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.kinds.each.abbreviation import Abbreviation
from recall.kinds.each.consequence import Consequence
from recall.kinds.each.interlock import Interlock
from recall.kinds.each.question import Question
from recall.kinds.kind import Kind
from recall.kinds.model import Scope
from recall.kinds.reader import read_points
from recall.notes.reader import read_note

KINDS: tuple[Kind, ...] = (Abbreviation(), Interlock(), Consequence(), Question())
HEADERS = [
    "Abbreviation", "Meaning", "Acronym", "Term", "Role", "If", "Then", "Action", "Cause", "Condition", "Failure",
    "Component", "Function", "System", "Inhibited when", "Requires", "Override", "Why", "Source", "Notes", "",
]  # fmt: skip
WORDS = [
    "APU",
    "N1",
    "pump",
    "fails",
    "not",
    "bus A",
    "-",
    "TBD",
    "; ",
    "<br>",
    "**",
    "`",
    "(a)",
    "5 A",
    "“",
    "→",
    "If",
    ",",
]
CELL = st.lists(st.sampled_from(WORDS), max_size=5).map(" ".join)
ROW = st.lists(CELL, min_size=1, max_size=5).map(lambda cells: "| " + " | ".join(cells) + " |")
LINE = st.one_of(
    CELL.map("- ".__add__),
    st.tuples(CELL, st.sampled_from([":", " – ", " = ", " causes ", " cannot run unless "]), CELL).map(
        lambda parts: "- " + "".join(parts)
    ),
    CELL.map(lambda text: f"## {text}?"),
    CELL,
    st.just(""),
)
TABLE = st.lists(st.sampled_from(HEADERS), min_size=2, max_size=5).flatmap(
    lambda names: st.lists(ROW, max_size=4).map(
        lambda rows: "\n".join(["", "| " + " | ".join(names) + " |", "|" + "---|" * len(names), *rows, ""])
    )
)
NOTE = st.lists(st.one_of(TABLE, LINE), max_size=6).map("\n".join)


def letters(text: str) -> str:
    """Letters and digits alone, markup and punctuation gone."""
    return re.sub(r"[\W_]|(?<=<)br(?=>)", "", text).casefold()


@settings(max_examples=200, deadline=None)
@given(NOTE)
def test_answers_come_from_the_note(text):
    """No note stops the reader; each answer's letters stand in the note, and its line is a line of the note."""
    note, _ = read_note(text, "note.md")
    points, findings = read_points(note, KINDS, {}, Scope())
    material, told = combined(points, KINDS)
    source = letters(text)

    for card in (card for asked in material.asked for card in asked.cards):
        assert all(
            letters(part) in source for answer in card.answer.texts for part in re.split(r"[;,]", answer)
        )
        assert 1 <= card.line <= len(text.splitlines())
    assert all(1 <= said.place.line <= max(1, len(text.splitlines())) for said in [*findings, *told])


@settings(max_examples=100, deadline=None)
@given(NOTE)
def test_no_question_says_its_answer(text):
    """A question's prompt never holds the whole of a longer answer."""
    note, _ = read_note(text, "note.md")
    points, _ = read_points(note, KINDS, {}, Scope())

    for card in (card for asked in combined(points, KINDS)[0].asked for card in asked.cards):
        if card.kind != "question":
            assert not any(len(letters(answer)) > 8 and answer in card.prompt for answer in card.answer.texts)
