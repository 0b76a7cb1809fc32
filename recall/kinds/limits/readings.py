"""Readings of an instrument that a limit is asked by: what they are compared with, and what may be said of them."""

from collections.abc import Iterator, Mapping

from recall.answers import ReadingAnswer, unit_named
from recall.answers.reading import FEWEST, NORMAL
from recall.base import regex as re
from recall.kinds.english import lower
from recall.kinds.limits.checks import span_of
from recall.kinds.limits.units import NO_QUANTITY
from recall.kinds.limits.words import alert_of, balanced, measure, measured, under
from recall.kinds.model import Draft, Point
from recall.quantity import Number, Span, Unit, Words, step_of

_ALERTS = ("shutdown", "warning", "caution")
_NO_INSTRUMENT = NO_QUANTITY | {"calendar time"}
_FREE = re.compile(
    r"(?:none|not limited|no limits?|no limitations?|unlimited|unrestricted)\.?", re.IGNORECASE
)
_SIGNED = frozenset(("temperature", "temperature difference", "angle"))
_ENDS = {"limits": ("minimum", "maximum"), "tolerance": ("value",), "normal range": ("normal",)}


def _ends_of(point: Point) -> tuple[str, Span | None, Span | None] | None:
    """What a reading is compared with: its limits, its tolerance or its normal range."""
    low, high = (span_of(point, role) for role in ("minimum", "maximum"))
    for role, span in (("minimum", low), ("maximum", high)):
        amount = None if span else point.amounts.get(role)
        if amount is not None and not (isinstance(amount, Words) and _FREE.fullmatch(amount.text)):
            return None
    if low or high:
        return "limits", low, high
    for role, what in (("value", "tolerance"), ("normal", "normal range")):
        span = span_of(point, role)
        if span is not None and (span.low or span.high):
            return what, span if span.low else None, span if span.high else None
    return None


def is_even(point: Point) -> bool:
    """Whether its two ends are one amount to either side of nothing: a deviation, an angle; no temperature."""
    low, high = (span_of(point, role) for role in ("minimum", "maximum"))
    if not (low and high and low.low and high.high and low.low.value == -high.high.value):
        return False
    return low.unit is not None and low.unit.dimension != "temperature" and _on_one_scale(low, high)


def _on_one_scale(one: Span, other: Span) -> bool:
    """Whether two amounts can be compared number by number."""
    first, second = one.unit, other.unit
    if first is second or first is None or second is None:
        return first is second
    scales = [(unit.dimension, unit.reference, unit.factor, unit.offset) for unit in (first, second)]
    return scales[0] == scales[1]


def _bands(point: Point, low: Number | None, high: Number | None, of: Span) -> Iterator[list[object]]:
    """The stretches of the scale inside the limits that have a name of their own, the gravest first. A bare
    threshold reaches to the end that it is nearest to. of: an end."""
    for role in (*_ALERTS, "normal") if len(point.amounts) > 1 else ():
        span = span_of(point, role)
        if span is None or span.approximate or not _on_one_scale(span, of):
            continue
        ends = [span.low and span.low.value, span.high and span.high.value]
        if span.value and not any(ends):
            if role == "normal":
                continue
            far = [abs(span.value.value - end.value) if end else None for end in (low, high)]
            upward = far[0] is None or (far[1] is not None and far[1] <= far[0])
            ends[0 if upward else 1] = span.value.value
        says = NORMAL if role == "normal" else lower(alert_of(point.wording[role]))
        yield [says, *(end if end is None else str(end) for end in ends), span.low_open, span.high_open]


def plain_unit(unit: Unit | None) -> Unit | None:
    """The unit as it is asked for: `%`, whatever it is a percentage of."""
    return unit_named("%") if unit is not None and unit.name.startswith("% ") else unit


def reading_of(point: Point, said: Mapping[str, tuple[str, ...]]) -> Iterator[Draft]:
    """A reading to be drawn afresh, where an instrument shows it and there are several things to say of it: with one
    end alone it would only be tossed for. said: aspect → what its answer is compared by."""
    what, low, high = _ends_of(point) or ("", None, None)
    spans = [span for span in (low, high) if span]
    unit = plain_unit(spans[-1].unit) if spans else None
    if unit is None or not unit.known or unit.dimension in _NO_INSTRUMENT or "arc" in point.wording:
        return
    if any(span.approximate for span in spans) or not _on_one_scale(spans[0], spans[-1]):
        return
    least, most = low.low if low else None, high.high if high else None
    numbers = [number for number in (least, most) if number]
    way = balanced(point.subject, "minimum") if what == "limits" else ""
    answer = ReadingAnswer(
        (),
        (what, *(each for aspect in _ENDS[what] for each in said.get(aspect, ()))),
        facts={
            "what": what,
            "low": str(least.value) if least else None,
            "low_open": bool(low and low.low_open),
            "high": str(most.value) if most else None,
            "high_open": bool(high and high.high_open),
            "bands": list(_bands(point, least, most, spans[0])) if what == "limits" else [],
            "unit": unit.name,
            "step": str(min(step_of(number) for number in numbers)),
            "signed": unit.dimension in _SIGNED or any(number.value < 0 for number in numbers),
            "held": point.wording.get("applies", ""),
            **({"ends": [way, balanced(point.subject, "maximum")]} if way else {}),
        },
    )
    outcomes = answer.outcomes()
    if len(outcomes) >= FEWEST:
        phrase = f"a reading of {lower(measure(measured(point.subject)))}"
        prompt = under(phrase, point.condition, point.wording.get("applies", ""))
        yield Draft("reading", f"{prompt}, {answer.asks(outcomes)}", answer)
