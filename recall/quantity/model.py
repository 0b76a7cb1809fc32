"""What a cell can turn out to be: an amount read with certainty, words on purpose, nothing, or unreadable."""

from typing import Literal

from recall.base.dataclass import dataclass
from recall.quantity.number import Number
from recall.quantity.unit import Unit

Shape = Literal["single", "values", "limits", "duty"]
Rule = Literal["unread-amount", "unreadable-quantity", "minimum-above-maximum", "unit-mismatch"]
SLIP: Rule = "unreadable-quantity"
"""Of a number that is broken, or could be two; one that is written in words or signs that aren't known is none."""


@dataclass(frozen=True, slots=True)
class Span:
    """One amount.

    A value alone; a range (both ends); a comparison (one end; `low_open` or `high_open` when the end itself is left
    out); a tolerance (value and both ends). approximate: the note says "about".
    """

    low: Number | None = None
    high: Number | None = None
    value: Number | None = None
    low_open: bool = False
    high_open: bool = False
    unit: Unit | None = None
    approximate: bool = False


@dataclass(frozen=True, slots=True)
class Other:
    """Another amount of the same quantity, in brackets: what holds instead under its condition or for its time."""

    span: Span
    condition: str
    duration: Span | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """A cell that was read.

    shape: one amount (`single`); several of one unit (`values`: 230/215 kt); two of different dimensions (`limits`:
    280 kt / M 0.67); times on and off (`duty`, whose words stand in `text` alone). duration: for how long; condition:
    words in brackets that are one; also: the same amount in another unit, as written; text: the cell, blanks folded;
    others: what holds under conditions in brackets; remark: the other words in brackets.
    """

    spans: tuple[Span, ...]
    shape: Shape
    duration: Span | None
    condition: str
    also: Span | None
    text: str
    others: tuple[Other, ...] = ()
    remark: str = ""

    def __hash__(self) -> int:
        """By its words: hashing numbers is slow, and what is made of a reading is kept by it."""
        return hash(self.text)


@dataclass(frozen=True, slots=True)
class Words:
    """Text on purpose (`Not limited`): an answer in words."""

    text: str


@dataclass(frozen=True, slots=True)
class Blank:
    """No answer yet: blank, a placeholder, a unit alone."""

    text: str


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Not read with certainty. reason: one line that stands alone; help: the cure."""

    text: str
    rule: Rule
    reason: str
    help: str


class NotReadError(Exception):
    """Inside the reader only: why an amount isn't read. It never leaves `read_cell`."""

    def __init__(self, reason: str, help: str, rule: Rule = "unread-amount") -> None:
        super().__init__(reason)
        self.reason, self.help, self.rule = reason, help, rule


def excerpt(text: str) -> str:
    """The text in backticks, shortened, for a message."""
    plain = text.replace("`", "'")
    return f"`{plain}`" if len(plain) <= 60 else f"`{plain[:59]}…`"
