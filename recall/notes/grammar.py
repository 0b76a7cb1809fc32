"""The Markdown grammar: which parser, which plugins, how deep.

CommonMark with tables, definition lists, front matter and admonitions. The block structure and the words
inside a block are parsed by two parsers of the same rules: blocks may nest deep (lists in lists), while deep
nesting of brackets inside one line is never meant and would only cost time.
"""

from collections.abc import Sequence
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.common.utils import mdTrim
from markdown_it.rules_block import StateBlock
from markdown_it.rules_block.table import MAX_AUTOCOMPLETED_CELLS, table
from mdit_py_plugins.admon import admon_plugin
from mdit_py_plugins.deflist import deflist_plugin
from mdit_py_plugins.front_matter import front_matter_plugin

from recall.base import regex as re
from recall.base.dataclass import dataclass

DEEPEST = 100
"""Lists, quotations and the like that may stand in one another."""

PATIENCE = "lines left"
"""In the parser's `env`: how many looks at a line are left for quotations and for what ends a paragraph."""

_FOOTNOTE = re.compile(r"\[\^[^\]\s]{1,30}\]:\s")

_LEVELS = 2 * DEEPEST + 4
"""A list in a list is two levels to the parser. A little more than the limit, so that one too many is seen."""


def parser() -> MarkdownIt:
    """A plain parser of the whole grammar (also what the reader's speed is measured against)."""
    made = (
        MarkdownIt("commonmark")
        .enable("table")
        .use(front_matter_plugin)
        .use(deflist_plugin)
        .use(admon_plugin)
    )
    interrupts = ["paragraph", "reference", "blockquote", "list"]
    made.block.ruler.before("table", "patience", _patience, {"alt": interrupts})
    made.block.ruler.before("fence", "colon_mark", _colon_mark, {"alt": interrupts})
    made.block.ruler.before("fence", "footnote", _footnote, {"alt": interrupts})
    return made


class BeyondError(Exception):
    """A note beyond what is read. line: where, from 1."""

    def __init__(self, line: int) -> None:
        super().__init__(f"line {line}")
        self.line = line


class TooLongError(BeyondError):
    """More looks at lines than the patience with a note."""


class TooDeepError(BeyondError):
    """More blocks in one another than a note may have."""


def _patience(state: StateBlock, start: int, end: int, silent: bool) -> bool:
    """No rule of its own: counts how often lines are looked at. A quotation looks over all lines below it that could
    go on with it, those in it look over them again, and where it ends early the next one looks over the rest: time by
    the square of the lines, or a hundredfold."""
    left = state.env.get(PATIENCE)
    if left is not None:
        if silent:
            left -= 1
        elif state.tokens and state.tokens[-1].type == "blockquote_open":
            left -= end - start
        else:
            return False
        if left < 0:
            raise TooLongError(start + 1)
        state.env[PATIENCE] = left
    return False


def _colon_mark(state: StateBlock, start: int, end: int, silent: bool) -> bool:
    """Pass over a line such as `::: note` or `:::`, so that what it encloses is read as it stands.

    Looking for the closing mark, as a container does, would take time by the square of the marks.
    """
    if state.is_code_block(start) or not state.src.startswith(
        ":::", state.bMarks[start] + state.tShift[start]
    ):
        return False
    if not silent:
        state.push("colon_mark", "", 0).hidden = True
        state.line = start + 1
    return True


def _footnote(state: StateBlock, start: int, end: int, silent: bool) -> bool:
    """Pass over a footnote (`[^1]: words`) and the deeper lines right below it: it belongs where its mark stands, and
    is neither a paragraph there nor the target of a link."""
    if state.is_code_block(start) or not _FOOTNOTE.match(
        state.src, state.bMarks[start] + state.tShift[start]
    ):
        return False
    if not silent:
        depth = state.sCount[start]
        state.push("footnote", "", 0).hidden = True
        state.line = start + 1
        while state.line < end and not state.isEmpty(state.line) and state.sCount[state.line] > depth:
            state.line += 1
    return True


PIPE = re.compile(r"(?<!\\)\|")
"""Parts the cells of a row."""


@dataclass(frozen=True, slots=True)
class TableLine:
    """The headers or a row of a table. cells: with their blanks; length: of the line from the first cell on; piped:
    whether a pipe stands in it."""

    cells: list[str]
    length: int
    piped: bool


