"""Which form an answer in words takes: what is short is typed, what isn't is revealed."""

from collections.abc import Sequence

from recall.answers.members import MembersAnswer
from recall.answers.model import Answer
from recall.answers.phrase import WordsAnswer
from recall.answers.prose import ProseAnswer

_MOST_STEPS = 9


def in_words(texts: tuple[str, ...], most: int, *, fewest: int = 1) -> Answer:
    """A phrase or a set of them, each of `most` words or fewer, where there are `fewest` or more; prose otherwise."""
    if len(texts) < fewest or not _short(texts, most):
        return ProseAnswer(texts)
    return MembersAnswer(texts) if len(texts) > 1 else WordsAnswer(texts)


def in_order(steps: tuple[str, ...], most: int) -> Answer:
    """Steps to recite, marked where they are few and short."""
    if len(steps) <= _MOST_STEPS and _short(steps, most):
        return MembersAnswer(steps, steps, steps=True)
    return ProseAnswer(steps, steps, steps=True)


def _short(texts: Sequence[str], most: int) -> bool:
    return all(len(text.split()) <= most and "\n" not in text for text in texts)
