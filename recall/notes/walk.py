"""From the parser's tokens to blocks, in one pass, each with its topic and place."""

from collections.abc import Sequence

from markdown_it.token import Token

from recall.base import regex as re
from recall.base.finding import Place
from recall.base.text import one_line, without_hidden
from recall.notes.grammar import DEEPEST, TooDeepError, items_of
from recall.notes.inline import read_text
from recall.notes.model import Block, Code, Definitions, Entry, Heading, Item, List, Paragraph, Start, Text
from recall.notes.page import Page
from recall.notes.spans import Grid, TooWideError
from recall.notes.tables import broken_table, read_table

_ATTRIBUTES = re.exact(r"\{([#.][^{}]*)\}[ \t]*$", holds="{")
_ALERT = re.compile(r"\[!\w+\][+-]?[ \t]*")
_ABBREVIATION = re.compile(r"\*\[([^\]\n]+)\]:[ \t]*")
_BOX = re.compile(r"\[[ xX]\][ \t]+")


class Walk:
    """One pass over the tokens of a note."""

    def __init__(self, page: Page, tokens: Sequence[Token]) -> None:
        self._page = page
        self._tokens = tokens
        self._at = 0
        self._depth = 0
        self._open: list[tuple[int, str]] = []
        self._topic: tuple[str, ...] = ()
        self._mark = (-1, 0)
        self.starts: list[Start] = []

    def blocks(self, closing: str = "", end: int | None = None, lead: Text | None = None) -> list[Block]:
        """Read blocks up to the token `closing`, or all that is left.

        end: line behind them, from 0; lead: the paragraph right above the first.
        """
        page, tokens = self._page, self._tokens
        end = len(page.lines) if end is None else end
        out: list[Block] = []
        while self._at < len(tokens):
            token = tokens[self._at]
            kind = token.type
            above, lead = lead, None
            if kind == closing:
                self._at += 1
                break
            if kind == "table":
                made = read_table(page, token, self._topic, above)
                out += made
                lead = _last(made)
                self._at += 1
            elif kind == "paragraph_open":
                made = self._paragraph(tokens[self._at + 1], above)
                out += made
                lead = _last(made)
                self._at += 3
            elif kind == "heading_open":
                heading = self._heading(tokens[self._at + 1], int(token.tag[1:]))
                if not self._depth and token.markup[0] == "#":
                    self.starts.append(Start(heading.text.place.line, len(out), heading.level))
                out.append(heading)
                self._at += 3
            elif kind in ("bullet_list_open", "ordered_list_open"):
                out.append(self._list(token, above))
            elif kind == "blockquote_open":
                out += self._quotation(token)
            elif kind == "admonition_open":
                out += self._admonition(token)
            elif kind == "dl_open":
                out += self._definitions(token)
            elif kind in ("fence", "code_block"):
                meant = self._lines(token, above) if token.type == "code_block" else None
                out.append(meant or self._code(token))
                self._at += 1
            elif kind == "html_block":
                made = self._html(token, end)
                out += made
                lead = _last(made) or above
            else:
                self._at += 1
        return out

    def _inside(self, closing: str, token: Token, lead: Text | None = None) -> list[Block]:
        """The blocks in a container whose opening token is passed. Headings in it hold in it only."""
        first, end = token.map or (0, 0)
        if self._depth >= DEEPEST:
            raise TooDeepError(first + 1)
        kept = self._open.copy(), self._topic
        self._depth += 1
        made = self.blocks(closing, end, lead)
        self._depth -= 1
        self._open, self._topic = kept
        return made

    def _text(self, token: Token, content: str | None = None, skip: int = 0) -> Text:
        """The text of an inline token, or of `content`, which begins `skip` lines below it."""
        content = token.content if content is None else content
        return read_text(self._page, content, self._place(content, (token.map or (0, 0))[0] + skip))

    def _place(self, content: str, line: int) -> Place:
        """The place of content in source line `line`, from 0; behind the mark of the item it stands in."""
        start = self._mark[1] if self._mark[0] == line else 0
        if not start and self._depth and line < len(self._page.lines):
            start = min(
                self._page.marks(line), max(0, self._page.lines[line].find(content.partition("\n")[0]))
            )
        return self._page.find(content, line, start)

    def _heading(self, token: Token, level: int) -> Heading:
        content, name = token.content, ""
        if found := _ATTRIBUTES.search(content):
            content = content[: found.start()].rstrip()
            name = _id(found[1])
        return self._under(self._text(token, content), level, name)

    def _under(self, text: Text, level: int, name: str) -> Heading:
        """A heading in its place among the others; it holds for what follows."""
        while self._open and self._open[-1][0] >= level:
            self._open.pop()
        topic = tuple(words for _, words in self._open if words)
        self._open.append((level, one_line(text.plain)))
        self._topic = tuple(words for _, words in self._open if words)
        return Heading(text, level, topic, name)

    def _paragraph(self, token: Token, above: Text | None) -> list[Block]:
        content = token.content
        if "*[" in content and (found := re.search(r"^\*\[[^\]\n]+\]:", content, re.MULTILINE)):
            return self._abbreviations(token, content, found.start())
        asked = any(words.endswith("?") for words in self._topic)  # its text is the answer, as it stands
        if not asked and (lines := self._lines(token, above)):
            return [lines]
        text = self._text(token)
        if fault := broken_table(content):
            what, help = fault
            first = content.partition("\n")[0][:60]
            self._page.say(
                "unrecognised-table", text.place.line, f"`{first}` {what}", help, text.place.column
            )
        return [Paragraph(text, self._topic)] if text else []

    def _abbreviations(self, token: Token, content: str, start: int) -> list[Block]:
        """Lines `*[ABC]: words`, a line without a mark of its own going on with the one before."""
        out: list[Block] = []
        if content[:start].strip():
            out.append(Paragraph(self._text(token, content[:start].rstrip("\n")), self._topic))
        line = (token.map or (0, 0))[0] + content.count("\n", 0, start)
        first = self._place(content[start:], line)
        entries = []
        for part in re.split(r"(?m)^(?=\*\[[^\]\n]+\]:)", content[start:]):
            if found := _ABBREVIATION.match(part):
                place = self._place(part, line)
                term = Place(place.file, place.line, place.column + 2)
                words = Place(place.file, place.line, place.column + found.end())
                meaning = read_text(self._page, part[found.end() :].rstrip("\n"), words)
                entries.append(Entry(read_text(self._page, found[1].strip(), term), (meaning,)))
            line += part.count("\n")
        return [*out, Definitions(tuple(entries), self._topic, first)]

    def _list(self, opened: Token, lead: Text | None) -> List:
        items: list[Item] = []
        self._at += 1
        while (token := self._tokens[self._at]).type == "list_item_open":
            self._at += 1
            items.append(self._item(token))
        self._at += 1
        return List(tuple(items), opened.type == "ordered_list_open", self._topic, items[0].place, lead)

    def _item(self, token: Token) -> Item:
        line = (token.map or (0, 0))[0]
        start = self._mark[1] if self._mark[0] == line else 0
        mark = token.info + token.markup if token.info else token.markup
        place = self._page.find(mark, line, start)
        self._mark = (line, place.column - 1 + len(mark))
        text = Text("", Place(place.file, place.line, place.column + len(mark)))
        box = None
        if self._tokens[self._at].type == "paragraph_open":
            inline = self._tokens[self._at + 1]
            box = _BOX.match(inline.content)
            text = self._text(inline, inline.content[box.end() :] if box else None)
            self._at += 3
        below = tuple(self._inside("list_item_close", token, text or None))
        return Item(text, place, below, box[0].strip() if box else "")

    def _quotation(self, token: Token) -> list[Block]:
        self._at += 1
        inline = self._tokens[self._at + 1] if self._tokens[self._at].type == "paragraph_open" else None
        if inline and (found := _ALERT.match(inline.content)):
            rest = inline.content[found.end() :]
            title, _, below = rest.partition("\n")
            marked = [
                Paragraph(self._text(inline, words, skip), self._topic)
                for skip, words in enumerate((title, below))
                if words
            ]
            self._at += 3
            return [*marked, *self._inside("blockquote_close", token)]
        return self._inside("blockquote_close", token)

    def _admonition(self, token: Token) -> list[Block]:
        """The blocks of `!!! note`, headed by its title where the author gave one."""
        self._at += 1
        out: list[Block] = []
        if self._tokens[self._at].type == "admonition_title_open":
            inline = self._tokens[self._at + 1]
            if inline.content in token.info.split('"')[1:] or inline.content in token.info.split(" ", 2)[-1:]:
                out.append(Paragraph(self._text(inline), self._topic))
            self._at += 3
        return out + self._inside("admonition_close", token)

    def _definitions(self, opened: Token) -> list[Block]:
        """A definition list; what stands under the first paragraph of a definition follows the list."""
        self._at += 1
        entries: list[Entry] = []
        below: list[Block] = []
        while self._tokens[self._at].type == "dt_open":
            term = self._text(self._tokens[self._at + 1])
            self._at += 3
            meanings: list[Text] = []
            while (token := self._tokens[self._at]).type == "dd_open":
                self._at += 1
                if self._tokens[self._at].type == "paragraph_open":
                    meanings.append(self._text(self._tokens[self._at + 1]))
                    self._at += 3
                below += self._inside("dd_close", token)
            entries.append(Entry(term, tuple(meanings)))
        self._at += 1
        return [Definitions(tuple(entries), self._topic, entries[0].term.place), *below]

    def _lines(self, token: Token, above: Text | None) -> List | None:
        """A list of the lines of a paragraph, or of a block that is indented too far, where these are items."""
        lines = token.content.rstrip("\n").split("\n")
        found = items_of(lines) if len(lines) > 1 else None
        if found is None or (token.type == "code_block" and not found[0]):
            return None
        texts = [self._text(token, line, skip) for skip, line in enumerate(found[1])]
        items = tuple(Item(text, text.place) for text in texts)
        return List(items, found[0], self._topic, items[0].place, above)

    def _code(self, token: Token) -> Code:
        first, end = token.map or (0, 0)
        if token.type == "fence" and end >= len(self._page.lines):
            last = self._page.lines[end - 1].strip(" \t>") if end <= len(self._page.lines) else ""
            if end - 1 == first or len(last) < len(token.markup) or last.strip(token.markup[0]):
                self._unclosed(first, "the code block", f"close it with a line of `{token.markup[0]}`")
        mark = token.markup or token.content.partition("\n")[0].strip()
        return Code(without_hidden(token.content), self._topic, self._place(mark, first))

    def _unclosed(self, line: int, what: str, help: str) -> None:
        message = f"{what} runs to the end of the file: what stands below is taken for part of it"
        self._page.say("unclosed-block", line + 1, message, help)

    def _html(self, token: Token, end: int) -> list[Block]:
        """Read a block of HTML; a table in it is followed over blank lines, where the block itself would end."""
        from recall.notes.markup import Markup, open_ended, table_end

        first, last = token.map or (0, 0)
        lines = self._page.lines
        line, tables = table_end(lines, first, last, min(end, len(lines)))
        name = "HTML table" if tables and line >= len(lines) else "HTML block"
        if name == "HTML table" or (last >= len(lines) and open_ended(token.content)):
            self._unclosed(first, f"the {name}", "close it, or take it out")
        indents = [self._page.marks(number) if self._depth else 0 for number in range(first, line)]
        source = "\n".join(lines[first + at][cut:] for at, cut in enumerate(indents))
        out: list[Block] = []
        lead: Text | None = None
        for part in Markup(self._page, first + 1, indents).read(source):
            if not isinstance(part, Grid) and part[0] in ("dt", "dd"):
                _define(out, part[1], self._topic, term=part[0] == "dt")
                lead = None
            elif isinstance(part, Grid):
                out += self._grid(part, lead)
                lead = None
            elif part[0]:
                out.append(self._under(part[1], int(part[0][1]), part[2]))
                lead = None
            else:
                out.append(Paragraph(part[1], self._topic))
                lead = part[1]
        self._at += 1
        while line > last and self._at < len(self._tokens):
            below = self._tokens[self._at]
            if below.level < token.level or (below.map and below.map[0] >= line and below.nesting >= 0):
                break
            self._at += 1
        return out

    def _grid(self, grid: Grid, lead: Text | None) -> list[Block]:
        try:
            table = grid.table(self._topic, lead)
        except TooWideError:
            what = "the spans of the HTML table give far more cells than are written: it isn't read"
            help = "write the cells out, or mend the spans"
            self._page.say("unrecognised-table", grid.place.line, what, help)
            return []
        return [table] if table else []


def _last(blocks: list[Block]) -> Text | None:
    """The paragraph that these blocks end with: the lead of what stands right below."""
    return blocks[-1].text if blocks and isinstance(blocks[-1], Paragraph) else None


def _id(attributes: str) -> str:
    """The id in `#id .class key=value`; whatever isn't of that form is taken as a malformed id."""
    words = attributes.split()
    if any(not re.match(r"[#.]|[\w-]+=", word) for word in words):
        return attributes.lstrip("#.").strip()
    return next((word[1:] for word in words if word[0] == "#"), "")


def _define(out: list[Block], text: Text, topic: tuple[str, ...], *, term: bool) -> None:
    """Add a term of a list of definitions to the blocks, or what one means to the last term."""
    last = out[-1] if out and isinstance(out[-1], Definitions) else None
    if not term and last is None:
        out.append(Paragraph(text, topic))
        return
    entries = last.entries if last else ()
    if term:
        entries = (*entries, Entry(text, ()))
    else:
        entries = (*entries[:-1], Entry(entries[-1].term, (*entries[-1].meanings, text)))
    out[-1 if last else len(out) :] = [Definitions(entries, topic, entries[0].term.place)]
