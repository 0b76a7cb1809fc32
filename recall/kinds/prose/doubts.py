"""Why a sentence that has one of the forms isn't read: one list, of the text first, of what was made of it then."""

from collections.abc import Callable

from recall.base import regex as re
from recall.base.text import word_set
from recall.kinds.prose import lexicon
from recall.kinds.prose.form import Claim
from recall.kinds.prose.sentence import MOST_SIGNS, has_verb
from recall.kinds.steps.telling import is_order
from recall.notes.model import Text

_MOST_WORDS = 44
_PERSON = re.any_case(
    r"\b(?:you|your|yours|yourself|we|our|us|ours|i|i'm|i'll|my|me|please|let's|let us|nobody|somebody|everybody)\b"
)
_POINTER = re.any_case(r"\b(this|these|those|such|here)\b(?:\s+(\S+))?")
_POINTER_ALONE = re.any_case(
    r"(?:is|are|was|were|has|have|had|does|do|did|can|cannot|will|may|must|should|in|on|to|by|at|for|\w+[^s]s)\b|$|[^\w\s]"
)
_BEHIND = re.any_case(
    r",\s+(?:and|but (?!not\b)|so|which|because|otherwise|then|or else|as|since|where|if|when)\b"
)
_POINTS_ON = re.any_case(r"\bfollowing\b|\bas follows\b|\b(?:below|above|then|and|or|the|to)$")
_OTHER_CASE = re.any_case(r"[,–—]\s+(?:\w+\s+)?(?:if|when|otherwise|else)\b")
_NO_EFFECT = re.any_case(r"(?:of|includes?|are|is|for|and|or|by|from|to|no|a lot|much)\b")
_CODE = re.compile(r"[{}]|\w\(\)|\w\.\w+\(|(?:^|\s)--\w|://")
_TWO = re.any_case(
    r"\b(?:if|even|although|because|that|which|who|so)\b|"
    r"\b(?:and|but) (?:must|has|is|are|was|were|can|cannot|will|may|shall|should|needs)\b"
)
_ALSO = re.any_case(
    r" (?:and|but) \w+(?<=s) (?:only )?(?:if|when|whenever|while|unless|until|as soon as|as long as) "
)
_PARTED = re.compile(r"[:;]|,(?!\d)")
_RELATIVE = re.compile(r"\b(?:that|which|who) (?:cannot|can't|will not|won't|must not|is|are)\b")
_NOTHING = lexicon.OPENERS | word_set("""
    use reason point need way doubt sense harm one idea problem comment change party meal rule this these that those
    there how what why to he she
""")
"""Words at the head of a sentence that is about no thing: orders, `no reason to … without`."""
_NO_TAIL = lexicon.LOOSE_ENDS - {"possible"} | {"if", "says", "means"}
_THEN_ACTS = re.any_case(
    r"\b(?:and|or) (?:then )?(?:opens?|closes?|starts?|stops?|trips?|shuts?|locks?|unlocks?|sounds?|resets?|"
    r"releases?|cuts? (?:in|out|off)|comes? (?:on|back)|goes out|switches|falls?|rises?)\b"
)
_ACTS = ("inhibits", "locks out", "disables", "prevents")
"""Verbs of a sentence whose cause comes first."""
_CASE = re.any_case(
    r"\b(?:only|while|when|if|unless)\b|\b(?:above|below|beyond|over|under|during) .+ and \w+s$"
)
"""Says itself when it holds."""
_DAY = re.any_case(
    r"\b(?:until|till|by|since) (?:next |this |last )?(?:(?:mon|tues|wednes|thurs|fri|satur|sun)day|tomorrow|today)\b"
)
"""Holds for some days, and is no rule."""
_LOOSE = frozenset(("it", "them", "him", "her"))
"""Words behind the head that stand for something said before."""


def points_elsewhere(phrase: str) -> bool:
    """Whether words point at what was said before: `this valve`, `such values`, `here`. A lone `this` is the
    sentence's own."""
    found = _POINTER.finditer(phrase)
    return any(one[1].casefold() == "here" or not _POINTER_ALONE.match(one[2] or "") for one in found)


def unpaired(plain: str) -> bool:
    """Whether a bracket or a quote stands without its other one."""
    pairs = (("(", ")"), ("[", "]"), ("“", "”"))
    return any(plain.count(left) != plain.count(right) for left, right in pairs) or plain.count('"') % 2 == 1


_OF_TEXT: tuple[tuple[str, Callable[[Text, str], object]], ...] = (
    ("it is too long to be sure of", lambda text, plain: len(plain) > MOST_SIGNS),
    ("it has several lines", lambda text, plain: "\n" in text.plain.strip()),
    ("it links to something else", lambda text, plain: any(run.link for run in text.runs)),
    ("it speaks of code", lambda text, plain: _CODE.search(plain)),
    ("it asks", lambda text, plain: plain.rstrip("\"'”)").endswith("?")),
    ("it goes on elsewhere", lambda text, plain: plain.endswith((":", ",", ";", "…", ".."))),
    ("it speaks to or of a person", lambda text, plain: _PERSON.search(plain)),
    ("its brackets or quotes don't pair", lambda text, plain: unpaired(plain)),
)


def doubt_of_text(text: Text, plain: str) -> str:
    """What keeps a text from being read at all; empty where nothing does."""
    return next((why for why, test in _OF_TEXT if test(text, plain)), "")


