"""One amount out of tokens: value, range, comparison, tolerance."""

from decimal import Context, Decimal
from fractions import Fraction

from recall.quantity.model import NotReadError, Span
from recall.quantity.number import MOST_DIGITS, Number, exact_number, negative
from recall.quantity.scan import Token
from recall.quantity.unit import Unit, convert, with_reference


def not_one(word: str = "") -> NotReadError:
    """For what isn't one amount; word: where it stopped."""
    return NotReadError(
        f"`{word}` isn't understood here" if word else "it isn't one amount with one meaning",
        "write a number with its unit, a range (`10 to 20`), a comparison (`max 50`) or a tolerance (`24 ± 2`); "
        "put other words into brackets or under When",
    )


def mismatch(own: Unit | None, other: Unit) -> NotReadError:
    """For a unit of another dimension than the one that is due."""
    name = own.name if own else "no unit"
    return NotReadError(
        f"the unit {name} stands where {other.name} is said elsewhere",
        f"write the amount in {other.name}, or give it a row or column of its own",
        "unit-mismatch",
    )


def united(
    first: Number, own: Unit | None, second: Number, other: Unit | None
) -> tuple[Number, Number, Unit | None]:
    """Two numbers in one unit. A unit said once holds for both; two of one dimension are converted, exactly."""
    if own is None or other is None or own is other or own == other:
        return first, second, own or other
    if {own.name, other.name} & {"°"} and "temperature" in (own.dimension, other.dimension):
        return first, second, own if own.name != "°" else other
    if own.dimension != other.dimension:
        raise mismatch(other, own)
    if (own.factor, own.offset) == (
        other.factor,
        other.offset,
    ):  # `10 kt to 20 KIAS`: one of them written short
        own, other = with_reference(own, other.reference), with_reference(other, own.reference)
    if own.reference != other.reference or not own.known:
        raise NotReadError(
            f"{own.name} and {other.name} don't convert into each other", "write both ends in one unit"
        )
    there = exact_number(convert(first.fraction, own, other))
    if there is not None:
        return there, second, other
    back = exact_number(convert(second.fraction, other, own))
    if back is not None:
        return first, back, own
    raise NotReadError(
        f"{own.name} and {other.name} don't convert into each other exactly", "write both ends in one unit"
    )


def rising(span: Span) -> Span:
    """The span, unless it falls. Raises NotReadError."""
    if span.low is not None and span.high is not None and span.low.value > span.high.value:
        raise NotReadError(
            f"the range falls from {span.low.written} to {span.high.written}",
            "write the smaller number first",
            "minimum-above-maximum",
        )
    return span


def _longer(
    number: Number, unit: Unit, rest: Number | None, other: Unit | None
) -> tuple[Number, Unit] | None:
    """`1 h 30 min` as minutes that are still written so; None where the second part doesn't go on the first."""
    if other is None or rest is None or {unit.dimension, other.dimension} != {"time"}:
        return None
    times = unit.factor / other.factor
    whole = number.value == int(number.value) and not number.value.is_signed()
    if times <= 1 or times.denominator != 1 or not whole or not 0 <= rest.value < times.numerator:
        return None
    total = number.value * times.numerator + rest.value
    return Number(total, f"{number.written} {unit.name} {rest.written}"), other


