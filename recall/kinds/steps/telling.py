"""Whether a list is a procedure: what its lines are, and what the place where it stands says of them. Facts,
references, parts and questions in numbers are no procedures."""

from collections.abc import Sequence
from itertools import pairwise

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.prose import lexicon
from recall.notes.model import List, Text

LEADER = re.compile(r"\s*(?:\.{3,}|…+|(?:\. ){2,}\.?|_{3,}|·{3,})\s*")
"""Between a challenge and its response."""
_TOLD = re.any_case(
    r"\b(?:procedures?|check-?lists?|flows?|drills?|steps?|sequences?|order|actions?|memory items?|"
    r"critical items|stages|phases|priorit(?:y|ies)|precedence|timeline|first of these|recovery|"
    r"do the following|proceed|perform|carry out|"
    r"complete the|follow these|as follows)\b"
)
"""Says that an order counts."""
_EVENT = re.any_case(
    r"^(?:before|after|during|on|at|when|if|in case of|how to(?! (?:know|tell|see|spot|read)\b))\b|"
    r"\b(?:start(?:s|ing|-up|up)?|shut ?-?down|taxi|"
    r"take-?off|landing|approach|climb|descent|cruise|walk-?round|pre-?flight|post-flight|inspection|set-?up|"
    r"installation|"
    r"preparation|emergenc\w+|abnormal|evacuation|ditching|securing|parking|mooring|refuelling|checks?|power-?(?:up|down))\b"
)
"""A time or an event at which something is done."""
_NEVER = re.any_case(
    r"(?:the )?(?:table of )?(?:contents?|toc|references?|bibliography|sources?|further reading|see also|links?|"
    r"notes?|footnotes?|end ?notes?|features?|overview|introduction|background|requirements?|prerequisites?|"
    r"assumptions?|facts?|faqs?|questions?|goals?|objectives?|limitations?|authors?|credits?|acknowledge?ments?|"
    r"history|road-?map|(?:minutes|diary|agenda|log)(?: of .*)?|to[- ]?dos?|wish ?list|parts?(?: list)?|"
    r"materials?|tools?|equipment|"
    r"(?:what )?you(?: will|'ll)? need|bill of materials|legend|key|glossary|definitions?|terms?|advantages|"
    r"disadvantages|pros|cons|benefits|examples?|types?(?: of .*)?|characteristics|"
    r"components?|members?|crew|(?:next|further|future|open) steps)"
)
"""Headings of lists that are no procedures."""
_CHANGES = re.any_case(
    r"change ?log|what's new|release notes?|(?:(?:list|record|summary) of )?(?:changes|revisions|"
    r"amendments)(?: .*)?|(?:revision|change|amendment|version) (?:history|record|log|notes|\d[\d.]*)|"
    r"(?:(?:version |release |v)?\[?\d+\.\d+\.\d+\b|(?:version|release) \d).*"
)
"""Headings of what a revision changed: never a procedure, however its lines read."""
_WAYS = re.any_case(
    r"\b(?:you (?:can|may)|ways?|options?|alternatives?|one of|any of|either|choose|choices?|methods?|why|"
    r"reasons?|parts? of|benefits?|advantages?|fuses?|breakers?|holds|contains|ratings?|folders?|files?|"
    r"signals?|signs?|codes?|rules|tips|hints|reminders|habits|do'?s and don'?ts|"
    r"colou?rs?|duties|roles|meanings?|flags|marks)\b"
)
"""Words of a heading or a line above over alternatives, parts, reasons, fuses, files or signs."""
_CHOICE = re.any_case(
    r"\b(?:can|may|some of|examples?|such as|limitations?|kinds|types|cases|categories|classes|requirements?|"
    r"criteria|differences|features|things|rules|principles|questions|facts|points|topics|terms|parts|"
    r"components|tools|notes)\b"
)
"""More such words, of a line above that ends in a colon."""
_ANY_ORDER = re.any_case(r"\b(?:any|no (?:particular|special|fixed)) order\b|whichever")
_NO_STEP = re.any_case(
    r"\(?[<>~±]?\d+(?:[.,]\d+)?\s*(?:A|V|kg|W|mm|Ω)\b|[\w.-]+/(?:\s|$)|`?[\w./-]+\.\w{1,4}`?\s*[:–—-]|.*\?$|"
    r".*(?:https?://|\bISBN\b|\bdoi\b|\b(?:19|20)\d\d\b|\bvol\.|\bpp?\.\s?\d|\bet al\b|\b\d+ CFR\b|"
    r"\brevision \d)"
)
"""Items of a fuse list, folders and files, questions and citations."""
_ARROW = r"→|[-=]>"
_CASE = re.any_case(rf"(?:if|when)\b.*,|.*(?:{_ARROW})")
"""A case with what follows: most of a list are alternatives, not steps."""
_RULE = re.any_case(
    rf"^(?:if|when)\b|\b(?:inhibited|cannot|can't|will not|won't|only when|unless|causes?|results? in)\b|{_ARROW}"
)
"""Says a rule rather than what happens next."""
_AHEAD = re.any_case(
    r"^(?:(?:if|when|once|after|before|while|until|unless|as soon as|in case of|for|with|at|on|from|to|"
    r"in)\b[^,:]*[,:]\s+|(?:and|then|next|finally|first|second|now|again|also|immediately|always|only|"
    r"simultaneously|together|gently|"
    r"\w{3,}ly|do not|don't|never|please|both|step \d+)\b[,:.]?\s+|[A-Z][\w/ ]{0,20}:\s+)"
)
_ORDERED = re.any_case(
    rf"(?!(?:{'|'.join(sorted(lexicon.BEFORE_NOUNS))})\b)[a-z]{{2,}}(?<!s) "
    r"(?:the|an?|all|both|each|any|your|its|this|it|them|one|two|every)\b"
)
"""A word before a determiner: an order, unless it is one of the small ones."""
_OFF = re.compile(r"[A-Z]?[a-z]+(?<!s)(?<!ed)(?<!ing) (?:out|back|away|over|along) [a-z]")
"""A verb with its particle: `flake out chain`."""
_FINITE = re.any_case(
    r"\w\s+(?:is|are|was|were|has|have|had|can|cannot|can't|may|might|must|should|shall|will|would|does|do not|"
    r"doesn't|isn't|aren't|holds?|means|consists?|contains?|provides?|needs|allows|makes|gives|comes?|becomes?|"
    r"works|uses|"
    r"supplies|drives|feeds|happens|stands|shows|takes|keeps)\b"
)
_SUBJECT = re.any_case(
    r"(?:the|an?|this|these|those|each|every|there|it|they|we|you|i|no|most|some|our|its)\b"
)
_JOINTS = re.any_case(r"\b(?:of|the|for|a|an|with|from)\b")
_DASH = re.compile(r"\s+[-–—]{1,2}\s+")
_COLON = re.compile(r":\s+")
_FORBIDS = re.any_case(r"(?:do not|don['’]t|never)\b")
_AMOUNT = re.compile(r"[<>≤≥±~+\-−]?\s*\d")
_AS_NEEDED = re.any_case(r"as (?:required|desired|needed|req'd)")
_CLAUSES = re.compile(r"[,;()]|\.\s")
_PARTICIPLE = re.compile(
    r"[a-z]{2,}(?<!e)ed|seen|shut|found|heard|felt|read|taken|put|made|drawn|thrown|lit|hung|cut|let"
)
_DID = re.compile(r"[a-z]{2,}ed (?:the|an?|his|her|their|its|our|my)\b")
"""What somebody did: a verb with its object."""
_WORD = re.compile(r"[^\W\d_][\w/'’-]*")
_MOST_CHALLENGE = 6
_MOST_FRAGMENT = 14
_MOST_WORDS = 30


