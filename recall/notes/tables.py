"""Tables of pipes: cells with their columns, text swallowed by a table, cells beyond the headers."""

from collections.abc import Sequence
from itertools import groupby

from markdown_it.token import Token

from recall.base import regex as re
from recall.base.finding import Place
from recall.notes.grammar import PIPE, TableLine
from recall.notes.inline import marked, read_text
from recall.notes.model import Block, Paragraph, Row, Table, Text
from recall.notes.page import Page

_RULE = re.compile(r" {0,3}-{2,}(?: +-{2,})+ *")
_DELIMITER = re.compile(r" {0,3}[-:|].*")


def read_table(page: Page, token: Token, topic: tuple[str, ...], lead: Text | None) -> list[Block]:
    """Read a table. Text that the grammar takes for a row because it stands right under the table is a paragraph;
    rows behind it make another table under the same headers."""
    head, *lines = token.meta["lines"]
    first = (token.map or (0, 0))[0] + 1
    width = len(head.cells)
    headers = tuple(_cells(page, head, first))
    blocks: list[Block] = []
    groups = [
        (piped, [*some]) for piped, some in groupby(enumerate(lines, first + 2), lambda row: row[1].piped)
    ]
    if not groups or not groups[0][0]:
        groups.insert(0, (True, []))
    for piped, some in groups:
        if piped:
            rows = tuple(_row(page, line, number, width) for number, line in some)
            blocks.append(Table(headers, rows, topic, headers[0].place, lead))
        else:
            number, line = some[0]
            words = "\n".join(line.cells[0].strip() for _, line in some)
            text = read_text(page, words, Place(page.file, number, _column(page, line, number)))
            blocks.append(Paragraph(text, topic))
    return blocks


def _row(page: Page, line: TableLine, number: int, width: int) -> Row:
    """A row with as many cells as there are headers, and those beyond them, unless all of these are blank."""
    cells = _cells(page, line, number)
    if len(cells) < width:
        end = Place(page.file, number, len(page.lines[number - 1].rstrip()) + 1)
        cells += [Text("", end)] * (width - len(cells))
    spare = tuple(cells[width:])
    return Row(tuple(cells[:width]), cells[0].place, spare if any(spare) else ())


def _column(page: Page, line: TableLine, number: int) -> int:
    """Where the first cell of a line begins, from 1."""
    return len(page.lines[number - 1]) - line.length + 1


def _cells(page: Page, line: TableLine, number: int) -> list[Text]:
    """The cells of a line with their columns. number: its own, from 1."""
    file, hidden, column = page.file, page.hidden, _column(page, line, number)
    cells: list[Text] = []
    for part in line.cells:
        words = part.lstrip()
        place = Place(file, number, column + len(part) - len(words))
        column += len(part) + 1
        words = words.rstrip()
        if hidden or marked(words):
            cells.append(read_text(page, words.replace("\\|", "|"), place))
        else:
            cells.append(Text(words, place))
    return cells


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


def mended(text: str) -> tuple[str, list[tuple[int, str, str]]]:
    """Tables that the grammar doesn't know as it does: ruled with dashes under each column, or with a row of dashes
    that has more or fewer cells than the headers and all rows. Line by line, so that each row stays where it is; and
    what is to be said of which line, from 1: what, and the cure."""
    if "---" not in text:
        return text, []
    lines = text.split("\n")
    said: list[tuple[int, str, str]] = []
    fence = ""
    for at, line in enumerate(lines):
        mark = line.lstrip()[:3]
        if mark in ("```", "~~~") and (not fence or mark == fence):
            fence = "" if fence else mark
        elif fence or not at or "--" not in line:
            continue
        elif "|" in line and _delimits(line):
            _recount(lines, at, said)
        elif _RULE.fullmatch(line):
            _ruled(lines, at, said)
    return ("\n".join(lines), said) if said else (text, said)


def _count(line: str) -> int:
    return len(PIPE.split(line.strip().strip("|")))


def _recount(lines: list[str], at: int, said: list[tuple[int, str, str]]) -> None:
    """Give a row of dashes as many cells as its headers, where all rows below have as many too."""
    wanted = _count(lines[at - 1])
    if "|" not in lines[at - 1] or wanted == _count(lines[at]) or min(wanted, _count(lines[at])) < 2:
        return
    end = at + 1
    while end < len(lines) and "|" in lines[end]:
        if _count(lines[end]) != wanted:
            return
        end += 1
    if end > at + 1:
        indent = lines[at][: len(lines[at]) - len(lines[at].lstrip())]
        lines[at] = indent + "|" + "---|" * wanted
        what = "the row of dashes has other cells than the headers and the rows: many programs show no table"
        said.append((at + 1, what, "give the row of dashes as many cells as the row of headers"))


def _ruled(lines: list[str], at: int, said: list[tuple[int, str, str]]) -> None:
    """Write a table that is ruled with dashes as one of pipes: columns begin where the dashes do."""
    starts = [found.start() for found in re.finditer(r"-+", lines[at])]
    head = lines[at - 1]
    end = at + 1
    while end < len(lines) and lines[end].strip() and not _RULE.fullmatch(lines[end]):
        end += 1
    rows = [_cut(line, starts) for line in (head, *lines[at + 1 : end])]
    if end == at + 1 or any(row is None for row in rows):
        return
    cells = [row for row in rows if row is not None]
    lines[at - 1] = "| " + " | ".join(cells[0]) + " |"
    lines[at] = "|" + "---|" * len(starts)
    lines[at + 1 : end] = ["| " + " | ".join(row) + " |" for row in cells[1:]]
    if end < len(lines) and _RULE.fullmatch(lines[end]):
        lines[end] = ""
    what = "the table is ruled with dashes: it is read as one, but most programs show it as running text"
    said.append((at, what, "write its rows with a `|` between the cells"))


def _cut(line: str, starts: Sequence[int]) -> list[str] | None:
    """A line cut where columns begin; None where words stand across a border."""
    if "|" in line or any(at and line[at - 1 : at].strip() for at in starts):
        return None
    ends = [*starts[1:], len(line)]
    return [line[start:end].strip() for start, end in zip(starts, ends, strict=True)]


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
