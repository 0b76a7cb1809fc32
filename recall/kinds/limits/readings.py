"""Readings of an instrument that a limit is asked by: what they are compared with, and what may be said of them."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from recall.answers import ReadingAnswer, unit_named
from recall.answers.reading import FEWEST, NORMAL
from recall.kinds.english import lower
from recall.kinds.limits.checks import Amounts, span_of
from recall.kinds.limits.units import NO_QUANTITY
from recall.kinds.limits.words import alert_of, balanced, measure, measured, under
from recall.kinds.model import Draft, Point
from recall.quantity import Number, Reading, Span, Unit, Words, step_of

_ALERTS = ("shutdown", "warning", "caution")
_NO_INSTRUMENT = NO_QUANTITY | {"calendar time"}
_SIGNED = frozenset(("temperature", "temperature difference", "angle"))
_ENDS = {"limits": ("minimum", "maximum"), "tolerance": ("value",), "normal range": ("normal",)}


def _ends_of(amounts: Amounts) -> tuple[str, Span | None, Span | None] | None:
    """What a reading is compared with: its limits, its tolerance or its normal range."""
    low, high = (span_of(amounts, role) for role in ("minimum", "maximum"))
    most = amounts.get("maximum")
    if not low and isinstance(most, Reading) and "±" in most.text:  # its other end is a limit too
        return None
    if any(role in amounts and not span for role, span in (("minimum", low), ("maximum", high))):
        return None
    if low or high:
        return "limits", low, high
    for role, what in (("value", "tolerance"), ("normal", "normal range")):
        span = span_of(amounts, role)
        if span is not None and (span.low or span.high):
            return what, span if span.low else None, span if span.high else None
    return None


@lru_cache(maxsize=8192)
def is_even(minimum: Reading | Words | None, maximum: Reading | Words | None) -> bool:
    """Whether two ends are one amount to either side of nothing: a deviation, an angle; no temperature."""
    low, high = span_of({"": minimum}, ""), span_of({"": maximum}, "")
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


def _bands(
    amounts: Amounts, alerts: Mapping[str, str], low: Number | None, high: Number | None, of: Span
) -> Iterator[list[object]]:
    """The stretches of the scale inside the limits that have a name of their own, the gravest first. A bare
    threshold reaches to the end that it is nearest to. alerts: what each is called; of: an end."""
    for role in (*_ALERTS, "normal"):
        span = span_of(amounts, role)
        if span is None or span.approximate or not _on_one_scale(span, of):
            continue
        ends = [span.low and span.low.value, span.high and span.high.value]
        if span.value and not any(ends):
            if role == "normal":
                continue
            far = [abs(span.value.value - end.value) if end else None for end in (low, high)]
            upward = far[0] is None or (far[1] is not None and far[1] <= far[0])
            ends[0 if upward else 1] = span.value.value
        says = NORMAL if role == "normal" else alerts[role]
        yield [says, *(end if end is None else str(end) for end in ends), span.low_open, span.high_open]


def plain_unit(unit: Unit | None) -> Unit | None:
    """The unit as it is asked for: `%`, whatever it is a percentage of."""
    return unit_named("%") if unit is not None and unit.name.startswith("% ") else unit


def reading_of(point: Point, said: Mapping[str, tuple[str, ...]]) -> Iterator[Draft]:
    """A reading to be drawn afresh, where an instrument shows it and there are several things to say of it: with one
    end alone it would only be tossed for. said: aspect → what its answer is compared by."""
    alerts = [(role, lower(alert_of(point.wording[role]))) for role in _ALERTS if role in point.amounts]
    way = balanced(point.subject, "minimum")
    ends = (way, balanced(point.subject, "maximum")) if way else ()
    drawn = None if "arc" in point.wording else _drawn(tuple(point.amounts.items()), tuple(alerts), ends)
    if drawn is None:
        return
    facts, asks = drawn
    if held := point.wording.get("applies", ""):
        facts = {**facts, "held": held}
    what = facts["what"]
    same_as = (what, *(each for aspect in _ENDS[what] for each in said.get(aspect, ())))
    phrase = f"a reading of {lower(measure(measured(point.subject)))}"
    prompt = f"{under(phrase, point.condition, held)}, {asks}"
    yield Draft("reading", prompt, ReadingAnswer((), same_as, facts=facts))


@lru_cache(maxsize=8192)
def _drawn(
    said: tuple[tuple[str, Reading | Words], ...], alerts: tuple[tuple[str, str], ...], ends: tuple[str, ...]
) -> tuple[Mapping[str, Any], str] | None:
    """What readings of some amounts are drawn by, and how they are asked for; the same few stand in many rows."""
    amounts = dict(said)
    what, low, high = _ends_of(amounts) or ("", None, None)
    spans = [span for span in (low, high) if span]
    unit = plain_unit(spans[-1].unit) if spans else None
    if unit is None or not unit.known or unit.dimension in _NO_INSTRUMENT:
        return None
    if any(span.approximate for span in spans) or not _on_one_scale(spans[0], spans[-1]):
        return None
    least, most = low.low if low else None, high.high if high else None
    numbers = [number for number in (least, most) if number]
    limits = what == "limits"
    facts = {
        "what": what,
        "low": str(least.value) if least else None,
        "low_open": bool(low and low.low_open),
        "high": str(most.value) if most else None,
        "high_open": bool(high and high.high_open),
        "bands": list(_bands(amounts, dict(alerts), least, most, spans[0])) if limits else [],
        "unit": unit.name,
        "step": str(min(step_of(number) for number in numbers)),
        "signed": unit.dimension in _SIGNED or any(number.value < 0 for number in numbers),
        "held": "",
        **({"ends": [*ends]} if ends and limits else {}),
    }
    answer = ReadingAnswer((), facts=facts)
    outcomes = answer.outcomes()
    return (facts, answer.asks(outcomes)) if len(outcomes) >= FEWEST else None
