"""The Markdown grammar: which parser, which plugins, how deep.

CommonMark with tables, definition lists, front matter and admonitions. The block structure and the words
inside a block are parsed by two parsers of the same rules: blocks may nest deep (lists in lists), while deep
nesting of brackets inside one line is never meant and would only cost time.
"""

import re
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.rules_block import StateBlock
from mdit_py_plugins.admon import admon_plugin
from mdit_py_plugins.deflist import deflist_plugin
from mdit_py_plugins.front_matter import front_matter_plugin

DEEPEST = 100
"""Lists, quotations and the like that may stand in one another."""

_FOOTNOTE = re.compile(r"\[\^[^\]\s]{1,30}\]:\s").match

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
    made.block.ruler.before("fence", "colon_mark", _colon_mark, {"alt": interrupts})
    made.block.ruler.before("fence", "footnote", _footnote, {"alt": interrupts})
    return made


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
    if state.is_code_block(start) or not _FOOTNOTE(state.src, state.bMarks[start] + state.tShift[start]):
        return False
    if not silent:
        depth = state.sCount[start]
        state.push("footnote", "", 0).hidden = True
        state.line = start + 1
        while state.line < end and not state.isEmpty(state.line) and state.sCount[state.line] > depth:
            state.line += 1
    return True


@cache
def block_parser() -> MarkdownIt:
    """The parser of blocks alone: leaves the words of each block unparsed."""
    made = parser()
    made.options["maxNesting"] = _LEVELS
    made.core.ruler.enableOnly(["normalize", "block"])
    return made


@cache
def inline_parser() -> MarkdownIt:
    """The parser of the words inside a block: use its `inline` only."""
    return parser()
