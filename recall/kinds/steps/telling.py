"""Whether a list is a procedure: its items tell somebody to do something, or what surrounds it says that their order
counts. Facts, references, parts and questions in numbers are no procedures."""

from collections.abc import Sequence

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.prose.lexicon import AFTER_ORDER, ORDERS
from recall.kinds.prose.lexicon import VERBS as FINITE
from recall.kinds.steps.words import POSITIONS, STATES, VERBS
from recall.notes.model import List, Text

LEADER = re.compile(r"\s*(?:\.{3,}|…+|(?:\. ){2,}\.?|_{3,}|·{3,})\s*")
"""Between a challenge and its response."""


_TOLD = re.compile(
    r"\b(?:procedures?|check-?lists?|flows?|drills?|steps?|sequences?|order|actions?|memory items?|"
    r"critical items|stages|phases|priorit(?:y|ies)|precedence|timeline|first of these|in this order|"
    r"recovery|do the following|proceed|perform|carry out|complete the|follow these|as follows)\b",
    re.IGNORECASE,
)
"""Says that an order counts."""

_SITUATION = re.compile(
    r"^(?:before|after|during|on|at|when|if|in case of|how to)\b|"
    r"\b(?:start|starting|starts|start-up|startup|shut ?-?down|taxi|take-?off|landing|approach|climb|descent|cruise|"
    r"walk-?round|preflight|pre-flight|post-flight|inspection|set-?up|installation|preparation|emergenc\w+|abnormal|"
    r"evacuation|ditching|securing|parking|mooring|refuelling|checks?|power-?up|power-?down|procedures?)\b",
    re.IGNORECASE,
)
"""A time or an event at which something is done."""

_NEVER = re.compile(
    r"(?:the )?(?:table of )?(?:"
    r"contents?|toc|references?|bibliography|sources?|further reading|see also|links?|notes?|"
    r"footnotes?|end ?notes?|features?|overview|introduction|background|requirements?|"
    r"prerequisites?|assumptions?|facts?|faqs?|questions?|goals?|objectives?|limitations?|"
    r"authors?|credits?|acknowledge?ments?|history|road-?map|to-?dos?|"
    r"parts?(?: list)?|materials?|tools?|equipment|you(?: will|'ll)? need|what you(?: will|"
    r"'ll)? need|bill of materials|legend|key|glossary|definitions?|terms?|advantages|"
    r"disadvantages|pros|cons|benefits|examples?|types?(?: of .*)?|characteristics|components?|"
    r"members?|crew|(?:next|further|future|open) steps"
    r")",
    re.IGNORECASE,
)
"""Headings of lists that are no procedures."""

_CHANGES = re.compile(
    r"change ?log|what's new|release notes?|(?:(?:list|record|summary) of )?(?:changes|revisions|amendments)(?: .*)?|"
    r"(?:revision|change|amendment|version) (?:history|record|log|notes|\d[\d.]*)",
    re.IGNORECASE,
)
"""Headings of what a revision changed: never a procedure, however its lines read."""

_VERSION = re.compile(r"(?:version |release |v)?\[?\d+\.\d+\.\d+\b|(?:version|release) \d", re.IGNORECASE)

_CHOICE = re.compile(
    r"\b(?:one of|any of|either|can|may|choose|some of|examples?|such as|limitations?|reasons?|options?|ways|methods|"
    r"kinds|types|cases|categories|classes|requirements?|criteria|differences|features|advantages|things|rules|principles|questions|"
    r"facts|points|topics|terms|parts|components|tools|notes)\b",
    re.IGNORECASE,
)
"""Words of a line above that announces anything but an order."""
_WAYS = re.compile(
    r"\b(?:you (?:can|may)|ways?|options?|alternatives?|one of|any of|either|choose|choices?|methods?|why|"
    r"reasons?|parts? of|benefits?|advantages?|fuses?|breakers?|holds|contains|ratings?|folders?|files?|"
    r"signals?|signs?|codes?|colou?rs?|duties|roles|meanings?|flags|marks)\b",
    re.IGNORECASE,
)
"""Words of a heading over alternatives, parts, reasons, fuses, files or signs, however their lines read."""
_ANY_ORDER = re.compile(r"\b(?:any|no (?:particular|special|fixed)) order\b|whichever", re.IGNORECASE)
_ENTRY = re.compile(
    r"\(?[<>~±]?\d+(?:[.,]\d+)?\s*(?:A|V|kg|W|mm|Ω)\b|[\w.-]+/(?:\s|$)|`?[\w./-]+\.\w{1,4}`?\s*[:–—-]"
)
"""Items of a fuse list, folders and files."""
_RULE = re.compile(
    r"^(?:if|when)\b|\b(?:inhibited|cannot|can't|will not|won't|only when|unless|causes?|results? in)\b|→|->|=>",
    re.IGNORECASE,
)
"""Says a rule rather than what happens next."""

