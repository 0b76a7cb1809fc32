"""Slips of the keyboard: one letter wrong, left out or added, or two neighbours swapped, in a longer word."""

from collections.abc import Callable

from recall.answers.vocabulary import NEGATIONS, OPPOSED, is_word
from recall.base.text import one_slip

SHORTEST = 5
_LONG = 7
"""Letters of half an opposite in which any slip is plain; a shorter one keeps its letters (`inner`, not `inter`)."""


def forgiven_slip(typed: str, wanted: str, known: Callable[[str], bool]) -> bool:
    """Whether a typed word is the wanted one with one slip, and no other. known: whether one stands in the deck."""
    if len(wanted) < SHORTEST or not (typed.isalpha() and wanted.isalpha()):
        return False
    if typed in OPPOSED or typed in NEGATIONS or wanted in NEGATIONS or is_word(typed):
        return False
    if not one_slip(typed, wanted) or _changes_prefix(typed, wanted) or known(typed):
        return False
    return wanted not in OPPOSED or len(wanted) >= _LONG or _same_letters(typed, wanted)


def _same_letters(typed: str, wanted: str) -> bool:
    """No letter that the other hasn't: one half of an opposite is never taken out of another word."""
    return set(typed) <= set(wanted) and (len(typed) != len(wanted) or sorted(typed) == sorted(wanted))


def _changes_prefix(one: str, two: str) -> bool:
    """A first letter that turns the meaning round: asymmetric, inboard for onboard, affect for effect."""
    if one[0] == two[0]:
        return False
    if one[1:] == two[1:]:
        return one[0] in "aeiou" and two[0] in "aeiou"
    return one == "a" + two or two == "a" + one
