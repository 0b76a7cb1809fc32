"""Readings of an instrument, drawn afresh: a number, and whether it lies inside its limits.

Half of them lie near a limit, within 2 % or three steps, for there a crew member has to decide.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from recall.base.text import one_line
from recall.kinds.limits.data import unit_named
from recall.kinds.limits.words import lower, under
from recall.kinds.model import Card
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


def draw_reading(card: Card, rng: random.Random) -> tuple[str, str, str]:
    """A fresh question of a card of form `reading`: prompt, answer (`inside` or `outside`), and why in a sentence."""
    data = card.data
    band = _band(data)
    number = draw(band, Decimal(data["step"]), data["signed"], rng)
    reads = _shown(number, data["unit"])
    # A count has no instrument that reads it, and is often a plural.
    link = ": " if not data["unit"] or unit_counts(data["unit"]) else " is "
    said = under(f"{bare_subject(card.subject)}{link}{reads}", card.condition, data["held"])
    side = band.side(number)
    return (
        f"{said}. Inside or outside its {data['what']}?",
        "outside" if side else "inside",
        one_line(f"{_why(band, number, side, data)} {_alerts(data)}"),
    )


def _band(data: Mapping[str, Any]) -> Band:
    low, high = (None if data[name] is None else Decimal(data[name]) for name in ("low", "high"))
    return Band(low, high, data["low_open"], data["high_open"])


def unit_counts(name: str) -> bool:
    """Whether a unit counts things."""
    unit = unit_named(name)
    return unit is not None and unit.dimension == "count"


def bare_subject(subject: str) -> str:
    """A subject without its `Maximum`: the quantity that is measured."""
    first, _, rest = subject.partition(" ")
    return rest if rest and first.casefold().rstrip(".") in ("maximum", "max", "minimum", "min") else subject


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


def _alerts(data: Mapping[str, Any]) -> str:
    said = [f"{lower(name)} {amount}" for name, amount in data["alerts"]]
    return f"Alerts: {', '.join(said)}." if said else ""