_CITATION = re.compile(
    r"https?://|\bISBN\b|\bdoi\b|\b(?:19|20)\d\d\b|\bvol\.|\bpp?\.\s?\d|\bet al\b|\b\d+ CFR\b|\brevision \d",
    re.IGNORECASE,
)
_AHEAD = re.compile(
    r"^(?:(?:if|when|once|after|before|while|until|unless|as soon as|in case of|for|with|at|on|from|to|in)\b"
    r"[^,:]*[,:]\s+"
    r"|(?:and|then|next|finally|first|second|now|again|also|immediately|always|only|simultaneously|together|gently|"
    r"\w{3,}ly|not|do not|don't|never|please|both|step \d+)\b[,:.]?\s+|[A-Z][\w/ ]{0,20}:\s+)",
    re.IGNORECASE,
)
_ORDERED = re.compile(
    r"(?!(?:in|on|at|of|for|from|with|by|to|is|are|was|were|has|have|does|do|can|may|must|will|and|or|but|if|when|where|"
    r"while|as|than|that|which|who|not|also|like|per|via|under|over|above|below|after|before|during|all|both|each|some|"
    r"most|half|only|just|even|such|because|unless|until|about|inside|outside|between|through)\b)[a-z]{2,}(?<!s) "
    r"(?:the|an?|all|both|each|any|your|its|this|it|them|one|two|every)\b",
    re.IGNORECASE,
)  # fmt: skip
_FINITE = re.compile(
    r"\w\s+(?:is|are|was|were|has|have|had|can|cannot|can't|may|might|must|should|shall|will|would|does|do not|"
    r"doesn't|isn't|aren't|holds?|means|consists?|contains?|provides?|needs|allows|makes|gives|comes?|becomes?|works|uses|"
    r"supplies|drives|feeds|happens|stands|shows|takes|keeps)\b",
    re.IGNORECASE,
)  # fmt: skip
_SUBJECT = re.compile(
    r"(?:the|an?|this|these|those|each|every|there|it|they|we|you|i|no|most|some|our|its)\b", re.IGNORECASE
)
_JOINTS = re.compile(r"\b(?:of|the|for|a|an|with|from)\b", re.IGNORECASE)
_BOX = re.compile(r"^\[[ xX]\]\s+")
_DASH = re.compile(r"\s+[-–—]{1,2}\s+")
_COLON = re.compile(r":\s+")
_FORBIDS = re.compile(r"(?:do not|don't|don’t|never)\b", re.IGNORECASE)
_JOINTS_OF_RESPONSES = frozenset(("and", "then", "or", "as", "to", "both"))
_MOST_CHALLENGE = 6
_MOST_RESPONSE = 6
_CLAUSES = re.compile(r"[,;()]|\.\s")
_MOST_FRAGMENT = 14
_MOST_WORDS = 30
"""Items that are longer in the mean are paragraphs in numbers."""


def is_position(word: str) -> bool:
    """Whether a word in lower case is what a control is brought to, or an order."""
    return word in POSITIONS or word in VERBS


def is_dotted(text: str) -> bool:
    """Whether a line is a challenge and its response: `Throttle ... IDLE`."""
    parts = LEADER.split(one_line(text))
    return len(parts) == 2 and all(part.strip(" .") for part in parts)


def is_contents(block: List) -> bool:
    """Whether every item is a link and nothing else."""
    return all(links(item.text) for item in block.items)


def links(text: Text) -> bool:
    """Whether a text is nothing but a link."""
    return bool(text.runs) and all(run.link for run in text.runs if run.text.strip())


