"""Sentences that say what follows from what: `If X, Y`, `X causes Y`, `X → Y → Z`."""

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from recall.kinds import lexicon
from recall.kinds.cells import without_stop
from recall.kinds.model import Scope
from recall.kinds.sentences import has_verb, points_elsewhere, runs_on, split_condition, with_subject

_MOST_CAUSE = 14
_MOST_WORDS = 30
_MOST_STEPS = 9

_CONDITIONAL = re.compile(r"(if|when)\s+(.+)", re.IGNORECASE)
_CAUSES = re.compile(r"(?P<x>.+?) (?P<verb>causes|results in|cause|result in) (?P<y>.+)", re.IGNORECASE)
_POINTS_ON = re.compile(r"\bfollowing\b|\bas follows\b|\b(?:below|above|then|and|or|the|to)$", re.IGNORECASE)
"""An outcome that stands elsewhere."""
_OTHER_CASE = re.compile(r"[,–—]\s+(?:\w+\s+)?(?:if|when|otherwise|else|unless)\b", re.IGNORECASE)
_PLURALS = ("cause", "result in")
_NO_EFFECT = re.compile(r"(?:of|includes?|are|is|for|and|or|by|from|to|no)\b", re.IGNORECASE)
_ARROW = re.compile(r"\s*(?:→|⇒|➔|➜|➡\ufe0f?|⟶|⟹)\s*|\s+(?:-{1,2}>|={1,2}>)\s+")
_VALUE = re.compile(r"[+\-\u2212<>≤≥]?\s*\d[\d.,]*\s*\S{0,6}|[\w.]*[_/\\(){}<>]\S*")


@dataclass(frozen=True, slots=True)
class Clause:
    """What follows from a subject. role: `then` or `action`; word: If or When where a whole clause is the subject."""

    subject: str
    role: Literal["then", "action"]
    outcome: str
    word: str = ""


def clauses_of(sentence: str, scope: Scope) -> list[Clause]:
    """What a sentence says in one of the plain forms; nothing where it isn't one, or not for sure."""
    if _ARROW.search(sentence):
        return _chain(sentence, scope)
    if found := _CONDITIONAL.fullmatch(sentence):
        return _conditional(found[1].capitalize(), found[2], scope)
    if found := _CAUSES.fullmatch(sentence):
        return _cause(found, scope)
    return []


def has_arrow(text: str) -> bool:
    """Whether an arrow stands in the text."""
    return _ARROW.search(f" {text} ") is not None


def is_order(outcome: str) -> bool:
    """Whether the words tell somebody to do something."""
    first, *rest = outcome.replace(",", " ").split()
    word = first.casefold()
    if word in lexicon.ORDERS:
        return True
    return (
        word in lexicon.ORDERS_TOO and bool(rest) and (rest[0] in lexicon.AFTER_ORDER or rest[0][0].isupper())
    )


def _conditional(word: str, rest: str, scope: Scope) -> list[Clause]:
    halves = split_condition(rest)
    if halves is None:
        return []
    condition, outcome = halves
    words = condition.casefold().split()
    if (
        len(words) < 2
        or words[0] in ("not", "and", "so", "any")
        or (words[-1] in lexicon.VACUOUS and len(words) < 4 and not has_verb(condition))
    ):
        return []
    opening = outcome.casefold().split()[0]
    if condition.split()[-1] in lexicon.LOOSE_ENDS or _POINTS_ON.search(outcome) or _lacks_subject(words):
        return []
    if opening in lexicon.CONNECTIVES or points_elsewhere(" ".join(words[1:])) or points_elsewhere(outcome):
        return []
    if opening in lexicon.ELSEWHERE or _OTHER_CASE.search(outcome) or len(rest.split()) > 2 * _MOST_WORDS:
        return []
    subject = with_subject(condition, scope)
    if subject is None:
        return []
    return [Clause(subject, "action" if is_order(outcome) else "then", outcome, word)]


def _lacks_subject(words: list[str]) -> bool:
    """Whether a condition begins with a participle: `If supplied with air`, `When set to 1`."""
    first, second = words[0], words[1]
    participle = first in lexicon.PARTICIPLES or (first.endswith("ed") and not first.endswith("eed"))
    return participle and second in lexicon.AFTER_PARTICIPLE


def _cause(found: re.Match[str], scope: Scope) -> list[Clause]:
    cause, effect = found["x"].strip(), found["y"].strip()
    words = re.findall(r"[\w'’/.-]+", cause.casefold())
    if (
        not words
        or cause.split()[-1] in lexicon.LOOSE_ENDS
        or (lexicon.CLAUSE_WORDS | lexicon.TELLING) & set(words)
        or re.search(r"[,:]", cause)
    ):
        return []
    if words[0] in ("this", "these", "that", "those", "there", "how", "what", "why", "to", "he", "she"):
        return []
    if found["verb"].casefold() in _PLURALS and not re.search(r"[^su\W]s$", cause):
        return []
    if points_elsewhere(" ".join(words[1:])) or points_elsewhere(effect):
        return []
    if _NO_EFFECT.match(effect) or runs_on(effect) or _CAUSES.fullmatch(effect):
        return []
    if len(words) > _MOST_CAUSE or len(effect.split()) > _MOST_WORDS:
        return []
    subject = with_subject(cause, scope)
    return [] if subject is None else [Clause(subject, "then", effect)]


def _chain(sentence: str, scope: Scope) -> list[Clause]:
    """One clause an arrow; a path through menus, a mapping of values or code is none."""
    steps = [without_stop(step) for step in _ARROW.split(sentence)]
    steps[0] = re.sub(r"^(?:if|when)\s+", "", steps[0], flags=re.IGNORECASE)
    if not 2 <= len(steps) <= _MOST_STEPS:
        return []
    if any(not step or len(step.split()) > _MOST_CAUSE or _VALUE.fullmatch(step) for step in steps):
        return []
    telling = [step for step in steps if _tells(step)]
    first = with_subject(steps[0], scope)
    if len(telling) * 2 <= len(steps) or first is None:
        return []
    steps[0] = first
    return [Clause(before, "then", after) for before, after in pairwise(steps)]


def _tells(step: str) -> bool:
    """Whether a step says that something happens: words in lower case behind its first, as no title has them."""
    words: list[str] = re.findall(r"[^\W\d_]+", re.sub(r"\([^()]*\)", "", step))
    return any(word[0].islower() and word not in lexicon.ASIDE for word in words[1:])
