"""Quantities as plain data, and back: what marking needs, exact to the last digit."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, TypeVar

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.quantity import Number, Reading, Span, Unit, Words, find_unit, read_unit, referenced

Data = dict[str, Any]


_DIFFERENCE = re.any_case(
    r"\b(?:difference|differential|lapse|spread|split|rise|drop|margin|delta[ -]?t(?:emp\w*)?|superheat|"
    r"sub-?cooling|deviation)\b|Δ",
)
"""Words for a difference of temperatures, which has no zero point."""
_STEPS = {"°C": "Δ°C", "K": "Δ°C", "°F": "Δ°F"}


def step_of(unit: Unit) -> Unit:
    """A temperature's unit, where a difference of two is meant; any other as it is."""
    return find_unit(_STEPS.get(unit.name, "")) or unit


_NUMBERS, _MARKS = ("low", "high", "value"), ("low_open", "high_open", "approximate")


def span_data(span: Span) -> Data:
    """A span as JSON-able data; what is absent is left out."""
    numbers = ((name, getattr(span, name)) for name in _NUMBERS)
    data: Data = {name: [str(one.value), one.written] for name, one in numbers if one is not None}
    data |= {name: True for name in _MARKS if getattr(span, name)}
    return data | ({"unit": span.unit.name} if span.unit is not None else {})


def span_from(data: Mapping[str, Any]) -> Span:
    """The span that `span_data` wrote."""
    parts: dict[str, Any] = {name: bool(data.get(name)) for name in _MARKS}
    parts |= {name: Number(Decimal(data[name][0]), data[name][1]) for name in _NUMBERS if data.get(name)}
    return Span(**parts, unit=unit_named(data.get("unit", "")))


def unit_named(name: str) -> Unit | None:
    """The unit of a shown name; None for an empty one."""
    return (find_unit(name) or read_unit(name)) if name else None


Amount = TypeVar("Amount", Span, Reading, Words, Reading | Words)


def with_name(amount: Amount, subject: str) -> Amount:
    """The amount with what the parameter's name says about its unit: per cent under `N1` are per cent of N1."""
    if isinstance(amount, Words):
        return amount
    if isinstance(amount, Reading):
        spans = tuple(with_name(span, subject) for span in amount.spans)
        same = all(new is old for new, old in zip(spans, amount.spans, strict=True))
        return amount if same else replace(amount, spans=spans)
    unit = amount.unit and referenced(amount.unit, subject)
    if unit is not None and unit.name in _STEPS and _DIFFERENCE.search(subject):
        unit = step_of(unit)
    return amount if unit is amount.unit else replace(amount, unit=unit)


def reading_data(reading: Reading) -> Data:
    """A reading as JSON-able data."""
    data: Data = {"shape": reading.shape, "spans": [span_data(span) for span in reading.spans]}
    if reading.duration is not None:
        data["duration"] = span_data(reading.duration)
    return data


def reading_from(data: Mapping[str, Any]) -> Reading:
    """The reading that `reading_data` wrote, for `matches_whole`."""
    duration = data.get("duration")
    return Reading(
        tuple(span_from(span) for span in data["spans"]),
        data["shape"],
        span_from(duration) if duration else None,
        "",
        None,
        "",
    )