def _line_of(state: StateBlock, line: int) -> TableLine:
    first = state.bMarks[line] + state.tShift[line]
    source = state.src[first : state.eMarks[line]]
    words = mdTrim(source)
    cells = PIPE.split(words) if "\\" in words else words.split("|")
    piped, length = len(cells) > 1, len(source) - source.find(words)
    if not cells[0]:
        del cells[0]
        length -= 1
    if cells and not cells[-1]:
        del cells[-1]
    return TableLine(cells, length, piped)


def _table(state: StateBlock, start: int, end: int, silent: bool) -> bool:
    """A table as the library's own rule takes it, but as one token, whose `meta` has its headers and rows: three
    tokens a cell would take most of the time."""
    if not table(state, start, end, True):
        return False
    if silent:
        return True
    ends = state.md.block.ruler.getRules("blockquote")
    was, state.parentType = state.parentType, "table"
    lines, room, line = [_line_of(state, start)], MAX_AUTOCOMPLETED_CELLS, start + 2
    while line < end and state.sCount[line] >= state.blkIndent and not state.is_code_block(line):
        row = _line_of(state, line)
        room -= len(lines[0].cells) - len(row.cells)
        if room < 0 or not (row.cells or row.piped):
            break
        bare = state.src[state.bMarks[line] + state.tShift[line]] != "|"
        if bare and any(rule(state, line, end, True) for rule in ends):
            break
        lines.append(row)
        line += 1
    token = state.push("table", "table", 0)
    token.map, token.meta = [start, line], {"lines": lines}
    state.parentType, state.line = was, line
    return True


@cache
def block_parser() -> MarkdownIt:
    """The parser of blocks alone: leaves the words of each block unparsed."""
    made = parser()
    made.options["maxNesting"] = _LEVELS
    made.block.ruler.at("table", _table, {"alt": ["paragraph", "reference"]})
    made.core.ruler.enableOnly(["normalize", "block"])
    return made


@cache
def inline_parser() -> MarkdownIt:
    """The parser of the words inside a block: use its `inline` only."""
    return parser()


_LABELLED = re.compile(
    r"[ \t]*(?:(?:\*\*[^*\n]{1,60}\*\*|`[^`\n]{1,40}`)(?:\s*(?:[:=–—]|->|→|-\s)|(?<=`)\s)|\*\*[^*\n]{1,60}[:=]\*\*|"
    r"(?:\*\*)?\w[^|\n]{0,80}?(?:\.{3,}|…|_{3,}|(?:\. ){3,})\s*[\w<>±+*-]|"
    r"\w[^\s:=.!?,;|]*(?: [^\s:=.!?,;|]+){0,4}(?: ?[:=] | (?:–|—|-|->|→) ))\s*[^\s|]"
)
"""A label at the head of a line, with what it says behind it."""
_COUNTED = re.compile(
    r"[ \t]*\(?([Ss]tep (?:\d+|one|two|three|four|five|six|seven|eight|nine|ten)(?=[.):])|"
    r"(?:[a-z]|[ivx]{1,4}|[A-Z])(?=[.)])|\d{1,2}(?=[.)/]))[.):/]\s+(?=\S)"
)
_SIGNED = re.compile(r"[ \t]*(?P<sign>[•·▪◦‣●○■–—])\s+(?=\S)")
"""A bullet that Markdown doesn't know."""
_HOLDS = re.any_case(
    r"\W*(?:source|ref|reference|applies to|applicability|effectivity|why|because|reason|if|when)s?\b"
)


def items_of(lines: Sequence[str]) -> tuple[bool, list[str]] | None:
    """The lines of a paragraph, each of which stands for itself as bullets do, and whether they are counted: behind
    letters (`a) Fenders out`), a sign (`• Fenders out`), or a label and its words (`E1: no water`); None where they
    are plain words."""
    counted = [_COUNTED.match(line) for line in lines]
    signed = [_SIGNED.match(line) for line in lines]
    ordered = counted[0] is not None and counted[0][1].casefold() in ("a", "i", "step 1", "step one", "1")
    marks = counted if ordered else signed if len({found and found["sign"] for found in signed}) == 1 else ()
    if all(marks) and marks:
        return ordered, [
            line[found.end() :].strip() for line, found in zip(lines, marks, strict=True) if found
        ]
    if all(map(_LABELLED.match, lines)) and not any(map(_HOLDS.match, lines)):
        return False, [line.strip(" \t\\") for line in lines]
    return None
