"""What a text says: its sentences held against the forms of all kinds, arrows, and the doubts."""

from collections.abc import Callable, Sequence
from itertools import pairwise

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.kinds.english import upper
from recall.kinds.model import Scope
from recall.kinds.prose import lexicon
from recall.kinds.prose.doubts import doubt_of, doubt_of_text, unpaired
from recall.kinds.prose.form import Claim, Said, SentenceForm
from recall.kinds.prose.sentence import MOST_SIGNS, is_clause, sentences_of, split_condition, with_subject
from recall.kinds.steps.telling import is_order, tells_changes
from recall.kinds.tables.cells import without_stop
from recall.notes.model import Text

_MOST_LINKS = 9
_MOST_LINK_WORDS = 14
_MOST_BEHIND = 40
"""Words of all sentences of a bullet that still make one answer."""
ARROW = re.compile(r"\s*(?:→|⇒|➔|➜|➡\ufe0f?|⟶|⟹)\s*|\s+(?:-{1,2}>|={1,2}>)\s+")
_VALUE = re.compile(r"[+\-\u2212<>≤≥]?\s*\d[\d.,]*\s*\S{0,6}|[\w.]*[_/\\(){}<>]\S*")
_HOLDS = re.any_case(r"\s(?:if|when|while|unless|until)\s")
_BRACKETS = re.compile(r"\([^()]*\)")
_LABELLED = re.compile(r":(?:\s|$)")
_CONDITION = re.any_case(r"(?:if|when|unless|should|otherwise)\b")
_OTHERWISE = re.any_case(
    r"(?:otherwise|unless)\b|(?:if|when) (?:not|so|in doubt|it|this|that|these|they|there|still|the same)\b"
)
"""Begins what holds in the other case of a condition, or goes on from what follows it."""
_PRONOUN = "it isn't sure what its pronoun means"
_SEVERAL = re.compile(r"\w[^\Ws]s ([a-z]{3,})\b")
_ARTICLE = re.compile(r"^(?:The|An?)\b")
_BEYOND = re.compile(r"\b(?:above|below|over|under|beyond) [+\-\u2212]?\d")
"""A state: a thing beyond an amount."""
_TURNED = ("While", "As long as", "So long as", "Unless", "Until", "Without")
"""Words before a condition that may as well stand behind what it holds for."""


def has_arrow(text: str) -> bool:
    """Whether an arrow stands in the text."""
    return ARROW.search(f" {text} ") is not None


def read_text(text: Text, scope: Scope, forms: Sequence[SentenceForm], *, bullet: bool = False) -> Said:
    """What a text says in one of the forms. bullet: sentences behind the first may belong to its answer."""
    sentences = sentences_of(text)
    if not sentences:
        return Said()
    first, *more = sentences
    if bullet and re.match(r"(?:if|when|should)\b", first, re.IGNORECASE):
        first, *parts = first.split("; ")
        more = [*parts, *more]
    if any(map(tells_changes, scope.topic)):
        return Said(near=_near(first, forms), doubt="it stands under a heading of changes")
    plain = re.sub(r"[.!]$", "", " ".join(sentences)) if more else first
    if why := doubt_of_text(text, plain):
        return Said(near=_near(first, forms), doubt=why)
    said = _chain(first, scope) if has_arrow(first) else _sentence(first, scope, forms)
    if not more or not said.claims:
        return said
    return _with_more(said, more, bullet)


def _near(sentence: str, forms: Sequence[SentenceForm]) -> str:
    if len(sentence) > MOST_SIGNS:
        return ""
    return next((form.kind for form in forms if form.pattern.fullmatch(sentence)), "")


def _with_more(said: Said, more: Sequence[str], bullet: bool) -> Said:
    """A condition's answer with the sentences behind it, all of them or none."""
    claim = said.claims[0]
    words = sum(len(sentence.split()) for sentence in more) + len(claim.said.split())
    if not bullet or claim.form.ask != "condition":
        return Said(near=claim.form.kind, doubt="it is more than one sentence")
    if any(map(_CONDITION.match, more[:-1])) or (
        _CONDITION.match(more[-1]) and not _OTHERWISE.match(more[-1])
    ):
        return Said(near=claim.form.kind, doubt="it names a second condition")
    if words > _MOST_BEHIND:
        return Said(near=claim.form.kind, doubt="it is too long to be one answer")
    return Said((replace(claim, more=tuple(more)),))


def _sentence(sentence: str, scope: Scope, forms: Sequence[SentenceForm]) -> Said:
    """The first form that a sentence has without a doubt; else the first doubt."""
    doubted = Said()
    named = with_subject(sentence, scope)
    if named is None:
        near = _near(sentence, forms)
        return Said(near=near, doubt=_PRONOUN if near else "")
    for form in forms:
        if (found := form.pattern.fullmatch(named)) is None:
            continue
        said = _conditional(found, form, scope, forms) if form.ask == "condition" else _cut(found, form)
        if said.claims:
            return said
        doubted = doubted if doubted.near else said
    return doubted