def is_position(word: str) -> bool:
    """Whether a word in lower case is what a control is brought to, or an order."""
    return word in lexicon.POSITIONS or word in lexicon.ORDERS


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


def is_order(text: str) -> bool:
    """Whether a line tells somebody to do something, maybe behind a condition."""
    for _ in range(4):
        first, then = (*_WORD.findall(text[:60]), "", "")[:2]
        if first.casefold() in lexicon.ORDERS and then.casefold() not in ("is", "are", "of"):
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
    if _ORDERED.match(words) and not word.endswith("ing"):
        return True
    if not rest or word not in lexicon.NAMES_TOO:
        return word in lexicon.ORDERS
    happens = any(one.endswith("s") and f"{then}s" in lexicon.VERBS for one, then in pairwise(rest))
    return (
        rest[0] in lexicon.AFTER_ORDER
        or rest[0][0].isupper()
        or not (happens or (lexicon.DONE | lexicon.VERBS | lexicon.STATES) & {*rest})
    )


def tells(text: str) -> bool:
    """Whether a line tells somebody to do something, or names what something is brought to."""
    text = one_line(text).rstrip(" .!;")
    if is_dotted(text):
        return _responds(LEADER.split(text)[1])
    if is_order(text) or _has_position(text) or _OFF.match(text):
        return True
    if _FINITE.search(text):
        return False
    head = re.split(r"\s+[–—-]\s+|:\s+", text, maxsplit=1)
    if len(head) == 2 and _responds(head[1]):
        return True
    return any(map(_comes_to, _CLAUSES.split(text))) or _is_fragment(text)


def are_responses(texts: Sequence[str], place: str = "") -> bool:
    """Whether lines are all challenges with their responses, most of these positions, states or amounts. place: what
    stands above; where they aren't in capitals, it must name a procedure."""
    responses = [_response_of(text) for text in texts]
    if not all(responses):
        return False
    dotted = all(map(is_dotted, texts))
    shouted = sum(response.isupper() and not _AMOUNT.match(response) for response in responses)
    if not dotted and shouted * 2 <= len(texts) and not names_steps(place):
        return False
    sure = sum(map(_responds, responses))
    counts = dotted or all(_DASH.search(text) for text in texts)
    amounts = sum(map(bool, map(_AMOUNT.match, responses))) if counts else 0
    return sure > 0 and (sure + amounts) * 2 > len(texts)


