"""Typed prose beside the answer that a person marks it by: which of the words that matter are there."""

from collections.abc import Sequence

from recall.answers.alike import same_meaning, same_word
from recall.answers.tokens import Tokens, tokens_of
from recall.base.text import word_set
from recall.kinds.model import Card

_FUNCTION = word_set("""
    a about after all also an and any are as at be because been before both but by can could did do does each
    either else every few for from had has have he her here his how i if in into is it its itself just may me
    might more most much must my nor of on once one only or other our out over own per shall she should so
    some such than that the their them then there these they this those through to too under up us very was we
    were what when where which while who whom whose why will with would you your
""")
"""Words that say nothing by themselves; `not`, `no`, `off` and the like do. Common practice, no source."""


def compared(given: str, answer: Sequence[str], prompt: str) -> tuple[tuple[str, ...], bool]:
    """The words and numbers of the answer that matter and aren't in what was given, as the answer spells them, and
    whether any is in it; of several parts that all say a number, any number. Other forms of a word count as it does,
    and what says the same; words of the question, and units behind a number, don't count."""
    due, said, asked = (tokens_of(text) for text in (" ".join(answer), given, prompt))
    units = {word for at in due.numbers for end, *_ in due.units(at) for word in due.words[at + 1 : end]}
    matters: dict[str, int] = {}
    found = set[str]()
    for at, word in enumerate(due.words):
        if word in units or word in _FUNCTION or word in matters or _among(due, at, asked):
            continue
        matters[word] = at
        if _among(due, at, said):
            found.add(word)
    missing = tuple(due.said(word) for word in matters if word not in found)
    amounts = len(answer) > 1 and all(tokens_of(text).numbers for text in answer)
    shared = any(matters[word] in due.numbers for word in found) if amounts else bool(found)
    return missing, shared or not matters


def apart(given: str, card: Card) -> bool:
    """Whether something was given that shares no word that matters with the answer."""
    return bool(given) and not compared(given, card.answer.texts, card.prompt)[1]


def _among(due: Tokens, at: int, text: Tokens) -> bool:
    """Whether a text says a word or a number of the answer."""
    if at in due.numbers:
        return due.numbers[at] in text.numbers.values()
    word = due.words[at]
    return any(same_word(word, one) or same_meaning(word, one) for one in text.words)
