"""Pictures as our own SVG: lines only, which stretch to the room there is and keep their strokes; every word beside
them is HTML, so that it reads at any zoom. What a line is, its class says; no colour stands alone."""

from collections.abc import Iterable, Sequence
from math import ceil, floor

from markupsafe import Markup, escape

from recall.base.dataclass import dataclass
from recall.base.text import percent

WIDE, HIGH = 400, 160
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Name:
    """An entry of a legend. look: the class of its line; words: what it is; said: its last value."""

    look: str
    words: str
    said: str


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture with the words around it. scale: what stands at its left, from the top, evenly apart; ends: below its
    first and last day; names: of its lines; told: the whole in a sentence, for those who can't see it."""

    drawing: Markup
    scale: tuple[str, ...]
    ends: tuple[str, str]
    names: tuple[Name, ...]
    told: str


class _Sheet:
    """Where values come to lie. x from first to last; y from low at the foot to high at the top."""

    def __init__(self, x: Place, y: Place) -> None:
        self.x, self.y = x, y
        self.parts: list[str] = []

    def at(self, x: float, y: float) -> str:
        across = (x - self.x[0]) / ((self.x[1] - self.x[0]) or 1) * WIDE
        down = (self.y[1] - min(max(y, self.y[0]), self.y[1])) / (self.y[1] - self.y[0]) * HIGH
        return f"{across:.1f} {down:.1f}"

    def line(self, look: str, places: Iterable[Place]) -> None:
        way = " L".join(self.at(x, y) for x, y in places)
        self.parts.append(f'<path class="{look}" d="M{way}"/>')

    def dot(self, look: str, x: float, y: float) -> None:
        self.parts.append(f'<path class="{look}" d="M{self.at(x, y)} h0"/>')

    def drawn(self, told: str, high: int = HIGH) -> Markup:
        head = f'<svg viewBox="0 0 {WIDE} {high}" preserveAspectRatio="none" role="img" aria-label="{escape(told)}">'
        return Markup("".join((head, *self.parts, "</svg>")))


def _floor(values: Sequence[float]) -> float:
    """The share at the foot of a picture: a whole tenth, below all values."""
    return max(0.0, min(floor(min(values) * 10) / 10, 0.9))


def _scale(low: float, high: float) -> tuple[str, ...]:
    return tuple(percent(high - (high - low) * at / 2) for at in range(3))


def rise(
    lines: Sequence[tuple[str, Sequence[float]]], bound: float, ends: tuple[str, str], told: str
) -> Chart:
    """Recall on its way to a date, one line each way of learning, the first one the plan's; bound: the most that any
    plan can bring on the date."""
    every = [bound, *(value for _, own in lines for value in own)]
    low, high = _floor(every), min(1.0, ceil(max(every) * 10) / 10)
    sheet = _Sheet((0, max(len(own) for _, own in lines) - 1), (low, high))
    for at in range(3):
        sheet.line("grid", ((0, low + (high - low) * at / 2), (sheet.x[1], low + (high - low) * at / 2)))
    sheet.line("bound", ((sheet.x[1] * 0.8, bound), (sheet.x[1], bound)))
    looks = ("first", "second", "third")
    for look, (_, own) in reversed(list(zip(looks, lines, strict=False))):
        sheet.line(look, enumerate(own))
    names = [Name("bound", "the most any plan can bring", percent(bound, 1))]
    names += [Name(look, name, percent(own[-1])) for look, (name, own) in zip(looks, lines, strict=False)]
    return Chart(sheet.drawn(told), _scale(low, high), ends, tuple(names), told)


def life(
    curves: Sequence[Sequence[Place]],
    answers: Sequence[tuple[float, float, bool]],
    span: Place,
    aim: float,
    today: float,
    ends: tuple[str, str],
    told: str,
) -> Chart:
    """A card's recall from day to day. answers: day, recall before it, whether it was right; span: first and last
    day; aim: the recall at which it is asked again; today: a line between past and future."""
    low = _floor(
        [aim, *(share for curve in curves for _, share in curve), *(share for _, share, _ in answers)]
    )
    sheet = _Sheet(span, (low, 1.0))
    sheet.line("aim", ((span[0], aim), (span[1], aim)))
    sheet.line("today", ((today, low), (today, 1.0)))
    for curve in curves:
        past = [place for place in curve if place[0] <= today]
        ahead = [place for place in curve if place[0] > today]
        if past and ahead:  # both parts meet at today
            (a, last), (b, next_) = past[-1], ahead[0]
            meet = (today, last + (next_ - last) * (today - a) / (b - a))
            past, ahead = [*past, meet], [meet, *ahead]
        for look, part in (("first", past), ("ahead", ahead)):
            if part:
                sheet.line(look, part)
    for day, before, right in answers:
        sheet.line("lift", ((day, before), (day, 1.0)))
        sheet.dot("answered", day, before)
        if not right:
            sheet.dot("hollow", day, before)
    return Chart(sheet.drawn(told), _scale(low, 1.0), ends, (), told)


def strip(low: float, high: float, value: float, told: str) -> Markup:
    """A scale from 0 to 1 with an interval on it, and a mark for one value."""
    sheet = _Sheet((0, 1), (0, HIGH))
    sheet.line("grid", ((0, HIGH - 8), (1, HIGH - 8)))
    sheet.line("span", ((low, HIGH - 8), (high, HIGH - 8)))
    sheet.line("value", ((value, HIGH), (value, HIGH - 16)))
    return sheet.drawn(told, 16)
