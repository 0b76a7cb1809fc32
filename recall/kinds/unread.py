"""What is told of pieces that nobody claims: one finding for a row, a list, a paragraph or a block of code."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import count, one_line, shown
from recall.kinds.prose.form import Said
from recall.kinds.prose.reading import has_arrow
from recall.kinds.prose.sentence import MOST_SIGNS, sentences_of
from recall.kinds.prose.shortform import split_head
from recall.kinds.steps.telling import is_dotted
from recall.kinds.steps.telling import tells as tells_step
from recall.notes.model import Block, Code, Definitions, List, Table, Text

if TYPE_CHECKING:
    from recall.kinds.fates import Fate

_FORBIDS = re.any_case(
    r"n['’]t\b|\b(?:must|not|never|only|unless|until|except|inhibited|cannot|neither|prohibited|forbidden|requires?|needs?|"
    r"prevents?|when|whenever|while)\b"
)
"""What a sentence must be told of where it isn't read; and numbers, unless they are part of a name (`Bus 2`)."""
_NUMBER = re.compile(
    r"(?:(?<!\S)(?P<before>\S+) )?(?<![^\s\w])[^\s\w]*"
    r"(?:\d|(?:two|three|four|five|six|seven|eight|nine|ten|twelve) \w+s\b)"
)
_CURES = {
    "interlock": "write it as one sentence such as `X is inhibited when Y`, `X cannot Y unless Z` or `X only when Y`",
    "consequence": "write it as one sentence such as `If X, Y` or `X causes Y`, or as `X → Y`, a clause on each side",
    "supply": "write a list of the loads under a line such as `**Bus 1** feeds:`, or a table `From | Feeds`",
    "limit": "write a sentence such as `Oil pressure must not be more than 6 bar`, or a table `Parameter | Maximum`",
}
_FEEDS = re.any_case(r"\b(?:feeds?|powers|powered|supplies|supplied|fed|backed up)\b")
_NUMBERED = re.compile(r"(?:\d+[.)]|[-*])\s+")
_SAYS = re.compile(r"[^\s:]+(?: [^\s:]+){0,2}:{1,2} \w")
"""A name, then its words."""
_MOST_NAMED = 40


def untold(
    block: Block, left: "Sequence[Fate]", doubts: Mapping[int, Said], lacks: tuple[str, str] | None
) -> list[Finding]:
    """What is told of the pieces of a block that are left. lacks: what keeps a list from being of a kind, if none of
    it is read, and the cure."""
    found: list[Finding] = []
    half = [fate for fate in left if fate.why]
    for fate in half:
        message = (
            f"`{_short(fate.words, 60)}` is read without its `{shown(fate.why)}`, which stands in no question"
        )
        rule = "unrecognised-table" if fate.piece == "cell" else "unread-sentence"
        found.append(finding(rule, fate.place, message, "give that a row, a bullet or a sentence of its own"))
    left = [fate for fate in left if not fate.why]
    if not left:
        return found
    if isinstance(block, Table):
        for place, cells in groupby(left, lambda fate: fate.row):
            head, *more = (shown(cell.words)[:40] for cell in cells)
            message = f"row of `{head}` makes no card: nothing in it is an answer"
            help = "fill in the answer, or take the row out"
            rule = "unrecognised-table" if more else "missing-answer"  # what it says may be why it has none
            found.append(finding(rule, place or block.place, message, help))
    elif isinstance(block, List):
        found.append(finding("unrecognised-list", block.place, *_of_list(block, left, doubts, lacks)))
    elif isinstance(block, Definitions):
        message = "definition list makes no card: its terms are no abbreviations"
        help = "write abbreviations as terms, or ask about the terms under headings that end in `?`"
        found.append(finding("unrecognised-list", block.place, message, help))
    elif isinstance(block, Code):
        what, first = reads_as(block) or "words", shown(one_line(block.plain.strip().split("\n")[0]))[:60]
        message = f"{what} in a block of code, which begins `{first}`, make no card"
        found.append(finding("unrecognised-list", block.place, message, "take the fence away"))
    else:
        (fate,) = left
        said = doubts.get(fate.place.line, Said())
        near = said.near or ("" if said.words else _nearest(fate.words))
        message = f"`{_short(said.words or fate.words, 60)}` makes no card: {_reason(near, said.doubt)}"
        found.append(
            finding(
                "unread-sentence", fate.place, message, said.cure or _CURES.get(near, _CURES["consequence"])
            )
        )
    return found


