"""The commonest cells in one step: a plain value, range or comparison, with or without a unit; else the long way."""

from decimal import Decimal

from recall.base import regex as re
from recall.quantity.model import Reading, Span
from recall.quantity.number import Number
from recall.quantity.unit import Unit, find_unit

_AMOUNT = r"(-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,9})?)"
_CELL = re.compile(
    rf"(?:(max |[≤≥<>] ?|[<>]= ?))?{_AMOUNT}(?:(?: to |[-–]){_AMOUNT})?(?: ?([A-Za-z°%][A-Za-z°%/]*))?( max| min)?",
    re.ASCII,
)
_UNSURE = frozenset(("min", "Min", "MIN", "°"))


def quick(text: str, around: Unit | None) -> Reading | None:
    """The reading of `28 V`, `870`, `10 to 110 °C`, `200 max`; None for all that needs a closer look."""
    found = _CELL.fullmatch(text)
    if found is None:
        return None
    front, first, second, spelling, back = found.groups()
    unit = around
    if back is None and spelling in ("max", "min") and text[-4] == " ":
        spelling, back = None, text[-4:]
    if spelling is not None:
        unit = None if spelling in _UNSURE else find_unit(spelling)
        if unit is None or unit.before or (around is not None and unit is not around):
            return None
    number = Number(Decimal(first), first)
    if second is None and front is None and back is None:
        span = Span(None, None, number, False, False, unit)
    elif second is not None:
        other = Number(Decimal(second), second)
        if other.value < number.value or front or back:
            return None
        span = Span(number, other, None, False, False, unit)
    elif front is not None and back is None:
        apart = front[0] in "<>" and front[1:2] != "="
        if front[0] in "≥>":
            span = Span(number, None, None, apart, False, unit)
        else:
            span = Span(None, number, None, False, apart, unit)
    elif front is not None or unit is None or unit.dimension == "time":
        return None
    elif back == " max":
        span = Span(None, number, None, False, False, unit)
    else:
        span = Span(number, None, None, False, False, unit)
    return Reading((span,), "single", None, "", None, text)
