"""Numbers as written: exact decimals that keep their precision, grouping and decimal comma."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from recall.base import regex as re
from recall.base.dataclass import dataclass, field

MOST_DIGITS = 30  # more than any instrument shows; beyond it nothing is read

_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+|(?: [0-9]{3})+)(?:\.[0-9]+)?")
_POINT = re.compile(r"(?:0|[1-9][0-9]*)?\.[0-9]+")
_COMMA = re.compile(r"(0|[1-9][0-9]*(?: [0-9]{3})*),([0-9]+)")
_COMMA_CELL = re.compile(
    r"(?<![0-9.,A-Za-z])(?:0,[0-9]{1,30}|[1-9][0-9]{0,30},(?:[0-9]{1,2}|[0-9]{4,30}))(?![0-9,]|\.[0-9])"
)
_BLANK_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?: [0-9]{3})+")


@dataclass(frozen=True, slots=True)
class Number:
    """An exact number. value: its exponent is the written precision; written: as it stood, with a plain minus.

    Equal when the values are equal: 22.50 equals 22.5, and `value.as_tuple().exponent` tells them apart.
    """

    value: Decimal
    written: str = field(compare=False)

    @property
    def fraction(self) -> Fraction:
        """The value as a fraction."""
        return Fraction(self.value)


def read_number(run: str, *, comma_decimal: bool = False) -> Number | None:
    """A number without sign, from digits, blanks, commas and stops; None where the groups don't fit.

    comma_decimal: the file uses decimal commas elsewhere, so one group of three behind a comma (or behind a
    stop) could be either and isn't read. Zeros in front (`007`) are an id, a time or a date, not an amount.
    """
    if len(run) > 2 * MOST_DIGITS:
        return None
    if run.isdigit():
        plain = run if run[0] != "0" or len(run) == 1 else None
    elif _POINT.fullmatch(run):
        unsure = (
            comma_decimal and len(run) - run.index(".") == 4 and 1 <= run.index(".") <= 3 and run[0] != "0"
        )
        plain = None if unsure else run
    elif _GROUPED.fullmatch(run):
        unsure = comma_decimal and run.count(",") == 1 and "." not in run
        plain = None if unsure else run.replace(",", "").replace(" ", "")
    else:
        plain = _decimal_comma(run)
    if plain is None or len(plain) > MOST_DIGITS:
        return None
    return Number(Decimal(plain), run)


def _decimal_comma(run: str) -> str | None:
    found = _COMMA.fullmatch(run)
    if found is None or (len(found[2]) == 3 and found[1] != "0"):
        return None
    grouped = " " not in found[1] or _BLANK_GROUPS.fullmatch(found[1])
    return f"{found[1].replace(' ', '')}.{found[2]}" if grouped else None


def negative(number: Number) -> Number:
    """The number with a minus before it."""
    return Number(number.value.copy_negate(), "-" + number.written)


def comma_decimals(cells: Iterable[str]) -> bool:
    """Whether any cell of a file holds a decimal comma: a lone 0 before it, or other than three digits behind."""
    return any("," in cell and _COMMA_CELL.search(cell) is not None for cell in cells)


def exact_number(value: Fraction, least: int = 0) -> Number | None:
    """The value as a decimal with `least` places or more as needed; None when no decimal holds it exactly."""
    rest, places = value.denominator, 0
    while rest % 10 == 0:
        rest, places = rest // 10, places + 1
    for prime in (2, 5):
        while rest % prime == 0:
            rest, places = rest // prime, places + 1
    if rest != 1 or places > MOST_DIGITS:
        return None
    places = max(places, least)
    digits = value.numerator * 10**places // value.denominator
    if len(str(digits)) > 3 * MOST_DIGITS:
        return None
    decimal = Decimal((digits < 0, tuple(map(int, str(abs(digits)))), -places))
    return Number(decimal, format(decimal, "f"))


def rounded(value: Fraction, like: Decimal) -> Fraction:
    """The value at the written precision of `like`; a half goes away from zero, as people round."""
    exponent = like.as_tuple().exponent
    step = Fraction(10) ** (exponent if isinstance(exponent, int) else 0)
    whole, rest = divmod(abs(value), step)
    size = (whole + (1 if 2 * rest >= step else 0)) * step
    return size if value >= 0 else -size


def step_of(number: Number) -> Decimal:
    """By how much a reading near this number moves: its last written digit.

    A whole number that ends in zeros is rarely known to the unit, so it moves by more: 1700 by 10, 37,500 by
    10, 10,000 by 100; but 840 and 100 by 1.
    """
    exponent = number.value.as_tuple().exponent
    if not isinstance(exponent, int) or exponent < 0:
        return Decimal((0, (1,), exponent if isinstance(exponent, int) else 0))
    digits = str(abs(int(number.value)))
    tens = min(len(digits) - len(digits.rstrip("0")) - 1, len(digits) - 3)
    return Decimal(10) ** max(tens, 0)
