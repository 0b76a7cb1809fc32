"""How the amounts of a cell belong together, and what the unit of its column or row adds."""

from collections.abc import Sequence
from math import gcd

from recall.base.dataclass import dataclass, replace
from recall.quantity.agree import agrees
from recall.quantity.model import SLIP, NotReadError, Shape, Span
from recall.quantity.parse import Parser, mismatch, not_one, rising, united
from recall.quantity.scan import Token
from recall.quantity.unit import Unit, find_unit, with_reference

_PARTED = frozenset(("slash", "comma", "semi", "and", "or", "to"))
ON_AND_OFF = "write `40 s on / 60 s off`, or a row for each time"
_FRACTIONS = frozenset((2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64))
_SECONDS = 60


@dataclass(frozen=True, slots=True)
class Column:
    """What stands around a cell. unit: of its column or row.

    fills: the unit is taken where none is written, and another dimension is a mismatch (not so for typed answers).
    minutes: `min` behind a number is minutes where it isn't surely a minimum. comma_decimal: as the file writes.
    """

    unit: Unit | None = None
    fills: bool = True
    minutes: bool = False
    comma_decimal: bool = False


ALONE = Column()


def is_time(unit: Unit | None) -> bool:
    """Whether the unit is one of elapsed time."""
    return unit is not None and unit.dimension == "time"


def settle_min(tokens: list[Token], column: Column) -> None:
    """Decide for each `min` whether it says minutes or minimum, in place. Raises NotReadError where it stays open."""
    places = [at for at, token in enumerate(tokens) if token.kind == "min"]
    if not places:
        return
    around = column.unit
    measured = (around is not None and not is_time(around)) or any(
        token.unit is not None and not is_time(token.unit) for token in tokens
    )
    for at in places:
        before = tokens[at - 1] if at else None
        after = tokens[at + 1].kind if at + 1 < len(tokens) else ""
        hours = tokens[at - 2].unit if at > 1 else None
        if before is None or before.kind != "num" or measured:
            minutes = False
        elif is_time(hours) and hours is not None and hours.factor > _SECONDS:
            minutes = True  # `1 h 30 min`
        elif after in ("under", "min") or (at > 1 and tokens[at - 2].kind in ("under", "over")):
            minutes = True
        elif any(token.kind == "under" for token in tokens):
            minutes = False  # `40 min, 200 max`: each number has its own word
        elif len(places) > 1 or around is None or around.name == "min" or column.minutes:
            minutes = True
        else:
            raise NotReadError(
                "`min` could say minutes or minimum here", f"write `minutes`, or `at least` and {around.name}"
            )
        if minutes:
            tokens[at].kind, tokens[at].unit = "unit", find_unit("minute")
        else:
            tokens[at].kind, tokens[at].front, tokens[at].back = "over", True, True


def read_amounts(tokens: list[Token], column: Column) -> tuple[Shape, tuple[Span, ...]]:
    """The amounts of a cell (without brackets and `for …`). Raises NotReadError."""
    if not tokens:
        raise not_one()
    settle_min(tokens, column)
    parser = Parser(tokens, column.unit)
    parts: list[Span] = [parser.amount()]
    marks: list[str] = []
    while parser.at < len(tokens):
        kind = tokens[parser.at].kind
        if kind in _PARTED:
            parser.at += 1
            if kind in ("comma", "semi") and parser.take("or"):
                kind = "or"
            elif kind in ("comma", "semi"):
                parser.take("and")
        marks.append(kind if kind in _PARTED else "")
        parts.append(parser.amount())
    if len(parts) == 1:
        return "single", (_in_column(parts[0], column),)
    if len(parts) == 2 and parts[0].low and parts[1].high and _outside(parts[::-1], marks):
        parts.reverse()  # `> 120 or < 50`
    outside = _outside(parts, marks)
    if len(parts) == 2 and not outside:
        ends = _two_ends(parts[0], parts[1])
        if ends is not None:
            return "single", (_in_column(ends, column),)
    listed = outside or all(part.low and part.high for part in parts)
    if set(marks) != {"slash"} and not (listed and set(marks) <= {"comma", "or"}):
        raise not_one()
    return _several(parts, column, outside=outside)


def _outside(parts: list[Span], marks: Sequence[str]) -> bool:
    """Whether two ends leave out what lies between them: `< 40, > 120`, `below 40 or 120 or more`."""
    first, second = parts[0], parts[-1]
    ends = (first.high_open and second.low_open) or "or" in marks
    ends = len(parts) == 2 and ends and not (first.low or second.high)
    return bool(ends and first.high and second.low and first.high.value < second.low.value)


