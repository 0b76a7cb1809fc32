"""HTML in notes: tables with spans, paragraphs, headings; everything else gives its words."""

from collections.abc import Sequence
from html.parser import HTMLParser

from markdown_it.rules_block.html_block import HTML_SEQUENCES

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Place
from recall.notes.inline import LINE_TAGS, Words, gather, picture
from recall.notes.model import Text
from recall.notes.page import Page
from recall.notes.spans import Cell, Grid

Part = tuple[str, Text, str] | Grid
"""A stretch of words with the tag it stood in and that tag's id, or a table."""

_HEADINGS = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})
_TELLING = _HEADINGS | {"dt", "dd"}
_MUTE = frozenset({"script", "style", "template"})
_GRID_TAGS = frozenset({"td", "th", "tr", "thead", "tbody", "tfoot", "caption"})
_PART_TAGS = LINE_TAGS - {"br"} | {"summary", "details", "section"}
_TABLE_TAG = re.any_case(r"<!--|-->|<(/?)table\b")
_OPEN_ENDED = (HTML_SEQUENCES[0], *HTML_SEQUENCES[2:5])
"""How blocks of HTML begin that end at a mark of their own, and how they end; comments aside."""
_BLANK_LINE = re.compile(r"\n[ \t]*\n")
_SPAN = re.compile(r"\s*(\d{1,4})")