def without_box(text: str) -> str:
    """A line without its task box: `[ ] Throttle – IDLE`."""
    return _BOX.sub("", one_line(text))


def response_of(text: str) -> str:
    """What is answered to a challenge: behind dots, a dash or a colon; empty where the line is none."""
    for sign in (LEADER, _DASH, _COLON):
        parts = sign.split(without_box(text).rstrip(" .;"), maxsplit=1)
        if len(parts) == 2 and all(part.strip(" .") for part in parts):
            return parts[1] if len(parts[0].split()) <= _MOST_CHALLENGE else ""
    return ""


def _is_amount(response: str) -> bool:
    return re.match(r"[<>≤≥±~+\-−]?\s*\d", response) is not None


def _is_response(response: str) -> bool:
    """Whether words are surely what is answered: capitals, or nothing but positions and states."""
    words = re.findall(r"[^\W\d_][\w/'-]*", response)
    if not words or len(words) > _MOST_RESPONSE:
        return False
    if all(word.isupper() for word in words) and any(len(word) > 1 for word in words):
        return True
    return all(word.casefold() in (POSITIONS | _JOINTS_OF_RESPONSES) for word in words) or response.casefold() in (
        "as required", "as desired", "as needed"
    )  # fmt: skip


def are_responses(texts: Sequence[str], heading: str = "") -> bool:
    """Whether lines are all challenges with their responses, most of these positions, states or amounts; where they
    aren't in capitals, the heading must name a procedure."""
    responses = [response_of(text) for text in texts]
    if not all(responses):
        return False
    amounts = sum(map(_is_amount, responses))
    if all(map(is_dotted, texts)):
        sure = sum(tells(text) for text in texts)
        return sure > 0 and (sure + amounts) * 2 > len(texts)
    shouted = sum(response.isupper() for response in responses)
    if shouted * 2 <= len(texts) and not (_TOLD.search(heading) or _SITUATION.search(heading)):
        return False
    words = [re.findall(r"\w+", response.casefold()) for response in responses]
    sure = sum(_is_response(response) and not _is_amount(response) for response in responses)
    known = sum(any(map(is_position, each)) for each in words)
    if not all(_DASH.search(text) for text in texts):
        return sure * 2 > len(texts) and known > 0
    return (sure + amounts) * 2 > len(texts) and (known > 0 or sure == len(texts) > 0)


def are_orders(texts: Sequence[str], heading: str, lead: Text | None) -> bool:
    """Whether bullets without numbers are all orders, where heading or lead names a procedure."""
    named = one_line(lead.plain) if lead is not None else heading
    if (
        not (_TOLD.search(named) or _SITUATION.search(named))
        or _is_other(heading)
        or _CHOICE.search(named)
        or _ANY_ORDER.search(named)
    ):
        return False
    return all(is_order(text) and not _RULE.search(text) and not _FORBIDS.match(text) for text in texts)


def tells_changes(heading: str) -> bool:
    """Whether a heading stands over what a version changed."""
    heading = heading.strip(" :")
    return _CHANGES.fullmatch(heading) is not None or _VERSION.match(heading) is not None


def _is_other(heading: str) -> bool:
    heading = heading.strip(" :")
    return _NEVER.fullmatch(heading) is not None or tells_changes(heading)


def tells(text: str) -> bool:
    """Whether a line tells somebody to do something, or names what something is brought to."""
    text = one_line(text).rstrip(" .!;")
    if is_dotted(text):
        return _responds(LEADER.split(text)[1])
    if is_order(text) or _has_position(text):
        return True
    if _FINITE.search(text):
        return False
    head = re.split(r"\s+[–—-]\s+|:\s+", text, maxsplit=1)
    if len(head) == 2 and _responds(head[1]):
        return True
    return any(_comes_to(clause) for clause in _CLAUSES.split(text)) or _is_fragment(text)


def states(text: str) -> bool:
    """Whether a line says that something is so."""
    text = one_line(text)
    if tells(text):
        return False
    return bool(_FINITE.search(text)) or (bool(_SUBJECT.match(text)) and len(text.split()) > 3)


