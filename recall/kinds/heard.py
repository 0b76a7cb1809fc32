"""What the cards of points say, and whether words stand in it."""

from functools import lru_cache

from recall.base import regex as re
from recall.base.text import words_of
from recall.kinds.model import Point

_DIGIT = re.compile(r"\d")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
_AHEAD = re.any_case(r"^\W*(?:step\s+\d+[.):]?|\(?\d+(?:\.\d+)*[.):])\s+")
"""The number of a step before its words."""
_MARK = re.compile(r"\[\^[\w-]+\]|\{#[^{}]*\}")


def said_by(point: Point, *, parts: bool = True) -> str:
    """All that the cards of a point say or show, in one text."""
    words = [point.subject, point.condition, point.applies, point.cite, point.why, point.id, *point.topic]
    for texts in (*point.fields.values(), *point.extra):
        words += texts
    words += [amount.text for amount in point.amounts.values()]
    words += point.wording.values()
    words += map(said_by, point.parts if parts else ())
    return " ".join(words)


@lru_cache(maxsize=64)
def _words(heard: str) -> frozenset[str]:
    return frozenset(words_of(heard))


def stands(words: str, heard: str, share: int = 2) -> bool:
    """Whether words stand in what is said: their numbers, and one in `share` of the others."""
    own = [word for word in words_of(words) if not word[:1].isdigit()]
    stand = share * sum(word in _words(heard) for word in own) >= len(own)
    return bool(heard) and stand and not lost(words, heard)


@lru_cache(maxsize=64)
def _numbers(heard: str) -> frozenset[str]:
    return frozenset(_NUMBER.findall(heard))


def lost(words: str, heard: str) -> str:
    """The first number of some words that isn't said; empty where all are."""
    if not _DIGIT.search(words):
        return ""
    own = _NUMBER.findall(_AHEAD.sub("", _MARK.sub("", words)))
    return next((number for number in own if number not in _numbers(heard)), "")