def _doubted(claim: Claim) -> Said:
    if why := doubt_of(claim):
        return Said(near=claim.form.kind, doubt=why)
    return Said((claim,))


def _cut(found: re.Match[str], form: SentenceForm) -> Said:
    """A sentence with a gap where what is asked stands, and one where what it is about stands."""

    def gap(group: str) -> str:
        before, behind = found.string[: found.start(group)].strip(), found.string[found.end(group) :].strip()
        return " ".join(part for part in (before, "…", behind) if part)

    lead = found.groupdict().get("lead") or ""
    claim = Claim(form, found["x"].strip(), found["y"].strip(), gap("y"), gap("x"), lead=lead)
    return _doubted(claim)


def _conditional(
    found: re.Match[str], form: SentenceForm, scope: Scope, forms: Sequence[SentenceForm]
) -> Said:
    """A condition and what follows; where the condition may as well stand behind (`While X, Y is inhibited`), the
    other kinds' forms go first."""
    word, behind = found["word"].capitalize(), "x" in found.groupdict()
    halves = (
        (found["x"], _ARTICLE.sub(lambda one: one[0].lower(), found["y"]))
        if behind
        else split_condition(found["rest"])
    )
    if halves is None or (behind and re.search("[,;]", halves[0])):
        return Said(near=form.kind, doubt="it isn't sure where its condition ends")
    condition, outcome = halves
    if word in _TURNED:
        others = [other for other in forms if other.kind != form.kind]
        if (said := _sentence(f"{upper(outcome)} {word.casefold()} {condition}", scope, others)).claims:
            return said
    role = "action" if is_order(outcome) else form.role
    said = _doubted(Claim(replace(form, role=role), condition, outcome, word=word))
    subject = with_subject(condition, Scope() if behind else scope) if said.claims else None
    if subject is None:
        return Said(near=form.kind, doubt=said.doubt or _PRONOUN)
    return Said((replace(said.claims[0], subject=subject),))


def _chain(sentence: str, scope: Scope) -> Said:
    """A claim an arrow, where each link is a clause. A path through menus, a mapping of values, an arrow in
    brackets or behind a label is none."""
    links = [without_stop(link) for link in ARROW.split(sentence)]
    links[0] = re.sub(r"^(?:if|when)\s+", "", links[0], flags=re.IGNORECASE)
    doubt = next((why for why, test in _OF_CHAIN if test(links)), "")
    first = with_subject(links[0], scope) if not doubt else None
    if first is None:
        return Said(near="consequence", doubt=doubt or _PRONOUN)
    links[0] = first
    return Said(tuple(Claim(CHAIN, before, after) for before, after in pairwise(links)))


CHAIN = SentenceForm("consequence", "then", "", "name")
"""What a link of arrows says, which no pattern reads."""


_OF_CHAIN: tuple[tuple[str, Callable[[Sequence[str]], object]], ...] = (
    ("its arrows don't stand between clauses",
     lambda links: not 2 <= len(links) <= _MOST_LINKS or not all(links)),
    ("an arrow stands inside brackets", lambda links: any(map(unpaired, links))),
    ("another clause hangs on behind a semicolon", lambda links: any(";" in link for link in links[:-1])),
    ("an arrow stands behind a label with a colon", lambda links: any(map(_LABELLED.search, links))),
    ("its arrows stand between names or values", lambda links: any(map(_names, links))),
    ("a link in the middle says when it holds", lambda links: any(map(_HOLDS.search, links[1:-1]))),
    ("not every link is a clause", lambda links: not _are_clauses(links)),
)  # fmt: skip
"""Why arrows aren't read as what follows from what."""


def _names(link: str) -> bool:
    return len(link.split()) > _MOST_LINK_WORDS or _VALUE.fullmatch(link) is not None


def _are_clauses(links: Sequence[str]) -> bool:
    links = [_BRACKETS.sub("", link) for link in links]
    clauses = links[1:] if all(map(_happens, links[1:])) else links
    said = any(map(_happens, (piece for link in links for piece in link.split(", "))))
    return all(map(_may_be_link, clauses)) and (said or all(map(has_state, links)))


def _happens(link: str) -> bool:
    """Whether a link is a clause: also one of several things (`Fans stop`)."""
    return is_clause(link) or any(f"{found[1]}s" in lexicon.VERBS for found in _SEVERAL.finditer(link))


def _words(link: str) -> list[str]:
    return re.findall(r"[^\W\d_][\w'’-]*", link)


def _may_be_link(link: str) -> bool:
    """Whether a link says that something happens or is so: it has a verb, a thing with its state, or words in lower
    case that no title has."""
    words = _words(link)
    return (
        _happens(link)
        or has_state(link)
        or any(word[0].islower() and word not in lexicon.ASIDE for word in words[1:])
    )


def has_state(link: str) -> bool:
    """Whether words name a thing with its state: `dead battery`, `bed above 60 °C`."""
    words = {word.casefold() for word in _words(link)}
    return len(words) > 1 and (bool(lexicon.STATES & words) or _BEYOND.search(link) is not None)
