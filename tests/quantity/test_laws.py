"""Laws that hold for every number, unit and text."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from recall.answers.match import matches, matches_whole, read_answer, read_whole_answer
from recall.quantity import (
    Blank,
    Number,
    Reading,
    Span,
    Unit,
    Unreadable,
    Words,
    canonical,
    comma_decimals,
    convert,
    find_unit,
    header_parts,
    read_cell,
    read_unit,
    same_reference,
    shown,
)
from recall.quantity.unit import _spellings

KNOWN = sorted(
    {unit for units in _spellings() for said in units if (unit := find_unit(said))},
    key=lambda unit: unit.name,
)
units = st.sampled_from(KNOWN)
decimals = st.decimals(min_value=-99999, max_value=99999, places=2) | st.integers(-(10**6), 10**6).map(
    Decimal
)
PIECES = (
    "0 1 5 60 1,234 9 200 0.67 -40 − - – — to .. … ~ ± +/- < ≤ >= max min not below at least between and from up psi "
    "kt °C °F % N1 V DC M FL s min h on off / , ; ( ) [ ] for continuous twice then (5 min) (g) . + * N/A TBD at idle"
)
pieces = st.sampled_from(PIECES.split(" "))
texts = (
    st.text(max_size=40)
    | st.lists(pieces, max_size=9).map(" ".join)
    | st.lists(pieces, max_size=9).map("".join)
)
hints = st.none() | units


def one(text: str, unit: Unit | None = None) -> Span:
    """The one amount of a text that must be readable."""
    cell = read_cell(text, header_unit=unit)
    assert isinstance(cell, Reading), cell
    return cell.spans[0]


@settings(max_examples=400)
@given(texts, hints, st.booleans(), st.booleans())
def test_no_text_breaks_the_reader(text: str, unit: Unit | None, comma: bool, duration: bool) -> None:
    """Any text is one of the four outcomes, and what was read can be shown, compared and matched with itself."""
    cell = read_cell(text, header_unit=unit, comma_decimal=comma, duration=duration)

    assert isinstance(cell, Reading | Words | Blank | Unreadable)
    if isinstance(cell, Reading):
        assert shown(cell)
        assert canonical(cell)
        assert matches_whole(cell, cell).right
    read_unit(text)
    header_parts(text)
    read_answer(text, unit_hint=unit)
    read_whole_answer(text, unit_hint=unit)
    comma_decimals([text])


@given(
    st.integers(1, 999),
    st.lists(st.integers(0, 999), max_size=3),
    st.sampled_from([",", " ", "\u00a0", "\u2009", "\u202f", ""]),
    st.sampled_from(["", "-", "−"]),
    st.sampled_from(["", ".5", ".50"]),
)
def test_grouping_changes_no_value(first: int, groups: list[int], gap: str, sign: str, places: str) -> None:
    """A number in any grouping, sign and precision has the one value."""
    digits = [f"{group:03}" for group in groups]
    expected = Decimal(f"{'-' if sign else ''}{first}{''.join(digits)}{places}")
    actual = one(sign + gap.join([str(first), *digits]) + places).value

    assert actual is not None
    assert (expected, expected.as_tuple().exponent) == (actual.value, actual.value.as_tuple().exponent)


@given(
    decimals,
    decimals,
    st.sampled_from([" - ", " – ", " — ", " to ", "..", " … ", " ~ "]),
    st.sampled_from(["psi", "°C", "V DC", "kt"]),
    st.booleans(),
)
def test_every_dash_makes_the_same_range(a: Decimal, b: Decimal, dash: str, unit: str, twice: bool) -> None:
    """A range reads the same with any dash, and with its unit once or twice; one that falls isn't turned round."""
    text = f"{a:f}{' ' + unit if twice else ''}{dash}{b:f} {unit}"
    cell = read_cell(text)

    if a > b:
        assert isinstance(cell, Unreadable)
        assert "minimum-above-maximum" == cell.rule
    else:
        assert isinstance(cell, Reading)
        assert (Number(a, ""), Number(b, ""), find_unit(unit)) == (
            cell.spans[0].low,
            cell.spans[0].high,
            cell.spans[0].unit,
        )


@given(decimals, units, units)
def test_there_and_back_is_exact(value: Decimal, source: Unit, target: Unit) -> None:
    """Conversion loses nothing."""
    if same_reference(source, target):
        assert Fraction(value) == convert(convert(value, source, target), target, source)


@given(st.integers(-60, 1500))
def test_one_temperature_has_one_normal_form(celsius: int) -> None:
    """A whole number of °C and its exact °F are the same quantity; a degree more is not."""
    fahrenheit = Decimal(celsius * 9) / 5 + 32
    there = read_cell(f"{fahrenheit:f} °F")
    here = read_cell(f"{celsius} °C")
    other = read_cell(f"{celsius + 1} °C")

    assert isinstance(there, Reading) and isinstance(here, Reading) and isinstance(other, Reading)
    assert canonical(here) == canonical(there)
    assert canonical(here) != canonical(other)


@given(decimals, units)
def test_what_is_shown_is_right(value: Decimal, unit: Unit) -> None:
    """An answer typed as it is shown is right, and so is the bare number."""
    span = Span(value=Number(value, f"{value:f}"), unit=unit)
    typed = read_answer(shown(span), unit_hint=unit)
    bare = read_answer(f"{value:f}", unit_hint=unit)

    assert bare is not None and matches(bare, span).right
    if not unit.before or 0 <= value < 10:
        assert typed is not None and matches(typed, span).right


@given(decimals, st.integers(1, 10**6), units)
def test_another_number_is_wrong(value: Decimal, more: int, unit: Unit) -> None:
    """A stated number must equal."""
    right = Span(value=Number(value, ""), unit=unit)

    assert not matches(Span(value=Number(value + Decimal(more) / 100, "")), right).right
