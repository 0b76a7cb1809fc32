"""Whether a place says that what stands in it must be known without fail: memory items, immediate actions."""

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.steps.telling import is_order
from recall.notes.model import Text

_MEMORY = re.any_case(
    r"(?P<denied>(?:\b(?:no|not|never|without|than|nothing|none|written|noted|quoted|put|drawn)\b|n['’]t\b)[^.:;,]*)?"
    r"\b(?:(?:memory|recall) (?:items?|drills?|actions?|steps?)|critical items|"
    r"immediate(?: action)? (?:actions?|items?|drills?)|bold ?face|"
    r"(?P<how>(?:from|by) (?:memory|heart)(?! ?[,;])))\b",
    holds=("memory", "recall", "critical", "immediate", "bold", "heart"),
)
_SAYS_SO = re.any_case(
    r"[\s:,–—-]*\(?(?:\b(?:to )?(?:be )?(?:do|done|recite|know|learn)\b(?: (?:this|it|these|them))? )?"
    rf"{_MEMORY.pattern}\)?(?= \(|$|:)"
)
_MARKED = re.any_case(r"\b(?:bold|capitals?|asterisks?|starred|red|boxed|marked|underlined|italics?)\b")
"""Says that a mark tells which ones, not the place."""
_NEXT = re.any_case(r"(?<=[.!?])\s+(?!(?:do not|don['’]t|never)\b)")
_TO_RECITE = re.any_case(r"\b(?:must|has to|have to|to be|is|are|known?|learn|recite|say)\b")
_MOST_LABEL = 5
"""Words of a line that is a label and no sentence."""


def says_memory(text: str) -> bool:
    """Whether a heading, a title or a label says that what stands below must be known without fail."""
    return any(not found["denied"] for found in _MEMORY.finditer(text))


def without_memory(text: str) -> str:
    """A heading or a label without the words that say so."""
    return _SAYS_SO.sub("", text).strip(" :–—-") if says_memory(text) else text


def leads_memory(text: Text) -> bool:
    """Whether a paragraph ends in a label (`*Immediate actions*`) or an order (`Do this from memory.`) that says
    so of what stands below it."""
    last = _NEXT.split(one_line(text.plain))[-1]
    found = next((one for one in _MEMORY.finditer(last) if not one["denied"]), None)
    if found is None or last.endswith("?") or _MARKED.search(last):
        return False
    if found["how"]:
        before = last[: found.start()]
        return not before or is_order(last) or _TO_RECITE.search(before) is not None
    return last.endswith(":") or len(last.split()) <= _MOST_LABEL
