"""Each piece of a note has one fate, and each number of a cell that is read is asked or shown."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import ClassVar

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from recall.kinds.fates import ENDINGS, Account, Fate, fates_of
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Point, Read, Scope
from recall.kinds.reader import read_points
from recall.kinds.registry import KINDS
from recall.notes.model import Block, Definitions, Heading, List, Note, Paragraph, Table
from recall.notes.reader import read_note

TOP = Path(__file__).parents[2]
NOTES = [*sorted((TOP / "decks").rglob("*.md")), *sorted((TOP / "tests" / "cases").glob("*.md"))]
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
Seen = tuple[Note, list[Fate], list[Point]]
"""A note, its fates and its points."""


def read(text: str, kinds: Sequence[Kind] = KINDS) -> Seen:
    """What is seen of a text."""
    note, _ = read_note(text, "note.md")
    accounts: list[Account] = []
    points, _ = read_points(note, kinds, {}, Scope(), accounts)
    return note, fates_of(accounts), points


def pieces(blocks: Sequence[Block]) -> Iterator[tuple[int, str]]:
    """Line and sort of each piece that says something, counted without the reader."""
    for block in blocks:
        if isinstance(block, Heading):
            yield block.text.place.line, "heading"
        elif isinstance(block, Paragraph):
            yield block.text.place.line, "paragraph"
        elif isinstance(block, Table):
            for row in block.rows:
                yield from ((cell.place.line, "cell") for cell in row.cells if cell)
        elif isinstance(block, List):
            for item in block.items:
                yield item.text.place.line, "item"
                yield from pieces([below for below in item.below if isinstance(below, List | Table)])
        elif isinstance(block, Definitions):
            yield from ((entry.term.place.line, "definition") for entry in block.entries)
        else:
            yield block.place.line, "code"


def without_a_fate(seen: Seen) -> Counter[tuple[int, str]]:
    """Pieces of a note that have no fate."""
    note, fates, _ = seen
    return Counter(set(pieces(note.blocks))) - Counter({(fate.place.line, fate.piece) for fate in fates})


def said_twice(seen: Seen) -> list[tuple[int, int, str]]:
    """Pieces of a note that have several fates, or none of the four."""
    fates = seen[1]
    places = Counter((fate.place.line, fate.place.column, fate.piece) for fate in fates)
    lost = [fate for fate in fates if fate.fate not in ENDINGS or (fate.fate == "told" and not fate.why)]
    return [place for place, times in places.items() if times > 1] + [
        (fate.place.line, fate.place.column, fate.piece) for fate in lost
    ]


def _shown(point: Point) -> str:
    """All that a point's cards say or show, in one text."""
    words = [point.subject, point.condition, point.applies, point.cite, point.why, point.id, *point.topic]
    words += [part for parts in point.fields.values() for part in parts]
    words += [amount.text for amount in point.amounts.values()]
    words += [f"{header} {said}" for header, said in point.extra]
    words += [*point.wording.values(), *map(_shown, point.parts)]
    return " ".join(words)


def numbers_lost(seen: Seen) -> list[tuple[int, str]]:
    """Numbers of cells and items that are read, which stand in no point of their line."""
    _, fates, points = seen
    said: dict[int, str] = {}
    for point in points:
        for line in {point.place.line} | {part.place.line for part in point.parts}:
            said[line] = said.get(line, "") + " " + _shown(point)
    return [
        (fate.place.line, number)
        for fate in fates
        if fate.piece in ("cell", "item") and fate.fate in ("asked", "shown") and fate.place.line in said
        for number in _NUMBER.findall(re.sub(r"\[\^\w+\]|\{#.*\}", "", fate.words))
        if number not in said[fate.place.line]
    ]


@pytest.mark.parametrize("path", NOTES, ids=lambda path: path.stem)
def test_every_note_of_the_repository_is_accounted_for(path: Path) -> None:
    """Each piece has a fate, none has two, and no number of a cell that is read is lost."""
    seen = read(path.read_text(encoding="utf-8"))

    assert (Counter(), [], []) == (without_a_fate(seen), said_twice(seen), numbers_lost(seen))


_CELL = st.sampled_from(
    ["", "-", "12", "12 V", "3 to 5 bar", "25 (15 wet)", "Pump", "Bus A, Bus B", '"', "stuck open", "OFF", "TBD",
     "40 °C", "5 min", "APU", "auxiliary power unit", "if below 3 V", "Takeoff", "x → y", "100 % (110 for 5 s)"]
)  # fmt: skip
_HEAD = st.sampled_from(
    ["Parameter", "Max", "Min", "Unit", "When", "If", "Then", "From", "Feeds", "Light", "Means", "Action", "Step", "",
     "Control", "Position", "Abbreviation", "Meaning", "Limit", "Oil psi", "Remark", "Gate", "Function", "Requires"]
)  # fmt: skip
_LINE = st.sampled_from(
    ["Oil pressure: 3 bar", "If the pump fails, the light comes on.", "**APU** – auxiliary power unit", "Gear UP",
     "The tank holds 40 L when full.", "Nice weather", "**FIRE** – smoke in bay 2. Land.", "A → B", "Set flaps 10",
     "Battery: 24 V nominal, never below 22 V", "Oil pressure: 3 bar, 7 men", "Oil (3 L): 5 bar (7 bar cold)",
     "Bus 1: pump, lights", "Start the pump. Wait 5 s.", "The pump is inhibited below 3 bar for 5 s"]
)  # fmt: skip


