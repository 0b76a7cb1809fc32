"""Tables that the grammar doesn't know, read all the same where each row surely has its cells."""

import pytest

from recall.notes.model import Table
from recall.notes.reader import read_note


def rows(text: str) -> list[tuple[int, list[str]]]:
    """Line and cells of each row of the tables of a note."""
    note, _ = read_note(text, "note.md")
    return [
        (row.place.line, [cell.plain for cell in row.cells])
        for block in note.blocks
        if isinstance(block, Table)
        for row in block.rows
    ]


def test_columns_ruled_with_dashes() -> None:
    """Cells begin where the dashes do; what was mended is told."""
    text = "  Buoy    Chain\n  ------  ------\n  North   38 m\n  Far     \n"
    said = read_note(text, "note.md")[1]

    assert [(3, ["North", "38 m"]), (4, ["Far", ""])] == rows(text)
    assert [(1, "unrecognised-table")] == [(found.place.line, found.rule) for found in said]


@pytest.mark.parametrize("text", [
    "Buoy    Chain\n------  ------\nNorthern Lights  38 m\n", "```\nBuoy  Chain\n----  -----\nN     3 m\n```\n",
    "A line\n\n--- ---\n\nmore\n",
])  # fmt: skip
def test_other_dashes_rule_no_table(text: str) -> None:
    """Words across a border, code, and a rule between paragraphs make no table."""
    assert [] == rows(text)


def test_a_row_of_dashes_with_other_cells() -> None:
    """It is read where all rows have as many cells as the headers, and told."""
    text = "| Code | Text |\n|---|---|---|\n| 12 | Hot |\n"
    said = read_note(text, "note.md")[1]

    assert [(3, ["12", "Hot"])] == rows(text)
    assert [(2, "unrecognised-table")] == [(found.place.line, found.rule) for found in said]