def _two_ends(first: Span, second: Span) -> Span | None:
    """`40 min, 200 max` as one span; None when the two aren't a lower and an upper end."""
    low, high = (first, second) if first.low is not None else (second, first)
    one_sided = low.high is None and low.value is None and high.low is None and high.value is None
    if low.low is None or high.high is None or not one_sided:
        return None
    least, most, unit = united(low.low, low.unit, high.high, high.unit)
    about = low.approximate or high.approximate
    return rising(Span(least, most, None, low.low_open, high.high_open, unit, about))


def _several(parts: list[Span], column: Column, *, outside: bool) -> tuple[Shape, tuple[Span, ...]]:
    _no_fraction(parts, column.unit)
    stated = [part.unit for part in parts if part.unit is not None]
    if len(parts) == 2 == len(stated) and agrees(*parts):
        return "values", tuple(parts)  # `148 mph / 129 KIAS`: one amount, said twice
    timed = any(map(is_time, stated)) and all(is_time(unit) or unit.name == "m" for unit in stated)
    if timed and len({unit.name for unit in stated}) > 1:
        raise NotReadError("several times: which of them is on and which off isn't said", ON_AND_OFF)
    first, second = parts[0], parts[1]
    # `280 / M 0.67` under a header in knots: the first number has the header's unit
    mach = column.unit is not None and first.unit is None and second.unit is not None and second.unit.before
    if len({(unit.dimension, unit.reference) for unit in stated}) > 1 or mach:
        if len(parts) > 2:
            raise _apart()
        return _limits(first, second, column)
    if len({(part.low is None, part.high is None, part.value is None) for part in parts}) > 1 and not outside:
        raise _apart()
    if len(stated) == 1:  # the unit once holds for all
        parts = [part if part.unit is not None else replace(part, unit=stated[0]) for part in parts]
    elif len(stated) not in (0, len(parts)):
        raise _apart()
    return "values", tuple(_in_column(part, column) for part in parts)


def _limits(first: Span, second: Span, column: Column) -> tuple[Shape, tuple[Span, ...]]:
    around = column.unit
    if first.unit is None and around is not None and column.fills:
        first = replace(first, unit=around)
    if first.unit is None or second.unit is None:
        if column.fills:
            raise _apart()
    elif first.unit.dimension == second.unit.dimension:
        raise _apart()
    elif column.fills and around is not None and around.known:
        if around.dimension not in (first.unit.dimension, second.unit.dimension):
            raise mismatch(first.unit, around)
        shared = Column(around, fills=False)
        first, second = _referenced(first, shared), _referenced(second, shared)
    return "limits", (first, second)


def _apart() -> NotReadError:
    return NotReadError("several amounts that don't go together", "write one unit, or a row for each limit")


def _no_fraction(parts: list[Span], around: Unit | None) -> None:
    """Raise for what could be a fraction or a date: `1/2`, `12/5`, `3/4 in`, `24/12/2024`."""
    plain = [
        int(part.value.value)
        for part in parts
        if part.value is not None and part.low is None and part.value.written.isdigit()
    ]
    if len(plain) != len(parts) or any(part.unit is not None for part in parts[:-1]):
        return
    first, second = plain[0], plain[1]
    unit = parts[-1].unit or around
    small = first < 10 and second < 10
    fraction = first < second and second in _FRACTIONS and gcd(first, second) == 1
    day = unit is None and first <= 31 and second <= 31
    month = unit is None and first <= 12 and 1900 <= second <= 2100
    date = len(plain) > 2 and (second <= 31 and (first <= 31 or first >= 1900))
    if (len(plain) == 2 and (small or fraction or day or month)) or date:
        raise NotReadError(
            "it could be a fraction or a date",
            "write a decimal, or the values with their units: `8 psi / 6 psi`",
            SLIP if parts[-1].unit is None else "unread-amount",
        )


def _referenced(span: Span, column: Column) -> Span:
    """The span with the column's reference where it states none of its own."""
    own, around = span.unit, column.unit
    if own is None or around is None or own.dimension != around.dimension:
        return span
    unit = with_reference(own, around.reference)
    return span if unit is own else replace(span, unit=unit)


def _in_column(span: Span, column: Column) -> Span:
    own, around = span.unit, column.unit
    if around is None or own is around or not column.fills:
        return span
    if own is None:
        return replace(span, unit=around)
    if own.name == "°" and around.dimension == "temperature":
        return replace(span, unit=around)
    if own.name == "g" and around.dimension == "mass":  # grams, where masses are written
        return replace(span, unit=find_unit("gram"))
    if own.dimension != around.dimension and own.known and around.known:
        raise mismatch(own, around)
    return _referenced(span, column)