@st.composite
def _table(draw: st.DrawFn) -> str:
    heads = draw(st.lists(_HEAD, min_size=2, max_size=4))
    rows = draw(st.lists(st.lists(_CELL, min_size=len(heads), max_size=len(heads)), min_size=1, max_size=4))
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


_LIST = st.builds(
    lambda lines, mark: "\n".join(f"{mark} {line}" for line in lines),
    st.lists(_LINE, min_size=1, max_size=4),
    st.sampled_from(["-", "1."]),
)
_NESTED = st.builds(
    lambda lines, below: "\n".join(f"1. {line}\n\n   {below}" for line in lines),
    st.lists(_LINE, min_size=1, max_size=3),
    st.sampled_from(
        ["It must be dry by 6.", "- Set flaps 10\n   - Nice weather", "```\n   x = 5\n   ```", "Fine."]
    ),
)
_BLOCK = st.one_of(
    _table(), _LIST, _NESTED, _LINE, st.sampled_from(["## Faults", "## Before start", "**Bus 1** feeds:"])
)


@settings(max_examples=150, deadline=None)
@given(st.lists(_BLOCK, min_size=1, max_size=5))
@example(["| Step | Action | Max |\n| --- | --- | --- |\n|  | 12 |  |\n| 3 to 5 bar | TBD | 12 |"])
def test_every_piece_of_any_note_has_one_fate(blocks: list[str]) -> None:
    """Whatever tables, lists and lines stand in a note."""
    seen = read("# Note\n\n" + "\n\n".join(blocks) + "\n")

    assert (Counter(), [], []) == (without_a_fate(seen), said_twice(seen), numbers_lost(seen))


@settings(max_examples=150, deadline=None)
@given(_table())
def test_no_number_of_a_cell_that_is_read_is_lost(table: str) -> None:
    """It stands in a question, in an answer, or in what is shown with one."""
    assert [] == numbers_lost(read(f"# Note\n\n{table}\n"))


def test_what_is_not_read_is_told_with_its_reason() -> None:
    """A column that is only shown, a row without an answer, prose: each says why."""
    text = "# Pumps\n\n| Parameter | Max |\n|---|---|\n| Flow | 3 L/s |\n| Head | TBD |\n\nNice weather\n"
    _, fates, _ = read(text)

    assert [
        (1, "heading", "passed over", "a heading"), (5, "cell", "asked", ""), (5, "cell", "asked", ""),
        (6, "cell", "told", "`Head` has `TBD` under `Max`, and no amount"),
        (6, "cell", "told", "`Head` has `TBD` under `Max`, and no amount"),
        (8, "paragraph", "passed over", "prose"),
    ] == [(fate.place.line, fate.piece, fate.fate, fate.why) for fate in fates]  # fmt: skip


class Forgetful(Kind):
    """A kind that takes a table and a list, and reads the first row and the first item alone, without a word."""

    name = "forgetful"
    aspects = ("light",)
    required = (("indication",), ("means",))
    headers: ClassVar = {"indication": ("light",), "means": ("means",)}
    by_item = True

    def read_table(self, match: Match, scope: Scope) -> Read:
        """The first row, without its amount."""
        cells = match.table.rows[0].cells
        return [Point("forgetful", scope.topic, cells[0].plain, cells[0].place)], []

    def read_list(self, block: List, scope: Scope) -> Read:
        """The first item."""
        text = block.items[0].text
        return [Point("forgetful", scope.topic, text.plain, text.place)], []


def test_what_a_kind_forgets_is_told_all_the_same() -> None:
    """A row, a number of a cell, an item and what stands below it: no kind has to remember them."""
    note = "| Light | Means |\n|---|---|\n| Red | 5 bar |\n| Blue | fault |\n\n- Pump\n- Valve\n\n  Shut at 6 bar\n"
    _, fates, _ = read(note, [Forgetful()])

    assert [
        (3, "Red", "asked", ""),
        (3, "5 bar", "told", "`5 bar` is read without its `5`, which stands in no question"),
        (4, "Blue", "told", "row of `Blue` makes no card: nothing in it is an answer"),
        (4, "fault", "told", "row of `Blue` makes no card: nothing in it is an answer"),
        (6, "Pump", "asked", ""),
        (
            7,
            "Valve",
            "told",
            "1 of 2 items of the list make no card: `Valve` (line 7); it is most like a consequence, but in none of "
            "the forms that are read",
        ),
        (
            9,
            "Shut at 6 bar",
            "told",
            "`Shut at 6 bar` makes no card: it is most like a limit, but in none of the forms that are read",
        ),
    ] == [(fate.place.line, fate.words, fate.fate, fate.why) for fate in fates]
