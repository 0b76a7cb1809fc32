"""Typed prose beside the answer that a person marks it by: which of the words that matter are there."""

from collections.abc import Sequence

from recall.base.text import words_of

_WORDS = """
    a about after all also an and any are as at be because been before both but by can could did do does each
    either else every few for from had has have he her here his how i if in into is it its itself just may me
    might more most much must my nor of on once one only or other our out over own per shall she should so
    some such than that the their them then there these they this those through to too under up us very was we
    were what when where which while who whom whose why will with would you your
"""
_FUNCTION = frozenset(_WORDS.split())
"""Words that say nothing by themselves; `not`, `no`, `off` and the like do. Common practice, no source."""
_ENDINGS = ("ings", "ing", "ies", "ied", "ed", "es", "s", "y")
_STEM = 3


def compared(given: str, answer: Sequence[str], prompt: str) -> tuple[tuple[str, ...], bool]:
    """The words of the answer that matter and aren't in what was given, as the answer spells them, and whether any is
    in it. Endings of a word don't count (`feeds`, `feeding`), nor do words of the question."""
    said, asked = ({_stem(word) for word in words_of(text)} for text in (given, prompt))
    words = [word for word in words_of(" ".join(answer)) if word not in _FUNCTION]
    matters = {stem: word for word in words if (stem := _stem(word)) not in asked}
    missing = tuple(word for stem, word in matters.items() if stem not in said)
    return missing, not matters or len(missing) < len(matters)


def _stem(word: str) -> str:
    ending = next((end for end in _ENDINGS if word.endswith(end) and len(word) - len(end) >= _STEM), "")
    return word[: len(word) - len(ending)]