class Parser:
    """One pass over the tokens, left to right, never back."""

    def __init__(self, tokens: list[Token], header: Unit | None) -> None:
        """header: the unit of the column or row, which says what a tolerance in per cent is taken of."""
        self.tokens = tokens
        self.header = header
        self.kinds = [token.kind for token in tokens] + ["", ""]
        self.at = 0

    def peek(self) -> str:
        """The kind of the next token, "" at the end."""
        return self.kinds[self.at]

    def take(self, kind: str) -> bool:
        """Whether the next token is of that kind; then it is passed."""
        if self.kinds[self.at] == kind:
            self.at += 1
            return True
        return False

    def unit(self, kind: str) -> Unit | None:
        """The unit of the next token, passed, when it is of that kind."""
        return self.tokens[self.at - 1].unit if self.take(kind) else None

    def number(self) -> tuple[Number, Unit | None]:
        """A number with the unit before or behind it."""
        before = self.unit("before")
        if self.peek() != "num":
            raise not_one()
        number = self.tokens[self.at].number
        self.at += 1
        unit = self.unit("unit")
        if number is None or (before is not None and unit is not None):
            raise not_one()
        unit = before or unit
        if unit is not None and unit.name == "Mach":
            whole = number.value.as_tuple().exponent == 0
            if not 0 <= number.value < 10 or (whole and before is None):
                raise NotReadError(f"{number.written} is no Mach number", "write `M 2.0`; metres are `m`")
        while unit is not None and self.peek() == "num" and self.kinds[self.at + 1] == "unit":
            joint = _longer(number, unit, self.tokens[self.at].number, self.tokens[self.at + 1].unit)
            if joint is None:
                break
            number, unit = joint
            self.at += 2
        return number, unit

    def amount(self) -> Span:
        """One amount, from here on. Raises NotReadError."""
        about = self.take("about")
        if self.take("pm"):
            number, unit = self.number()
            if number.value < 0:
                raise not_one()
            return Span(negative(number), number, None, False, False, unit)
        kind = self.peek()
        if kind in ("over", "under"):
            return self._compared(about)
        worded = kind if kind in ("between", "from") else ""
        if worded:
            self.at += 1
        number, unit = self.number()
        kind = self.peek()
        ahead = self.kinds[self.at + 1]
        if (kind == "to" or (kind == "and" and worded == "between")) and ahead in ("num", "before"):
            self.at += 1
            low, high, unit = united(number, unit, *self.number())
            return rising(Span(low, high, None, False, False, unit, about))
        if worded:
            raise not_one()
        if kind == "pm":
            self.at += 1
            return self._tolerance(number, unit, *self.number(), about=about)
        if kind in ("over", "under") and self.tokens[self.at].back:
            return self._behind(number, unit, about)
        return Span(None, None, number, False, False, unit, about)

    def _compared(self, about: bool) -> Span:
        token = self.tokens[self.at]
        self.at += 1
        if not token.front:
            raise not_one()
        about = self.take("about") or about
        return _one_sided(token, *self.number(), about)

    def _behind(self, number: Number, unit: Unit | None, about: bool) -> Span:
        token = self.tokens[self.at]
        if token.front and self.kinds[self.at + 1] in ("num", "before"):
            raise NotReadError("the comparison could belong to either number", "part them: `40 min, 200 max`")
        self.at += 1
        return _one_sided(token, number, unit, about)

    def _tolerance(
        self, number: Number, unit: Unit | None, by: Number, other: Unit | None, *, about: bool
    ) -> Span:
        if by.value < 0:
            raise not_one()
        said = unit or self.header
        if other is not None and other.name == "%":
            if said is not None and said.dimension == "ratio":
                raise NotReadError(
                    "`%` of a percentage could be points or a share", "write the range: `95 to 105 %`"
                )
            size = number.fraction * by.fraction / 100
        elif other is None or unit is None or other == unit:
            low, high = _EXACT.subtract(number.value, by.value), _EXACT.add(number.value, by.value)
            return Span(_plain(low), _plain(high), number, False, False, unit or other, about)
        elif unit.dimension == other.dimension and unit.known:
            size = by.fraction * other.factor / unit.factor
        elif other.name == "°" and unit.dimension == "temperature":
            size = by.fraction
        else:
            raise mismatch(other, unit)
        size = abs(size)
        least, most = _end(number, number.fraction - size), _end(number, number.fraction + size)
        return Span(least, most, number, False, False, unit, about)


def _one_sided(token: Token, number: Number, unit: Unit | None, about: bool) -> Span:
    if token.kind == "over":
        return Span(number, None, None, token.apart, False, unit, about)
    return Span(None, number, None, False, token.apart, unit, about)


_EXACT = Context(prec=4 * MOST_DIGITS)  # sums of what `read_number` lets through are exact in it


def _plain(value: Decimal) -> Number:
    return Number(value, format(value, "f"))


def _end(near: Number, value: Fraction) -> Number:
    """An end of a tolerance; never shown with fewer digits than its middle."""
    places = near.value.as_tuple().exponent
    exact = exact_number(value, -places if isinstance(places, int) else 0)
    if exact is None:
        raise NotReadError("the ends of this tolerance are no exact decimals", "write the range")
    return exact