def is_procedure(
    block: List, heading: str, above: Sequence[str], texts: Sequence[str], *, recited: bool
) -> bool:
    """Whether a list is one. heading: the nearest one; above: those above it; texts: its lines, without those that
    only say when; recited: it stands in a place of memory items."""
    lead = re.split(r"(?<=[.!?])\s", one_line(block.lead.plain))[-1] if block.lead is not None else ""
    said, heading = lead or heading, heading.strip(" :")
    other = (
        _WAYS.search(said) or _CHOICE.search(said) if lead.endswith(":") else not lead and _WAYS.search(said)
    )
    count = len(texts)
    if not texts or is_contents(block) or tells_changes(heading) or _ANY_ORDER.search(said):
        return False
    never, telling = _NEVER.fullmatch(heading) is not None, sum(map(tells, texts))
    if not block.ordered:
        if all(item.text.bold == "all" and tells(item.text.plain) for item in block.items):
            return True
        if other or are_responses(texts, said):
            return not other
        boxes, named = all(item.box == "[ ]" for item in block.items), names_steps(said)
        orders = sum(is_order(text) and not _RULE.search(text) and not _FORBIDS.match(text) for text in texts)
        boxed = boxes and (telling * 2 >= count if named else telling == count and orders * 2 <= count)
        return (not never and (boxed or (named and orders == count))) or (recited and telling * 2 > count)
    if recited:
        return True
    if sum(len(text.split()) for text in texts) > _MOST_WORDS * count or other:
        return False
    if any(sum(map(bool, map(sort.match, texts))) * 2 > count for sort in (_NO_STEP, _CASE)):
        return False
    if _TOLD.search(said):
        return True
    stating = sum(map(_states, texts))
    if (_EVENT.search(lead) or _EVENT.search(heading)) and not any(map(_RULE.search, texts)):
        return telling + stating > 0 and not never
    if never or stating * 3 > count:
        return stating * 3 <= count and telling * 3 >= count * 2
    return telling * 2 >= count or (telling > 0 and not stating and any(map(_EVENT.search, above)))


def tells_changes(heading: str) -> bool:
    """Whether a heading stands over what a version changed."""
    return _CHANGES.fullmatch(heading.strip(" :")) is not None


def names_steps(place: str) -> bool:
    """Whether a heading or a line above says that steps follow, or names an event at which something is done."""
    return bool(_TOLD.search(place) or _EVENT.search(place))


def _response_of(text: str) -> str:
    """What is answered to a challenge: behind dots, a dash or a colon; empty where the line is none."""
    for sign in (LEADER, _DASH, _COLON):
        parts = sign.split(one_line(text).rstrip(" .;"), maxsplit=1)
        if len(parts) == 2 and all(part.strip(" .") for part in parts):
            return parts[1] if len(parts[0].split()) <= _MOST_CHALLENGE else ""
    return ""


def _responds(response: str) -> bool:
    """Whether words are what is answered to a challenge: `IDLE`, `as required`, `check quantity`."""
    words = _WORD.findall(response)
    if not words or len(words) > _MOST_CHALLENGE:
        return False
    ends = {words[0].casefold(), words[-1].casefold()}
    return (
        words[0].casefold() in lexicon.ORDERS
        or not lexicon.DONE.isdisjoint(ends)
        or (len(" ".join(words)) > 1 and all(map(str.isupper, words)) and not _AMOUNT.match(response))
        or any(map(_is_called, words))
        or _AS_NEEDED.fullmatch(response.strip()) is not None
    )


def _is_called(word: str) -> bool:
    return len(word) > 1 and word.isupper() and is_position(word.casefold())


def _has_position(text: str) -> bool:
    """Whether a position in capitals stands behind something else: `Flaps UP at 104 KIAS`."""
    words = _WORD.findall(text)
    shouted = len(words) > 12 and all(word.isupper() for word in words)
    return not shouted and any(map(_is_called, words[1:]))


def _comes_to(clause: str) -> bool:
    """Whether a clause ends in a position or a state: `Gear UP`, `trims set`."""
    words = clause.split()
    last = words[-1].strip("“”\"'") if len(words) > 1 else ""
    if len(last) > 1 and last.isupper() and last.isalpha():
        return len(words) <= 5 and not _JOINTS.search(clause)
    return last.casefold() in lexicon.DONE and len(words) <= 8 and not _SUBJECT.match(clause.strip())


def _is_fragment(text: str) -> bool:
    """Whether words are a noun with its participle: `Bilges measured in all six compartments`."""
    words = _WORD.findall(text)
    short = 1 < len(words) <= _MOST_FRAGMENT and not _SUBJECT.match(text) and not _DID.search(text)
    return short and any(map(_PARTICIPLE.fullmatch, words[1:4]))


def _states(text: str) -> bool:
    """Whether a line says that something is so."""
    text = one_line(text)
    said = _FINITE.search(text) is not None or (_SUBJECT.match(text) is not None and len(text.split()) > 3)
    return said and not tells(text)
