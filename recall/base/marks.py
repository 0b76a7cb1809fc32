"""How an answer went, and where a card is: the words that a person sees and that events keep."""

from typing import Literal

Mark = Literal["missed", "hesitant", "sure", "instant"]
Standing = Literal["unasked", "initial", "current", "requalifying"]

MARKS: tuple[Mark, ...] = ("missed", "hesitant", "sure", "instant")


def rank(mark: Mark) -> int:
    """1 to 4, as the memory model counts."""
    return MARKS.index(mark) + 1
