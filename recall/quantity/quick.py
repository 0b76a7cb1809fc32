"""The commonest cells in one step: a plain value or range, with or without a unit; all else takes the long way."""

import re
from decimal import Decimal

from recall.quantity.model import Reading, Span
from recall.quantity.number import Number
from recall.quantity.unit import Unit, find_unit

_AMOUNT = r"(-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,9})?)"
_CELL = re.compile(rf"{_AMOUNT}(?:(?: to |[-–]){_AMOUNT})?(?: ?([A-Za-z°%][A-Za-z°%/]*))?", re.ASCII)
_UNSURE = frozenset(("min", "Min", "MIN", "°"))


def quick(text: str, around: Unit | None) -> Reading | None:
    """The reading of `28 V`, `870`, `10 to 110 °C`; None for all that needs a closer look."""
    found = _CELL.fullmatch(text)
    if found is None:
        return None
    first, second, spelling = found.groups()
    unit = around
    if spelling is not None:
        if spelling in _UNSURE:
            return None
        unit = find_unit(spelling)
        if unit is None or unit.before or (around is not None and unit is not around):
            return None
    number = Number(Decimal(first), first)
    if second is None:
        return Reading((Span(None, None, number, False, False, unit),), "single", None, "", None, text)
    other = Number(Decimal(second), second)
    if other.value < number.value:
        return None
    return Reading((Span(number, other, None, False, False, unit),), "single", None, "", None, text)