def _words(phrase: str) -> list[str]:
    return phrase.casefold().split()


def _says_half(claim: Claim) -> bool:
    """Whether a condition isn't one by itself: it lacks its subject (`If supplied with air`) or its end, or says
    nothing (`If in doubt`)."""
    first, *rest = words = _words(claim.subject)
    if claim.word == "Should" and is_order(claim.subject):
        return True
    participle = first in lexicon.PARTICIPLES or (first.endswith("ed") and not first.endswith("eed"))
    if participle and rest and rest[0] in lexicon.AFTER_PARTICIPLE:
        return True
    if claim.subject.split()[-1] in lexicon.LOOSE_ENDS:
        return True
    if claim.word.casefold() in ("in case of", "in the event of", "without"):
        return False
    return (
        not rest
        or not any(map(str.isalpha, first))  # `If < 100 % and normal`
        or first in ("not", "and", "so", "any")
        or "will" in words
        or (words[-1] in lexicon.VACUOUS and len(words) < 4 and not has_verb(claim.subject))
    )


def _head(claim: Claim) -> str:
    """The words with which the sentence begins."""
    return claim.said if claim.stem.startswith("…") else claim.subject


def _is_headless(claim: Claim) -> bool:
    """Whether a sentence doesn't begin with what it is about, or not with that alone."""
    first, *rest = _words(_head(claim))
    return (
        (first in _NOTHING and rest[:1] != ["of"])
        or claim.subject.split()[-1] in _NO_TAIL
        or _PARTED.search(claim.subject) is not None
        or _RELATIVE.search(claim.subject) is not None
    )


def _is_no_name(claim: Claim) -> bool:
    """Whether the cause is more than a name."""
    if claim.form.ask == "name":
        return not (lexicon.CLAUSE_WORDS | lexicon.TELLING).isdisjoint(
            re.findall(r"[\w'’/.-]+", claim.subject)
        )
    other = lexicon.CLAUSE_WORDS | {"to", "neither", "nor"}
    return claim.lead in _ACTS and bool(_PARTED.search(claim.said) or other.intersection(_words(claim.said)))


Doubt = tuple[str, str, Callable[[Claim], object]]
"""Why, of sentences asked in which ways, and the test."""

DOUBTS: tuple[Doubt, ...] = (
    ("it points at something said elsewhere", "gap name condition",
     lambda c: points_elsewhere(" ".join(c.subject.split()[1:])) or points_elsewhere(c.said)),
    ("it holds for some days only", "gap name condition", lambda c: _DAY.search(f"{c.subject} {c.said}")),
    ("it is a formula", "gap name condition", lambda c: " = " in c.subject or " = " in c.said),
    ("`it` may stand for anything", "gap", lambda c: _LOOSE.intersection(_words(c.subject)[1:])),
    ("it doesn't begin with what it is about", "gap name", _is_headless),
    ("its cause is no plain name", "gap name", _is_no_name),
    ("it is turned round by a `not`", "gap",
     lambda c: c.lead.casefold().startswith("only") and lexicon.NEGATING & set(_words(c.subject))),
    ("it says two things", "gap name",
     lambda c: c.form.pattern.fullmatch(c.said) or re.search(r";|\bnor\b", c.said)),
    ("it says two things", "gap", lambda c: _TWO.search(_head(c)) or _ALSO.search(c.said)),
    ("it isn't sure what its second verb is of", "gap condition",
     lambda c: c.form.kind == "consequence" and "(?P<x>" in c.form.pattern.pattern
     and _THEN_ACTS.search(f"{c.said}, {c.subject}" if c.stem.startswith("…") else c.subject)),
    ("it tells of another case too", "condition",
     lambda c: "(?P<x>" in c.form.pattern.pattern and _CASE.search(c.said)),
    ("another clause hangs on behind a comma", "gap name", lambda c: _BEHIND.search(c.said)),
    ("it goes on in brackets", "gap name", lambda c: unpaired(c.said)),
    ("it isn't sure where its second half begins", "gap", lambda c: c.said.split()[-1] in ("for", "to", "of")),
    ("it tells of another case too", "gap", lambda c: c.stem.startswith("…") and "except" in _words(c.said)),
    ("it is too long to be sure of", "gap name", lambda c: len(_words(f"{c.subject} {c.said}")) > _MOST_WORDS),
    ("its condition says nothing by itself", "condition", _says_half),
    ("it isn't sure where its condition ends", "condition",
     lambda c: _words(c.said)[0] in lexicon.CONNECTIVES or _OTHER_CASE.search(c.said)),
    ("it sends the reader elsewhere", "gap condition",
     lambda c: _words(c.said)[0] in lexicon.ELSEWHERE or _POINTS_ON.search(c.said)),
    ("its effect is no plain one", "name", lambda c: _NO_EFFECT.match(c.said)),
    ("its verb doesn't agree with its cause", "name",
     lambda c: c.lead.casefold() in ("cause", "result in", "lead to") and not re.search(r"[^su\W]s$", c.subject)),
)  # fmt: skip


def doubt_of(claim: Claim) -> str:
    """What keeps a claim from being asked; empty where nothing does."""
    if not claim.subject or not claim.said:
        return "it says only half"
    return next((why for why, asks, test in DOUBTS if claim.form.ask in asks.split() and test(claim)), "")
