"""Messages, faults and lights in words: which places say that they follow, what is one, what it means and demands."""

from collections.abc import Sequence

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.text import one_line
from recall.kinds.prose.lexicon import STATES
from recall.kinds.prose.sentence import has_verb, sentences_of
from recall.kinds.prose.shortform import split_head
from recall.kinds.steps.telling import is_order
from recall.kinds.tables.cells import is_placeholder
from recall.notes.model import Text

_NAMED = (
    r"\b(?:faults?|alarms?|errors?|messages?|captions?|annunciat(?:or|ion)s?|trouble ?shooting{more})\b|"
    r"(?:panel|warning|caution|indicat(?:or|ing)|status|signal|pilot|master|console|cockpit|bridge|advisory|fault|"
    r"alarm|cue|stack) (?:lights?|lamps?)|\bLEDs?\b|^(?:lights?|lamps?)\W*$"
)
_MESSAGES = re.any_case(
    _NAMED.format(more="|warnings?|cautions?|alerts?|beeps?|signals?|(?:trip|blink|flash|trouble) codes?")
)
_ANY_NAME = re.any_case(_NAMED.format(more=""))
"""Words of a heading under which any name in bold is a message; under `Warnings` it may be any advice."""
_LAMP = re.any_case(r"\b(?:light|lamp|LED|caption|message|alarm|horn|tone|chime|flag)s?\b")
LOOK = re.any_case(
    r"\b(?:red|amber|yellow|green|blue|white|purple|orange|flash(?:es|ing)?|"
    r"blink(?:s|ing)?|steady|solid|continuous|intermittent|dark|both (?:on|off)|long|short|beeps?|blasts?)\b"
)
"""How a light looks, or a horn sounds."""
_SEE = re.any_case(r"(?:see|refer to) ")
_STATE = re.any_case(
    r"(?:open|dry|empty|clear|clean|cool|warm|free|slow|secure|loose) (?!the\b|an?\b|all\b|it\b)[a-z]+$"
)
"""A fault that may as well be an order: `open circuit`."""
_CODE = re.compile(r"[A-Z]{1,3}[- ]?\d{1,4}")
BARE = re.compile(r"(?:\w+ )?(?:code|number|no|nr|id|#)")
"""Headers of the number of a message."""
_NUMBER = re.compile(r"\d{1,4}\+?")
_COUNTED = re.any_case(r"beep|bell|blink|flash|blast|chime|click|ring|pulse")
"""Headers of what is counted."""
_LABEL = re.any_case(
    r"(?:alarm|fault|error|message|warning|)\s*(?:type|severity|field|priority|category|level|code|id|status|source|class|name|text|"
    r"description|trigger|date|version|owner)s?"
)
"""What is said about one message, and no message."""
MOST_NAME = 6
_MOST_WORDS = 100


def says_messages(topic: Sequence[str], lead: Text | None) -> bool:
    """Whether a heading or the line above says that messages, faults, alarms or lights follow."""
    return any(_MESSAGES.search(words) for words in (*topic[-2:], lead.plain if lead else ""))


def message_in(text: Text, topic: Sequence[str], above: Text | None) -> tuple[str, str, str] | None:
    """The name of a message, its meaning and action; None where it is none. above: the line over a list of them;
    where it, or else the heading, says so, what stands in bold or code names one; else it is in capitals or a light.
    Where only the heading further up says so, a name in bold needs words behind it of what is so or is to be done."""
    near = one_line(above.plain) if above and above.plain.strip() else topic[-1] if topic else ""
    own = _ANY_NAME.search(near) is not None
    lead = text.lead
    any_name = own or (near in topic and any(map(_ANY_NAME.search, topic[-2:])))
    pair, marked = split_head(text), any_name and lead is not None and (lead.bold or lead.code)
    if pair is None and marked and lead is not None and lead.code:
        pair = lead.text.strip(), text.plain[len(lead.text) :].strip()
    if pair is None:
        return None
    name, rest = pair
    if _LABEL.fullmatch(name):
        return None
    marked = marked or (any_name and _CODE.fullmatch(name) is not None)
    if len(name.split()) > MOST_NAME or not (marked or is_message(name)) or is_placeholder(rest):
        return None
    sentences = sentences_of(replace(text, plain=rest, runs=()))
    if len(sentences) == 1 and is_order((parts := rest.rstrip(".").split("; "))[-1]):
        sentences = parts
    orders = 0
    while orders < len(sentences) and is_order(sentences[-1 - orders]):
        orders += 1
    if sentences and (
        _SEE.match(sentences[0]) or (orders == len(sentences) > 1 and _STATE.match(sentences[0]))
    ):
        return None
    if not (own or orders or is_message(name) or _CODE.fullmatch(name) or _is_so(rest)):
        return None
    means, action = sentences[: len(sentences) - orders], sentences[len(sentences) - orders :]
    if len(rest.split()) > _MOST_WORDS:
        return None
    return name, ". ".join(means), ". ".join(action)


def _is_so(words: str) -> bool:
    """Whether words say that something happens, or end in how it is."""
    return has_verb(f"it {words}") or re.split(r"\W+", words.rstrip(". ").casefold())[-1] in STATES


def numbered(name: str, head: str) -> str:
    """A bare number with the word of its header: `3 beeps`, `Error code 17`; any other name as it is."""
    if not _NUMBER.fullmatch(name):
        return name
    if _COUNTED.fullmatch(head):
        return f"{name} {head.casefold()}{'s' * (name != '1')}"
    return f"{head} {name}" if BARE.fullmatch(head.casefold()) else name


def is_message(name: str) -> bool:
    """Whether a name is in capitals, or of a light or a sound."""
    words = re.findall(r"[^\W\d_]{2,}", name)
    if not words:
        return False
    return all(word.isupper() for word in words) or any(look.search(name) for look in (_LAMP, LOOK))
