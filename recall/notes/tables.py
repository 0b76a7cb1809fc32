"""Tables of pipes: cells with their columns, text swallowed by a table, cells beyond the headers."""

from collections.abc import Sequence
from itertools import groupby

from markdown_it.token import Token

from recall.base import regex as re
from recall.base.finding import Place
from recall.notes.inline import marked, read_text
from recall.notes.model import Block, Paragraph, Row, Table, Text
from recall.notes.page import Page

_PIPE = re.compile(r"(?<!\\)\|")
_RULE = re.compile(r" {0,3}-{2,}(?: +-{2,})+ *")
_DELIMITER = re.compile(r" {0,3}[-:|].*")


def read_table(
    page: Page, tokens: Sequence[Token], at: int, depth: int, topic: tuple[str, ...], lead: Text | None
) -> tuple[list[Block], int]:
    """Read the table whose `table_open` stands at `at`.

    Returns the blocks, and the index behind the table. Text that the parser took for a row because it stands
    right under the table is a paragraph; rows behind it make another table under the same headers.
    """
    first = (tokens[at].map or (0, 0))[0]
    at += 3
    names: list[str] = []
    while tokens[at].type == "th_open":
        names.append(tokens[at + 1].content)
        at += 3
    headers = _cells(page, names, first, depth)[0]
    place = headers[0].place
    at += 2
    lines: list[tuple[int, list[str], bool]] = []
    if tokens[at].type == "tbody_open":
        at += 1
        stride = 3 * len(names) + 2
        while tokens[at].type == "tr_open":
            contents = [tokens[cell].content for cell in range(at + 2, at + stride - 1, 3)]
            line = (tokens[at].map or (0, 0))[0]
            lines.append((line, contents, _PIPE.search(page.lines[line]) is not None))
            at += stride
        at += 1
    groups = [(piped, list(some)) for piped, some in groupby(lines, lambda row: row[2])]
    if not groups or not groups[0][0]:
        groups.insert(0, (True, []))
    blocks: list[Block] = []
    for piped, some in groups:
        if piped:
            read = [_cells(page, contents, line, depth) for line, contents, _ in some]
            rows = tuple(Row(cells, cells[0].place, spare) for cells, spare in read)
            blocks.append(Table(headers, rows, topic, place, lead))
        else:
            line, words = some[0][0], "\n".join(contents[0] for _, contents, _ in some)
            text = read_text(page, words, page.find(words, line, _start(page, line, depth)))
            blocks.append(Paragraph(text, topic))
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
    return len(_PIPE.split(line.strip().strip("|")))


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
