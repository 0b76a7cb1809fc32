"""Steps of a procedure, out of lists and tables: their words, reasons, and what follows when one is skipped."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from recall.base.finding import Place
from recall.base.text import one_line
from recall.kinds.cells import is_placeholder, without_stop
from recall.kinds.model import Scope
from recall.notes.model import Item, List, Paragraph, Row, Table, Text

_LEADER = re.compile(r"\s*(?:\.{3,}|…+|(?:\. ){2,}\.?|_{3,}|·{3,})\s*")
_SKIPPED = re.compile(
    r"^(?:if|when) (?:this (?:step )?is |it is )?(?:skipped|left out|omitted|missed)\s*[:,–—-]\s*(.+)$",
    re.IGNORECASE | re.DOTALL,
)
_REASON = re.compile(r"^(?:why|reason|because)\s*:\s*", re.IGNORECASE)
_GENERAL_LEAD = re.compile(
    r"(?:the |these |following |in this order|do |proceed|as follows|steps?|procedure|actions?|then|now)\b.*",
    re.IGNORECASE,
)
MOST_LEAD_WORDS = 8


@dataclass(frozen=True, slots=True)
class Step:
    """One step. bold: wholly in bold; reason, skipped: empty where nothing is said."""

    text: str
    place: Place
    bold: bool
    reason: str = ""
    skipped: str = ""


def is_dotted(text: str) -> bool:
    """Whether a line is a challenge and its response: `Throttle ... IDLE`."""
    parts = _LEADER.split(one_line(text))
    return len(parts) == 2 and all(part.strip(" .") for part in parts)


def step_words(text: str) -> str:
    """A step as it is shown: leaders as one ellipsis, no stop at its end."""
    text = one_line(text)
    return without_stop(_LEADER.sub(" … ", text).strip() if is_dotted(text) else text)


def listed_steps(block: List) -> list[Step]:
    """The steps of a list, in document order; sub-lists are part of their step's reason or stand in it."""
    return [_listed(item) for item in block.items if one_line(item.text.plain)]


def _listed(item: Item) -> Step:
    reasons: list[str] = []
    skipped = ""
    inner: list[str] = []
    for below in item.below:
        texts: list[Text] = []
        if isinstance(below, Paragraph):
            texts = [below.text]
        elif isinstance(below, List):
            texts = [sub.text for sub in below.items]
        for text in texts:
            words = one_line(text.plain)
            if found := _SKIPPED.match(words):
                skipped = without_stop(found[1])
            elif isinstance(below, List) and not _REASON.match(words):
                inner.append(step_words(words))
            else:
                reasons.append(_REASON.sub("", words))
    text, _, tail = item.text.plain.partition("\n")
    if tail and (found := _SKIPPED.match(one_line(tail))):
        skipped = without_stop(found[1])
    else:
        text = item.text.plain
    words = step_words(text)
    if inner:
        words = f"{words.rstrip(':')}: {'; '.join(inner)}"
    return Step(words, item.place, item.text.bold == "all", without_stop(" ".join(reasons)), skipped)


def tabled_steps(table: Table, roles: Mapping[int, str]) -> list[Step]:
    """The steps of a table, row by row: the step's own words, the item and the action, and what is expected."""
    column = {role: at for at, role in roles.items()}
    return [step for row in table.rows if (step := _row_step(row, column)) is not None]


def _row_step(row: Row, column: Mapping[str, int]) -> Step | None:
    def words(role: str) -> str:
        if role not in column or is_placeholder(row.cells[column[role]].plain):
            return ""
        return one_line(row.cells[column[role]].plain)

    number = words("step")
    named = "" if re.fullmatch(r"\W*\d+(?:\.\d+)*\W*|\W*[a-z]\W*", number, re.IGNORECASE) else number
    item = words("item") or words("challenge")
    action = words("action") or words("response")
    if not action and not (named and not item):
        return None
    text = " … ".join(dict.fromkeys(part for part in (named, item, action) if part))
    if expected := words("expected"):
        text = f"{without_stop(text)} ({without_stop(expected)})"
    said = [
        row.cells[at] for role, at in column.items() if role in ("item", "challenge", "action", "response")
    ]
    bold = all(cell.bold == "all" for cell in said if cell)
    return Step(
        step_words(text), row.place, bold, without_stop(words("reason")), without_stop(words("skipped"))
    )


def title_of(lead: Text | None, scope: Scope) -> str:
    """What a list of steps is called: a short line right above it, or else the heading."""
    if lead is not None:
        words = one_line(lead.plain).rstrip(" :.")
        short = len(words.split()) <= MOST_LEAD_WORDS
        if (
            short
            and (lead.bold == "all" or lead.plain.rstrip().endswith(":"))
            and not _GENERAL_LEAD.match(words)
        ):
            return words
    return scope.heading or (scope.topic[-1] if scope.topic else "")
