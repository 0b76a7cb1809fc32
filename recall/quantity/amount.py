"""Tokens into amounts: value, range, comparison, tolerance, and how several of them belong together."""

from dataclasses import replace
from fractions import Fraction
from math import gcd

from recall.quantity.model import NotReadError, Shape, Span
from recall.quantity.number import Number, exact_number, negative
from recall.quantity.scan import Token
from recall.quantity.unit import Unit, convert, find_unit, with_reference

_PARTED = frozenset(("slash", "comma", "semi", "and", "to"))
_FRACTIONS = frozenset((2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64))
_MINUTE = find_unit("minute")
_CELSIUS = find_unit("°C")


def _general() -> NotReadError:
    return NotReadError(
        "this isn't one amount with one meaning",
        "Write a number with its unit, a range (`10 to 20`), a comparison (`max 50`) or a tolerance (`24 ± 2`); "
        "put words into brackets or under When.",
    )


def is_time(unit: Unit | None) -> bool:
    """Whether the unit is one of elapsed time."""
    return unit is not None and unit.dimension == "time"


def settle_min(tokens: list[Token], header: Unit | None) -> None:
    """Decide for each `min` whether it says minutes or minimum, in place. Raises NotReadError where it stays open."""
    places = [at for at, token in enumerate(tokens) if token.kind == "min"]
    if not places:
        return
    measured = (header is not None and not is_time(header)) or any(
        token.unit is not None and not is_time(token.unit) for token in tokens
    )
    for at in places:
        before = tokens[at - 1] if at else None
        after = tokens[at + 1].kind if at + 1 < len(tokens) else ""
        if before is None or before.kind != "num" or measured:
            minutes = False
        elif after in ("under", "min") or (at > 1 and tokens[at - 2].kind in ("under", "over")):
            minutes = True
        elif any(token.kind == "under" for token in tokens):
            minutes = False  # `40 min, 200 max`: each number has its own word
        elif len(places) > 1 or header is None or header.name == "min":
            minutes = True
        else:
            raise NotReadError(
                "`min` could say minutes or minimum here",
                f"Write `minutes`, or `at least` and {header.name}.",
            )
        if minutes:
            tokens[at].kind, tokens[at].unit = "unit", _MINUTE
        else:
            tokens[at].kind, tokens[at].front, tokens[at].back = "over", True, True


def read_amounts(tokens: list[Token], header: Unit | None, *, strict: bool) -> tuple[Shape, tuple[Span, ...]]:
    """The amounts of a cell (without brackets and `for …`). Raises NotReadError.

    header: the unit where none is written. strict: a unit of another dimension than the header's isn't read.
    """
    settle_min(tokens, header)
    parser = _Parser(tokens, header)
    parts: list[Span] = [parser.amount()]
    marks: list[str] = []
    while parser.at < len(tokens):
        kind = tokens[parser.at].kind
        if kind in _PARTED:
            parser.at += 1
            if kind in ("comma", "semi") and parser.peek() == "and":
                parser.at += 1
        marks.append(kind if kind in _PARTED else "")
        parts.append(parser.amount())
    if len(parts) == 1:
        return "single", (_with_header(parts[0], header, strict),)
    if len(parts) == 2:
        ends = _two_ends(parts[0], parts[1])
        if ends is not None:
            return "single", (_with_header(ends, header, strict),)
    if set(marks) != {"slash"}:
        raise _general()
    return _several(parts, header, strict)


def _two_ends(first: Span, second: Span) -> Span | None:
    """`40 min, 200 max` as one span; None when the two aren't a lower and an upper end."""
    low, high = (first, second) if first.low is not None else (second, first)
    one_sided = low.high is None and low.value is None and high.low is None and high.value is None
    if low.low is None or high.high is None or not one_sided:
        return None
    least, most, unit = _united(low.low, low.unit, high.high, high.unit)
    about = low.approximate or high.approximate
    return _rising(Span(least, most, None, low.low_open, high.high_open, unit, about))