def _of_list(
    block: List, left: "Sequence[Fate]", doubts: Mapping[int, Said], lacks: tuple[str, str] | None
) -> tuple[str, str]:
    """What is said of the items of a list that are left, and the cure."""
    total = _count(block)
    whole = len(left) >= total
    if whole and lacks:
        return lacks
    line, said = next(
        ((at, doubts[at]) for fate in left if (at := fate.place.line) in doubts and doubts[at].doubt),
        (0, Said()),
    )
    near = said.near or _nearest(" ".join(fate.words for fate in left))
    if whole:
        what = f"list that begins `{_short(left[0].words, 60)}` makes no card"
        what += "" if total == 1 else f": none of its {count(total, 'item')} is read"
    else:
        named = ", ".join(f"`{_short(fate.words)}` (line {fate.place.line})" for fate in left)
        what = f"{len(left)} of {count(total, 'item')} of the list make no card: {named}"
    reason = f"; line {line} {_reason(near, said.doubt)}" if said.doubt else f"; {_reason(near, '')}"
    also = "abbreviations are read as `**ABC** – words`, loads under a line such as `**Bus 1** feeds:`"
    return what + reason.replace(" it reads", " reads"), f"{_CURES.get(near, _CURES['consequence'])}; {also}"


def _reason(near: str, doubt: str) -> str:
    if not near:
        return doubt
    a = "an" if near[:1] in "aeiou" else "a"
    return (
        f"it reads like {a} {near}, but {doubt}"
        if doubt
        else f"it is most like {a} {near}, but in none of the forms that are read"
    )


def _count(block: List) -> int:
    """The items of a list that say something themselves."""
    total = 0
    for item in block.items:
        inner = [below for below in item.below if isinstance(below, List)]
        total += sum(map(_count, inner)) if inner else 1
    return total


def is_prose(text: Text, said: Said | None) -> bool:
    """Whether a paragraph is no one sentence of what should be known: a must, a must not, a number, an arrow, a name
    with its words, or a form of some kind."""
    if said and said.words:
        return False
    sentences = sentences_of(text)
    if len(sentences) != 1 or text.plain.rstrip().endswith((":", "?")):
        return True
    named = (text.lead is not None and split_head(text) is not None) or " = " in text.plain
    named = named or _SAYS.match(text.plain) is not None
    return not ((said and said.near) or has_arrow(text.plain) or named or tells(sentences[0]))


def reads_as(block: Code) -> str:
    """What most lines of a block of code are: steps or a table; empty where they are neither."""
    lines = [line.strip() for line in block.plain.splitlines() if line.strip()]
    steps = sum(
        bool(_NUMBERED.match(line) or is_dotted(line)) and tells_step(_NUMBERED.sub("", line))
        for line in lines
    )
    table = sum(line.count("|") > 1 for line in lines)
    most = max(steps, table)
    return ("table" if table > steps else "steps") if most > 1 and most * 2 > len(lines) else ""


def tells(sentence: str) -> bool:
    """Whether a sentence says a must, a must not or a number: what should be known."""
    sentence = sentence[:MOST_SIGNS]
    numbers = _NUMBER.finditer(sentence)
    told = any(not (found["before"] or "").istitle() or not found.start() for found in numbers)
    return told or _FORBIDS.search(sentence) is not None or _FEEDS.search(sentence) is not None


def _nearest(words: str) -> str:
    words = words[:MOST_SIGNS]
    if _FEEDS.search(words):
        return "supply"
    if _FORBIDS.search(words):
        return "interlock"
    return "limit" if re.search(r"\d", words) and not has_arrow(words) else "consequence"


def _short(words: str, most: int = _MOST_NAMED) -> str:
    words = shown(words)
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"
