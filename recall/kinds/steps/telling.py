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
_TO_DO = re.any_case(r"(?:to-?dos?\b|open (?:points|items|issues)|wish ?list).*")
"""Headings of what somebody means to do one day."""
_WAYS = re.any_case(
    r"\b(?:you (?:can|may)|ways?|options?|alternatives?|one of|any of|either|choose|choices?|methods?|why|"
    r"reasons?|benefits?|advantages?|fuses?|breakers?|holds|contains|ratings?|folders?|files?|"
    r"signals?|signs?|codes?|rules|tips|hints|reminders|habits|do'?s and don'?ts|"
    r"colou?rs?|duties|roles|meanings?|flags|marks|can|may|some of|examples?|such as|limitations?|kinds|types|cases|"
    r"categories|classes|requirements?|criteria|differences|features|things|principles|questions|facts|points|topics|"
    r"terms|parts?|components|tools|notes)\b"
)
"""Words of a heading, or of a line above that ends in a colon, over alternatives, parts, reasons, files or signs."""
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
    r"(?:the|an?|all|both|each|any|your|its|this|it|them|one|two|every)\b|"
    r"[a-z]{3,}(?<!s)(?<!ed)(?<!ing) (?:out|back|away|over|along) [a-z]"
)
"""An order: a word, none of the small ones, before a determiner; or with its particle (`flake out chain`)."""
_FINITE = re.any_case(
    r"\w\s+(?:is|are|was|were|has|have|had|can|cannot|can't|may|might|must|should|shall|will|would|does|do not|"
    r"doesn't|isn't|aren't|holds?|means|consists?|contains?|provides?|needs|allows|makes|gives|comes?|becomes?|"
    r"works|uses|"
    r"supplies|drives|feeds|happens|stands|shows|takes|keeps|"
    r"[a-z]{2,}ed (?:the|an?|his|her|their|its|our|my))\b"
)
_SUBJECT = re.any_case(
    r"(?:the|an?|this|these|those|each|every|there|it|they|we|you|i|no|most|some|our|its)\b"
)
_ANSWERED = re.compile(rf"{LEADER.pattern}|\s+[-–—]{{1,2}}\s+|:\s+")
"""Between a challenge and its response, also in a list of none but such."""
_FORBIDS = re.any_case(r"(?:do not|don['’]t|never)\b")
_AMOUNT = re.compile(r"[<>≤≥±~+\-−]?\s*\d")
_CLAUSES = re.compile(r"[,;()]|\.\s")
_PARTICIPLE = re.compile(
    r"[a-z]{2,}(?<!e)ed|seen|shut|found|heard|felt|read|taken|put|made|drawn|thrown|lit|hung|cut|let"
)
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
    """Whether words tell somebody to do something, maybe behind a condition: no name may pass for an order (`check
    valves open`)."""
    for _ in range(4):
        if _begins_order(text):
            return True
        ahead = _AHEAD.match(text)
        if ahead is None:
            return False
        text = text[ahead.end() :]
    return False


def _begins_order(words: str) -> bool:
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
    if is_order(text) or _responds(_response_of(text)):
        return True
    words = _WORD.findall(text)
    if any(map(_is_called, words[1:])) and not all(map(str.isupper, words)):
        return True
    return not _FINITE.search(text) and any(map(_is_brought, _CLAUSES.split(text)))


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
    amounts = sum(map(bool, map(_AMOUNT.match, responses)))
    return sure > 0 and (sure + amounts) * 2 > len(texts)


def is_procedure(
    block: List, heading: str, above: Sequence[str], texts: Sequence[str], *, recited: bool
) -> bool:
    """Whether a list is one. heading: the nearest one; above: those above it; texts: its lines, without those that
    only say when; recited: it stands in a place of memory items."""
    lead = re.split(r"(?<=[.!?])\s", one_line(block.lead.plain))[-1] if block.lead is not None else ""
    said, heading = lead or heading, heading.strip(" :")
    other = (not lead or lead.endswith(":")) and _WAYS.search(said)
    count = len(texts)
    none = is_contents(block) or tells_changes(heading) or _TO_DO.fullmatch(heading)
    if not texts or none or _ANY_ORDER.search(said):
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
    long = sum(len(text.split()) for text in texts) > _MOST_WORDS * count
    if other or long or any(sum(map(bool, map(sort.match, texts))) * 2 > count for sort in (_NO_STEP, _CASE)):
        return False
    if _TOLD.search(said):
        return True
    stating = sum(map(_states, texts))
    if (names_steps(lead) or names_steps(heading)) and not any(map(_RULE.search, texts)):
        return telling + stating > 0 and not never
    under = telling > 0 and not stating and not never and any(map(_EVENT.search, above))
    return under or (stating * 3 <= count and telling * (3 if never else 4) >= count * 2)


def tells_changes(heading: str) -> bool:
    """Whether a heading stands over what a version changed."""
    return _CHANGES.fullmatch(heading.strip(" :")) is not None


def names_steps(place: str) -> bool:
    """Whether a heading or a line above says that steps follow, or names an event at which something is done."""
    return bool(_TOLD.search(place) or _EVENT.search(place))


def _response_of(text: str) -> str:
    """What is answered to a challenge: behind dots, a dash or a colon; empty where the line is none."""
    challenge, *response = _ANSWERED.split(one_line(text).rstrip(" .;"), maxsplit=1)
    return "".join(response) if 0 < len(challenge.split()) <= _MOST_CHALLENGE else ""


def _responds(response: str) -> bool:
    """Whether words are what is answered to a challenge: `IDLE`, `as required`, `check quantity`."""
    words = _WORD.findall(response)
    if not words or len(words) > _MOST_CHALLENGE:
        return False
    ends = {words[0].casefold(), words[-1].casefold()}
    return (
        words[0].casefold() in lexicon.ORDERS
        or not lexicon.DONE.isdisjoint(ends)
        or (len(" ".join(words)) > 1 and all(map(str.isupper, words)))
        or any(map(_is_called, words))
    )


def _is_called(word: str) -> bool:
    return len(word) > 1 and word.isupper() and is_position(word.casefold())


def _is_brought(clause: str) -> bool:
    """Whether words are a thing with its participle, a position or a state: `Bilges measured daily`, `Gear UP`."""
    words = [word.strip("“”\"'") for word in clause.split()]
    if not 1 < len(words) <= _MOST_FRAGMENT or _SUBJECT.match(clause.strip()):
        return False
    last = words[-1]
    shouted = len(last) > 1 and last.isupper() and last.isalpha()
    return shouted or last.casefold() in lexicon.DONE or any(map(_PARTICIPLE.fullmatch, words[1:4]))


def _states(text: str) -> bool:
    """Whether a line says that something is so."""
    text = one_line(text)
    said = _FINITE.search(text) is not None or (_SUBJECT.match(text) is not None and len(text.split()) > 3)
    return said and not tells(text)
