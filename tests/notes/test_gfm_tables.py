"""Tables against examples 198 to 205 of the GitHub Flavored Markdown specification (see data/SOURCES.md)."""

import re
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recall.notes.grammar import block_parser, parser
from recall.notes.model import Paragraph, Table
from recall.notes.reader import read_note

_EXAMPLE = re.compile(r"^example (\d+)\n(.*?)\n\.\n(.*?)(?=\n\nexample |\Z)", re.DOTALL | re.MULTILINE)
EXAMPLES = {
    int(number): (markdown, html)
    for number, markdown, html in _EXAMPLE.findall(
        (Path(__file__).parent / "data" / "gfm-tables.txt").read_text(encoding="utf-8")
    )
}


class _Page(HTMLParser):
    """Rows of cells and paragraphs of an HTML page, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[list[str] | str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self.found.append([])
        elif tag == "p":
            self.found.append("")
        elif tag in ("th", "td"):
            assert isinstance(self.found[-1], list)
            self.found[-1].append("")

    def handle_data(self, data: str) -> None:
        if not data.strip():
            return
        if isinstance(self.found[-1], list):
            self.found[-1][-1] += data
        else:
            self.found[-1] += data.replace("\n", " ")


def _expected(html: str) -> list[list[str] | str]:
    page = _Page()
    page.feed(html)
    page.close()
    return page.found


def _read(markdown: str) -> list[list[str] | str]:
    note, _ = read_note(markdown, "note.md")
    out: list[list[str] | str] = []
    for block in note.blocks:
        if isinstance(block, Table):
            out.append([cell.plain for cell in block.headers])
            out += [[cell.plain for cell in row.cells] for row in block.rows]
        elif isinstance(block, Paragraph):
            out.append(block.text.plain)
    return out


def test_all_examples_are_here() -> None:
    """The specification's table examples are numbered 198 to 205."""
    assert list(range(198, 206)) == list(EXAMPLES)


@pytest.mark.parametrize("number", [198, 199, 200, 201, 203, 204, 205])
def test_tables_are_those_of_the_specification(number: int) -> None:
    """Headers, cells and the words around a table are as the specification has them."""
    markdown, html = EXAMPLES[number]

    assert _expected(html) == _read(markdown)


def test_text_right_under_a_table_is_no_row() -> None:
    """Example 202's line without a pipe, a row there, is a paragraph here: nobody means it as a row."""
    markdown, html = EXAMPLES[202]
    *table, swallowed, below = _expected(html)

    assert ["bar", ""] == swallowed
    assert [*table, "bar", below] == _read(markdown)


def test_cells_beyond_the_headers_are_kept() -> None:
    """Example 204's third cell, left out there, stays in the row's spare cells."""
    note, _ = read_note(EXAMPLES[204][0], "note.md")
    table = note.blocks[0]

    assert isinstance(table, Table)
    assert ["boo"] == [cell.plain for cell in table.rows[1].spare]


_PIECES = (
    "|",
    "| a ",
    "\\|",
    "\\\\|",
    "b",
    " ",
    "\t",
    "> ",
    "- ",
    "1. ",
    "    ",
    "---|",
    "|---|---|",
    "\u2003",
    "```",
    "# ",
)


@given(st.lists(st.lists(st.sampled_from(_PIECES), max_size=6).map("".join), max_size=7))
def test_tables_are_parted_as_the_library_parts_them(lines: list[str]) -> None:
    """The rule that takes a table as one token finds the same tables, lines and cells as the library's own."""
    text = "\n".join(("| x | y |", "|---|---|", *lines, ""))
    own = [
        (
            token.map,
            [[cell.strip().replace("\\|", "|") for cell in line.cells] for line in token.meta["lines"]],
        )
        for token in block_parser().parse(text, {})
        if token.type == "table"
    ]
    plain = parser()
    plain.core.ruler.enableOnly(["normalize", "block"])
    theirs: list[tuple[list[int] | None, list[list[str]]]] = []
    for token, inside in pairwise(plain.parse(text, {})):
        if token.type == "table_open":
            theirs.append((token.map, []))
        elif token.type == "tr_open":
            theirs[-1][1].append([])
        elif token.type in ("th_open", "td_open"):
            theirs[-1][1][-1].append(inside.content)
    wide = [[[*row, *[""] * len(rows[0])][: len(rows[0])] for row in rows] for _, rows in own]

    assert theirs == [(where, rows) for (where, _), rows in zip(own, wide, strict=True)]