def _several(parts: list[Span], header: Unit | None, strict: bool) -> tuple[Shape, tuple[Span, ...]]:
    _no_fraction(parts, header)
    stated = [part.unit for part in parts if part.unit is not None]
    kinds = {(unit.dimension, unit.reference) for unit in stated}
    alone = {unit for unit in stated if not unit.before}
    if len(kinds) <= 1 and not (len(stated) == 1 and stated[0].before and header is not None):
        if len(alone) == 1 or len(stated) == 1:
            parts = [part if part.unit is not None else replace(part, unit=stated[0]) for part in parts]
        elif len(stated) not in (0, len(parts)):
            raise _general()
        return "values", tuple(_with_header(part, header, strict) for part in parts)
    if len(parts) == 2:
        first, second = (_with_header(part, header, False) for part in parts)
        dimensions = {part.unit.dimension for part in (first, second) if part.unit is not None}
        if len(dimensions) == 2:
            if strict and header is not None and header.known and header.dimension not in dimensions:
                raise _mismatch(first.unit, header)
            return "limits", (first, second)
    raise NotReadError(
        "several amounts in units that don't go together", "Write one unit, or a row for each limit."
    )


def _no_fraction(parts: list[Span], header: Unit | None) -> None:
    """Raise NotReadError for what could be a fraction or a date: `1/2`, `12/5`, `3/4 in`, `24/12/2024`."""
    plain = [
        int(part.value.value)
        for part in parts
        if part.value is not None and part.low is None and part.value.written.isdigit()
    ]
    if len(plain) != len(parts) or any(part.unit is not None for part in parts[:-1]):
        return
    first, second = plain[0], plain[1]
    unit = parts[-1].unit or header
    small = first < 10 and second < 10
    fraction = first < second and second in _FRACTIONS and gcd(first, second) == 1
    day = unit is None and first <= 31 and second <= 31
    month = unit is None and first <= 12 and 1900 <= second <= 2100
    date = len(plain) > 2 and (second <= 31 and (first <= 31 or first >= 1900))
    if (len(plain) == 2 and (small or fraction or day or month)) or date:
        raise NotReadError(
            "this could be a fraction or a date",
            "Write a decimal, or the values with their units: `8 psi / 6 psi`.",
        )


def _with_header(span: Span, header: Unit | None, strict: bool) -> Span:
    if header is None:
        return span
    own = span.unit
    if own is None:
        return replace(span, unit=header)
    if own is header:
        return span
    if own.dimension == header.dimension:
        unit = with_reference(own, header.reference)
        return span if unit is own else replace(span, unit=unit)
    if own.name == "°" and header.dimension == "temperature":
        return replace(span, unit=header)
    if strict and own.known and header.known:
        raise _mismatch(own, header)
    return span


def _mismatch(own: Unit | None, other: Unit) -> NotReadError:
    name = own.name if own else "no unit"
    return NotReadError(
        f"the unit {name} stands where {other.name} is said elsewhere",
        f"Write the amount in {other.name}, or give it a row or column of its own.",
        "unit-mismatch",
    )


def _united(
    first: Number, own: Unit | None, second: Number, other: Unit | None
) -> tuple[Number, Number, Unit | None]:
    """Two numbers in one unit. A unit said once holds for both; two of one dimension are converted, exactly."""
    if own is None or other is None or own is other or own == other:
        return first, second, own or other
    if {own.name, other.name} & {"°"} and "temperature" in (own.dimension, other.dimension):
        return first, second, own if own.name != "°" else other
    if own.dimension != other.dimension:
        raise _mismatch(other, own)
    own, other = with_reference(own, other.reference), with_reference(other, own.reference)
    if own.reference != other.reference or not own.known:
        raise NotReadError(
            f"{own.name} and {other.name} don't convert into each other", "Write both ends in one unit."
        )
    there = exact_number(convert(first.fraction, own, other))
    if there is not None:
        return there, second, other
    back = exact_number(convert(second.fraction, other, own))
    if back is not None:
        return first, back, own
    raise NotReadError(
        f"{own.name} and {other.name} don't convert into each other exactly", "Write both ends in one unit."
    )


def _rising(span: Span) -> Span:
    if span.low is not None and span.high is not None and span.low.value > span.high.value:
        raise NotReadError(
            f"the range falls from {span.low.written} to {span.high.written}",
            "Write the smaller number first.",
            "minimum-above-maximum",
        )
    return span


