"""Typed prose beside the answer that a person marks it by: which of the words that matter are there."""

from collections.abc import Sequence

from recall.answers.alike import same_meaning, same_word
from recall.answers.tokens import tokens_of
from recall.base.text import word_set

_FUNCTION = word_set("""
    a about after all also an and any are as at be because been before both but by can could did do does each
    either else every few for from had has have he her here his how i if in into is it its itself just may me
    might more most much must my nor of on once one only or other our out over own per shall she should so
    some such than that the their them then there these they this those through to too under up us very was we
    were what when where which while who whom whose why will with would you your
""")
"""Words that say nothing by themselves; `not`, `no`, `off` and the like do. Common practice, no source."""


def compared(given: str, answer: Sequence[str], prompt: str) -> tuple[tuple[str, ...], bool]:
    """The words of the answer that matter and aren't in what was given, as the answer spells them, and whether any is
    in it. Other forms of a word count as it does, and what says the same; words of the question don't count."""
    due = tokens_of(" ".join(answer))
    matters = [word for word in dict.fromkeys(due.words) if word not in _FUNCTION and not _said(word, prompt)]
    missing = tuple(due.said(word) for word in matters if not _said(word, given))
    return missing, not matters or len(missing) < len(matters)


def _said(word: str, text: str) -> bool:
    return any(same_word(word, one) or same_meaning(word, one) for one in tokens_of(text).words)