def is_procedure(texts: Sequence[str], heading: str, above: Sequence[str], lead: Text | None) -> bool:
    """Whether items are steps. heading: the nearest one; above: those above it; lead: the line right above."""
    before = re.split(r"(?<=[.!?])\s", one_line(lead.plain))[-1] if lead is not None else ""
    count = len(texts)
    if (
        _CHANGES.fullmatch(heading.strip(" :"))
        or _ANY_ORDER.search(before)
        or sum(bool(_ENTRY.match(text)) for text in texts) * 2 > count
    ):
        return False
    if sum(len(text.split()) for text in texts) > _MOST_WORDS * count:
        return False
    if sum(text.rstrip().endswith("?") for text in texts) * 2 > count:
        return False
    telling = sum(map(tells, texts))
    if sum(bool(_CITATION.search(text)) for text in texts) > telling:
        return False
    if (before.endswith(":") and _CHOICE.search(before)) or (not before and _WAYS.search(heading)):
        return False
    if _TOLD.search(before) or (not before and _TOLD.search(heading)):
        return True
    stating = sum(map(states, texts))
    if any(_SITUATION.search(words) for words in (before, heading)) and not any(map(_RULE.search, texts)):
        return telling + stating > 0 and not _NEVER.fullmatch(heading.strip(" :"))
    if stating * 3 > count:
        return False
    if telling * 2 >= count and not _NEVER.fullmatch(heading.strip(" :")):
        return True
    if _NEVER.fullmatch(heading.strip(" :")) or stating:
        return telling * 3 >= count * 2
    return telling > 0 and any(_SITUATION.search(words) for words in above)


def is_order(text: str) -> bool:
    """Whether a line tells somebody to do something, maybe behind a condition."""
    for _ in range(4):
        words = re.findall(r"[\w'’-]+", text[:60])
        if not words:
            return False
        if words[0].casefold() in VERBS and not (words[1:] and words[1].casefold() in ("is", "are", "of")):
            return True
        if _ORDERED.match(text):
            return True
        ahead = _AHEAD.match(text)
        if ahead is None:
            return False
        text = text[ahead.end() :]
    return False


def is_action(words: str) -> bool:
    """Whether a consequence tells somebody to do something: no name may pass for an order (`check valves open`)."""
    first, *rest = words.replace(",", " ").split() or [""]
    word = first.casefold()
    if word in ORDERS or (_ORDERED.match(words) and not word.endswith("ing")):
        return True
    if not rest or word not in VERBS:
        return False
    return rest[0] in AFTER_ORDER or rest[0][0].isupper() or not (STATES | FINITE).intersection(rest)


def _has_position(text: str) -> bool:
    """Whether a position in capitals stands behind something else: `Flaps UP at 104 KIAS`."""
    words = re.findall(r"[^\W\d_][\w'’/-]*", text)
    shouted = all(word.isupper() for word in words)
    return any(
        len(word) > 1 and word.isupper() and word.casefold() in (POSITIONS | VERBS) for word in words[1:]
    ) and not (shouted and len(words) > 12)


def _responds(response: str) -> bool:
    """Whether words are what is answered to a challenge: `IDLE`, `as required`, `check quantity`."""
    words = re.findall(r"[^\W\d_][\w/'-]*", response)
    if not words or len(words) > 6:
        return False
    return (
        words[0].casefold() in VERBS
        or words[-1].casefold() in STATES
        or words[0].casefold() in STATES
        or any(len(word) > 1 and word.isupper() for word in words)
    )


def _comes_to(clause: str) -> bool:
    """Whether a clause ends in a position or a state: `Gear UP`, `trims set`."""
    words = clause.split()
    if len(words) < 2:
        return False
    last = words[-1].strip("“”\"'")
    if len(last) > 1 and last.isupper() and last.isalpha():
        return len(words) <= 5 and not _JOINTS.search(clause)
    return last.casefold() in STATES and len(words) <= 8 and not _SUBJECT.match(clause.strip())


def _is_fragment(text: str) -> bool:
    """Whether words are a noun with its participle: `Bilges measured in all six compartments`."""
    words = re.findall(r"[\w'’-]+", text)
    if not 1 < len(words) <= _MOST_FRAGMENT or _SUBJECT.match(text):
        return False
    return any(
        re.fullmatch(
            r"[a-z]{2,}(?<!e)ed|seen|shut|found|heard|felt|read|taken|put|made|drawn|thrown|lit|hung|cut|let",
            word,
        )
        for word in words[1:4]
    )
