"""Tables of pipes: cells with their columns, text swallowed by a table, cells beyond the headers."""

import re
from collections.abc import Sequence

from markdown_it.token import Token

from recall.base.finding import Place
from recall.notes.inline import marked, read_text
from recall.notes.model import Block, Paragraph, Row, Table, Text
from recall.notes.page import Page

_PIPE = re.compile(r"(?<!\\)\|")
_DELIMITER = re.compile(r" {0,3}[-:|].*")


def read_table(
    page: Page, tokens: Sequence[Token], at: int, depth: int, topic: tuple[str, ...], lead: Text | None
) -> tuple[list[Block], int]:
    """Read the table whose `table_open` stands at `at`.

    Returns the blocks, and the index behind the table. Text that the parser took for a row because it stands
    right under the table is a paragraph; rows behind it make another table under the same headers.
    """
    opened = tokens[at]
    first, last = opened.map or (0, 0)
    at += 3
    names: list[str] = []
    while tokens[at].type == "th_open":
        names.append(tokens[at + 1].content)
        at += 3
    headers = _cells(page, names, first, depth)[0]
    place = headers[0].place
    at += 2
    blocks: list[Block] = []
    rows: list[Row] = []
    swallowed: list[str] = []
    begun = False

    def close_rows() -> None:
        if rows or not begun:
            blocks.append(Table(headers, tuple(rows), topic, place, lead))
            rows.clear()

    def close_text(before: int) -> None:
        if swallowed:
            start = before - len(swallowed)
            words = "\n".join(swallowed)
            blocks.append(
                Paragraph(read_text(page, words, page.find(words, start, _start(page, start, depth))), topic)
            )
            swallowed.clear()

    stride = 3 * len(names) + 2
    if tokens[at].type == "tbody_open":
        at += 1
        line = last
        while tokens[at].type == "tr_open":
            line = (tokens[at].map or (0, 0))[0]
            contents = [tokens[cell].content for cell in range(at + 2, at + stride - 1, 3)]
            at += stride
            if _PIPE.search(page.lines[line]) is None:
                close_rows()
                begun = True
                swallowed.append(contents[0])
                continue
            close_text(line)
            cells, spare = _cells(page, contents, line, depth)
            rows.append(Row(cells, cells[0].place, spare))
        close_rows()
        close_text(line + 1)
        at += 1
    else:
        close_rows()
    return blocks, at + 1


def _start(page: Page, line: int, depth: int) -> int:
    """Where the content of a source line begins, behind the marks of the blocks it stands in."""
    return page.marks(line) if depth else 0


def _cells(
    page: Page, contents: Sequence[str], line: int, depth: int
) -> tuple[tuple[Text, ...], tuple[Text, ...]]:
    """Cells of one row with their columns, and those beyond the headers. line: from 0."""
    source = page.lines[line]
    column = _start(page, line, depth)
    if column and contents[0]:
        words = contents[0].replace("|", "\\|")
        if not source[column:].lstrip(" \t|").startswith(words):
            # A mark at the head of a row that is words there: `- a | b`.
            column = max(0, source.rfind(words, 0, column + len(words)))
    inner = source[column:] if column else source
    parts = _PIPE.split(inner) if "\\" in inner else inner.split("|")
    first = 0
    head = parts[0]
    if not head.strip(" \t") or (head.isspace() and not contents[0].isspace()):
        column += len(head) + 1
        first = 1
    end = len(parts)
    if end > first and not parts[-1].strip():
        end -= 1
    file, number, hidden = page.file, line + 1, page.hidden
    cells: list[Text] = []
    for content, part in zip(contents, parts[first:end], strict=False):
        place = Place(file, number, column + len(part) - len(part.lstrip()) + 1)
        column += len(part) + 1
        if hidden or marked(content):
            cells.append(read_text(page, content, place))
        else:
            cells.append(Text(content, place))
    missing = len(contents) - len(cells)
    if missing:
        cells.extend([Text("", Place(file, number, len(source.rstrip()) + 1))] * missing)
    elif end - first > len(contents):
        return tuple(cells), _spare(page, parts[first + len(contents) : end], number, column)
    return tuple(cells), ()


def _spare(page: Page, parts: Sequence[str], number: int, column: int) -> tuple[Text, ...]:
    """Cells that the grammar leaves out, read from the source; none where all are blank."""
    spare: list[Text] = []
    for part in parts:
        place = Place(page.file, number, column + len(part) - len(part.lstrip()) + 1)
        spare.append(read_text(page, part.strip().replace("\\|", "|"), place))
        column += len(part) + 1
    return tuple(spare) if any(spare) else ()


def without_stray_tab(text: str) -> str:
    """Take out a tab (or four blanks) before a header row whose delimiter row has none.

    The grammar takes such a header for code, and the table falls apart; nobody means that.
    """
    if "\n\t" not in text and "\n    " not in text and not text.startswith(("\t", " ")):
        return text
    lines = text.split("\n")
    for at in range(1, len(lines)):
        if _DELIMITER.fullmatch(lines[at]) and _delimits(lines[at]):
            header = lines[at - 1]
            if "|" in header and header.expandtabs(4).startswith("    "):
                lines[at - 1] = header.lstrip()
    return "\n".join(lines)


def broken_table(content: str) -> tuple[str, str] | None:
    """What is wrong with a paragraph that was meant as a table, and the cure; none for other paragraphs."""
    if "|" not in content:
        return None
    lines = content.split("\n")
    if any(map(_delimits, lines[1:])):
        what = "is no table: its row of headers and its row of dashes differ in their cells"
        return what, "give the row of dashes as many cells as the row of headers"
    if all(line[0:1] == line.strip()[-1:] == "|" and line.count("|") > 2 for line in lines):
        what = "is no table: no rows of headers and dashes stand right above it"
        return what, "take out what parts it from its table, or write its headers"
    return None


def _delimits(line: str) -> bool:
    return "|" in line and "-" in line and not line.strip("|-: \t")
