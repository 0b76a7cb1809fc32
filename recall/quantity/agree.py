"""Whether one amount is the same as another in a different unit, as far as both are written."""

from fractions import Fraction

from recall.quantity.model import Span
from recall.quantity.number import Number, rounded
from recall.quantity.unit import Unit, convert, with_reference


def agrees(span: Span, also: Span) -> bool:
    """Whether both spans say one amount: each end, converted either way, rounds to what is written.

    A reference that only one of them states holds for both: `280 KIAS (322 mph)`.
    """
    if span.unit is None or also.unit is None or span.unit == also.unit:
        return False
    unit = with_reference(span.unit, also.unit.reference)
    other = with_reference(also.unit, span.unit.reference)
    if unit.reference != other.reference or unit.dimension != other.dimension:
        return False
    pairs = ((span.low, also.low), (span.high, also.high), (span.value, also.value))
    if span.value is not None and also.value is not None and also.low is None:
        pairs = ((span.value, also.value),) * 3
    elif also.low is None and also.high is None:  # the number alone, behind a comparison
        ends = [end for end in (span.low, span.high) if end is not None]
        return len(ends) == 1 and _same(ends[0], unit, also.value, other)
    return all(_same(number, unit, there, other) for number, there in pairs)


def _same(number: Number | None, unit: Unit, there: Number | None, other: Unit) -> bool:
    if number is None or there is None:
        return number is there
    forth: Fraction = convert(number.fraction, unit, other)
    back: Fraction = convert(there.fraction, other, unit)
    return rounded(forth, there.value) == there.fraction or rounded(back, number.value) == number.fraction
