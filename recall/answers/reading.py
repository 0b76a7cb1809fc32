"""Readings of an instrument, drawn afresh: a number, and whether it lies inside its limits.

Half of them lie near a limit, within 2 % or three steps, for there a crew member has to decide.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, ClassVar

from recall.answers.data import unit_named
from recall.answers.model import NO_LORE, NOTHING, Answer, Drawn, Lore, Verdict, again
from recall.base.text import words_of
from recall.quantity import Number, Span, shown

NEAR = Decimal("0.02")
FAR = Decimal("0.25")
LEAST_STEPS = 3


@dataclass(frozen=True, slots=True)
class Band:
    """What is allowed: from low to high, either may be absent; an open end is itself outside."""

    low: Decimal | None
    high: Decimal | None
    low_open: bool = False
    high_open: bool = False

    @property
    def ends(self) -> list[Decimal]:
        """The ends that are there."""
        return [end for end in (self.low, self.high) if end is not None]

    def side(self, number: Decimal) -> str:
        """`minimum` where a number is under the low end, `maximum` where it is over the high end, else empty."""
        if self.low is not None and (number < self.low or (self.low_open and number == self.low)):
            return "minimum"
        if self.high is not None and (number > self.high or (self.high_open and number == self.high)):
            return "maximum"
        return ""


def draw(band: Band, step: Decimal, signed: bool, rng: random.Random) -> Decimal:
    """A number of whole steps from an end, near it every other time. signed: it may be negative."""
    ends = [end for end in band.ends if signed or end > 0]
    end = rng.choice(ends)
    scale = max(max(abs(each) for each in band.ends), abs(band.ends[-1] - band.ends[0])) or step * 100
    close = max(LEAST_STEPS, int(abs(end) * NEAR / step))
    wide = max(close * 2, int(scale * FAR / step))
    away = rng.randint(0, close) if rng.random() < 0.5 else rng.randint(close + 1, wide)
    number = end + away * step * rng.choice((-1, 1))
    return number if signed or number >= 0 else end + away * step


_ABOUT = frozenset(("it", "is", "its", "the", "limit", "limits", "range"))


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingAnswer(Answer):
    """Inside or outside. facts: what is drawn: `what` (limits, tolerance, normal range), `low` and `high` with
    `low_open` and `high_open`, `unit`, `step`, `signed`, `held` (the time that holds), `alerts`. texts: `inside` or
    `outside` once it is drawn."""

    form: ClassVar[str] = "reading"
    drawn: ClassVar[bool] = True
    facts: Mapping[str, Any]

    def data(self) -> Mapping[str, Any]:
        """What is drawn."""
        return self.facts

    def draw(self, rng: random.Random) -> Drawn:
        """A fresh reading."""
        facts = self.facts
        low, high = (None if facts[name] is None else Decimal(facts[name]) for name in ("low", "high"))
        band = Band(low, high, facts["low_open"], facts["high_open"])
        number = draw(band, Decimal(facts["step"]), facts["signed"], rng)
        side = band.side(number)
        unit = unit_named(facts["unit"])
        return Drawn(
            reads=_shown(number, facts["unit"]),
            counted=unit is None or unit.dimension == "count",
            right=replace(self, texts=("outside" if side else "inside",)),
            why=_why(band, number, side, facts),
            what=facts["what"],
            held=facts["held"],
            alerts=tuple((name, amount) for name, amount in facts["alerts"]),
        )

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """Inside or outside, whole or as it begins; of anything else neither can be read."""
        said = [
            word
            for word in words_of(given)
            if word not in ("its", "the", "limit", "limits", "is", "it", "range")
        ]
        if len(said) == 1 and any(word.startswith(said[0]) for word in ("inside", "outside", "within")):
            right = (said[0][0] == "o") == (self.texts[0] == "outside")
            return Verdict(right, "" if right else f"it is {self.texts[0]}")
        return again("type `inside` or `outside`" if said else NOTHING)


def _shown(number: Decimal, unit: str) -> str:
    return shown(Span(value=Number(number, f"{number:f}"), unit=unit_named(unit)))


def _why(band: Band, number: Decimal, side: str, data: Mapping[str, Any]) -> str:
    reads = _shown(number, data["unit"])
    names = {"limits": ("the minimum", "the maximum")}.get(
        data["what"], (f"the low end of its {data['what']}", f"the high end of its {data['what']}")
    )
    for end, name, open_, which in (
        (band.low, names[0], band.low_open, "minimum"),
        (band.high, names[1], band.high_open, "maximum"),
    ):
        if end is not None and number == end:
            return f"{reads} is {name} itself, which {'is left out' if open_ else 'counts as inside'}."
        if end is not None and side == which:
            return f"{reads} is {'below' if which == 'minimum' else 'above'} {name} of {_shown(end, data['unit'])}."
    ends = [
        f"{name} is {_shown(end, data['unit'])}"
        for end, name in zip((band.low, band.high), names, strict=True)
        if end is not None
    ]
    return f"{reads} is inside: {' and '.join(ends)}."