class Markup(HTMLParser):
    """Reads one stretch of HTML into parts.

    first: its first line, from 1; indents: how many characters were cut off each of its lines.
    """

    def __init__(self, page: Page, first: int, indents: Sequence[int]) -> None:
        super().__init__(convert_charrefs=True)
        self._parts: list[Part] = []
        self._tables = 0
        self._page = page
        self._first = first
        self._indents = indents
        self._words = Words(fold=True)
        self._place: Place | None = None
        self._around = ("", "")
        self._grid: Grid | None = None
        self._cell: Cell | None = None
        self._mute = 0
        self._blank_line = False

    def read(self, source: str) -> list[Part]:
        """All parts of the stretch in order; what is still open at its end counts as closed.

        A tag without an end is words: the library would look for its end again and again. Nor does it know `<![`.
        """
        comment = source.find("<!--", source.rfind("-->") + 1)
        if comment >= 0:
            line = self._first + source.count("\n", 0, comment)
            what = "an HTML comment has no end: what stands below in its block isn't read"
            self._page.say("unclosed-block", line, what, "close it with `-->`")
            source = source[:comment]
        whole = source.rfind(">") + 1
        self.feed(source[:whole].replace("<![", "<!x"))
        self.close()
        self.handle_data(source[whole:])
        while self._grid:
            self._end_table()
        self._flush()
        return self._parts

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open a tag."""
        attributes = {name: value or "" for name, value in attrs}
        if tag in _MUTE:
            self._mute += 1
        elif tag == "table":
            self._tables += 1
            if self._tables == 1:
                self._flush()
                self._grid = Grid(self._here(0))
            else:
                self._words.line_end()
        elif self._grid and self._tables == 1 and tag in _GRID_TAGS:
            self._in_table(self._grid, tag, attributes)
        elif self._cell is None and tag in _PART_TAGS:
            self._flush()
            self._around = (tag, attributes.get("id", ""))
        else:
            place = self._here(0)
            if tag == "img" and self._place is None:
                self._place = place
            picture(self._page, tag, attributes, place.line, self._words)
            self._words.tag(tag, closing=False)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that closes itself."""
        self.handle_starttag(tag, attrs)
        if tag not in ("br", "img", "hr"):
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close a tag."""
        if tag in _MUTE:
            self._mute = max(0, self._mute - 1)
        elif tag == "table":
            if self._grid:
                self._end_table()
        elif self._grid and self._tables == 1 and tag in _GRID_TAGS:
            self._end_cell()
            if tag in ("thead", "tbody", "tfoot"):
                self._grid.section("")
        elif self._cell is None and tag in _PART_TAGS:
            self._flush()
        else:
            self._words.tag(tag, closing=True)

    def handle_data(self, data: str) -> None:
        """Take words. In a cell, words behind a blank line are Markdown, as they are to any reader of it."""
        if self._mute:
            return
        cut = 0 if self._blank_line else len(data)
        if cut and self._cell is not None and (found := _BLANK_LINE.search(data)):
            cut = found.end()
            self._blank_line = True
        self._take(data, 0, cut)
        self._take(data, cut, len(data), markdown=True)

    def _take(self, data: str, start: int, end: int, *, markdown: bool = False) -> None:
        piece = data[start:end]
        inner = piece.lstrip()
        if not inner:
            self._words.add(piece)
            return
        place = self._here(start + len(piece) - len(inner), data)
        if self._place is None:
            self._place = place
        if markdown:
            gather(self._page, inner.rstrip(), place.line, self._words)
            self._words.add(" ")
        else:
            self._words.add(piece)

    def _here(self, skip: int, data: str = "") -> Place:
        """The place of the parser, `skip` characters of `data` further on."""
        line, offset = self.getpos()
        passed = data[:skip]
        ends = passed.count("\n")
        offset = len(passed) - passed.rfind("\n") - 1 if ends else offset + skip
        line = min(line + ends, len(self._indents))
        indent = self._indents[line - 1] if line else 0
        return Place(self._page.file, self._first + line - 1, offset + indent + 1)

    def _taken(self, fallback: Place) -> Text:
        text = self._words.text(self._place or fallback)
        self._words, self._place, self._blank_line = Words(fold=True), None, False
        return text

    def _flush(self) -> None:
        """End a stretch of words outside tables."""
        text = self._taken(self._here(0))
        if text:
            tag, name = self._around
            self._parts.append((tag if tag in _TELLING else "", text, name))
        self._around = ("", "")

    def _end_table(self) -> None:
        self._tables -= 1
        if self._tables:
            self._words.line_end()
            return
        self._end_cell()
        if self._grid:
            self._parts.append(self._grid)
        self._grid = None

    def _in_table(self, grid: Grid, tag: str, attributes: dict[str, str]) -> None:
        self._end_cell()
        place = self._here(0)
        if tag == "tr":
            grid.row(place)
        elif tag in ("td", "th"):
            across, down = _span(attributes.get("colspan")), _span(attributes.get("rowspan"))
            self._cell = Cell(Text("", place), across, down, tag == "th")
        elif tag != "caption":
            grid.section(tag)

    def _end_cell(self) -> None:
        """Keep the cell being read; words of a table outside its cells are a paragraph before it."""
        if self._cell is None:
            self._flush()
        else:
            text = self._taken(self._cell.text.place)
            if self._grid:
                self._grid.add(replace(self._cell, text=text))
            self._cell = None


def _span(value: str | None) -> int:
    found = _SPAN.match(value or "")
    return max(1, int(found[1])) if found else 1


def table_end(lines: Sequence[str], first: int, last: int, end: int) -> tuple[int, int]:
    """Where an HTML block that stands in lines `first` to `last` really ends, and the tables open there.

    The grammar ends the block at a blank line; a table in it goes on to its own end, at most to line `end`.
    """
    tables, line, comment = 0, first, False
    while line < end and (line < last or tables > 0):
        for found in _TABLE_TAG.finditer(lines[line]):
            if found[0] == "<!--":
                comment = True
            elif found[0] == "-->":
                comment = False
            elif not comment:
                tables = max(0, tables - 1) if found[1] else tables + 1
        line += 1
    return line, tables


def open_ended(content: str) -> bool:
    """Whether an HTML block is one that ends only at a mark of its own, and lacks it (comments aside)."""
    head = content.lstrip()
    return any(start.search(head) and not end.search(head) for start, end, _ in _OPEN_ENDED)