class _Parser:
    """One pass over the tokens, left to right, never back."""

    def __init__(self, tokens: list[Token], header: Unit | None) -> None:
        self.tokens = tokens
        self.header = header
        self.at = 0

    def peek(self) -> str:
        return self.tokens[self.at].kind if self.at < len(self.tokens) else ""

    def take(self, kind: str) -> bool:
        if self.peek() == kind:
            self.at += 1
            return True
        return False

    def unit(self, kind: str) -> Unit | None:
        return self.tokens[self.at - 1].unit if self.take(kind) else None

    def number(self) -> tuple[Number, Unit | None]:
        before = self.unit("before")
        if self.peek() != "num":
            raise _general()
        number = self.tokens[self.at].number
        self.at += 1
        unit = self.unit("unit")
        if number is None or (before is not None and unit is not None):
            raise _general()
        unit = before or unit
        if unit is not None and unit.name == "Mach" and not 0 <= number.value < 10:
            raise NotReadError(
                f"{number.written} is no Mach number", "Write metres as `m`, millions in full."
            )
        return number, unit

    def amount(self) -> Span:
        about = self.take("about")
        if self.take("pm"):
            number, unit = self.number()
            return self._about_zero(number, unit)
        kind = self.peek()
        if kind in ("over", "under"):
            return self._compared(kind, about)
        worded = kind if kind in ("between", "from") else ""
        if worded:
            self.at += 1
        number, unit = self.number()
        kind = self.peek()
        ahead = self.tokens[self.at + 1].kind if self.at + 1 < len(self.tokens) else ""
        if (kind == "to" or (kind == "and" and worded == "between")) and ahead in ("num", "before"):
            self.at += 1
            low, high, unit = _united(number, unit, *self.number())
            return _rising(Span(low, high, None, False, False, unit, about))
        if worded:
            raise _general()
        if kind == "pm":
            self.at += 1
            return self._tolerance(number, unit, *self.number(), about=about)
        if kind in ("over", "under") and self.tokens[self.at].back:
            return self._behind(number, unit, about)
        return Span(None, None, number, False, False, unit, about)

    def _compared(self, kind: str, about: bool) -> Span:
        token = self.tokens[self.at]
        self.at += 1
        if not token.front:
            raise _general()
        about = self.take("about") or about
        number, unit = self.number()
        return self._one_sided(kind, token.apart, number, unit, about)

    def _behind(self, number: Number, unit: Unit | None, about: bool) -> Span:
        token = self.tokens[self.at]
        follows = self.tokens[self.at + 1].kind if self.at + 1 < len(self.tokens) else ""
        if token.front and follows in ("num", "before"):
            raise NotReadError(
                "the comparison could belong to either number", "Part them: `40 min, 200 max`."
            )
        self.at += 1
        return self._one_sided(token.kind, token.apart, number, unit, about)

    @staticmethod
    def _one_sided(kind: str, apart: bool, number: Number, unit: Unit | None, about: bool) -> Span:
        if kind == "over":
            return Span(number, None, None, apart, False, unit, about)
        return Span(None, number, None, False, apart, unit, about)

    @staticmethod
    def _about_zero(number: Number, unit: Unit | None) -> Span:
        if number.value < 0:
            raise _general()
        return Span(negative(number), number, None, False, False, unit)

    def _tolerance(
        self, number: Number, unit: Unit | None, by: Number, other: Unit | None, *, about: bool
    ) -> Span:
        if by.value < 0:
            raise _general()
        said = unit or self.header
        if other is not None and other.name == "%":
            if said is not None and said.dimension == "ratio":
                raise NotReadError(
                    "`%` of a percentage could be points or a share", "Write the range: `95 to 105 %`."
                )
            size = number.fraction * by.fraction / 100
        elif other is None or unit is None or other == unit:
            unit, size = unit or other, by.fraction
        elif unit.dimension == other.dimension and unit.known:
            size = by.fraction * other.factor / unit.factor
        elif other.name == "°" and unit.dimension == "temperature":
            size = by.fraction
        else:
            raise _mismatch(other, unit)
        size = abs(size)
        low, high = _end(number, number.fraction - size), _end(number, number.fraction + size)
        return Span(low, high, number, False, False, unit, about)


def _end(near: Number, value: Fraction) -> Number:
    """An end of a tolerance; never shown with fewer digits than its middle."""
    exact = exact_number(value)
    if exact is None:
        raise NotReadError("the ends of this tolerance are no exact decimals", "Write the range.")
    places = near.value.as_tuple().exponent
    if isinstance(places, int) and exact.value.as_tuple().exponent > places:  # type: ignore[operator]
        finer = exact.value.quantize(near.value)
        return Number(finer, format(finer, "f"))
    return exact
