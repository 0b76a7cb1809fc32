"""Typed answers: what is right, what isn't, and why."""

import pytest

from recall.answers.match import Match, matches, matches_whole, read_answer, read_whole_answer
from recall.quantity import Reading, find_unit, read_cell


def asked(text: str, unit: str = "") -> Reading:
    """The right answer, as its cell says it."""
    cell = read_cell(text, header_unit=find_unit(unit) if unit else None)
    assert isinstance(cell, Reading), cell
    return cell


def marked(typed: str, right: str) -> Match:
    """How a typed answer is marked against the one amount of a cell."""
    due = asked(right).spans[0]
    given = read_answer(typed, unit_hint=due.unit)
    assert given is not None, typed
    return matches(given, due)


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("870", "870 °C"),
        ("870 C", "870 °C"),
        ("870 c", "870 °C"),
        ("870°", "870 °C"),
        ("1,598 °F", "870 °C"),
        ("1598 f", "870 °C"),
        ("1598 F", "870 °C"),
        ("-40", "-40 °C"),
        ("minus 40", "-40 °C"),
        ("22.5", "22.50 V"),
        ("22,5 V", "22.50 V"),
        ("10 to 110", "10 to 110 °C"),
        ("10-110 °C", "10 to 110 °C"),
        (">= 60", "at least 60 psi"),
        ("60", "at least 60 psi"),
        ("60 min", "at least 60 psi"),
        ("min 60 psi", "60 psi min"),
        ("5 min", "300 s"),
        ("300", "300 s"),
        ("0.5 h", "30 min"),
        ("200 kt", "200 KIAS"),
        ("200 kts", "200 KIAS"),
        ("230.2 mph", "200 KIAS"),
        ("24 V", "24 V DC"),
        ("345 kPa", "50 psi"),
        ("24 +/- 2", "24 ± 2 V"),
        ("22 to 26", "24 ± 2 V"),
        ("104 %", "104 % N1"),
        ("1 passenger", "1 passengers"),
        ("40 to 200", "> 40, < 200 psi"),
        ("M 0.67", "M 0.67"),
        (".67", "M 0.67"),
        ("FL250", "FL 250"),
        ("25,000 ft", "FL 250"),
        ("850", "~850 °C"),
    ],
)
def test_right_answers(typed: str, right: str) -> None:
    """The number in the right unit, in none, or in another that rounds to the written precision is right."""
    assert Match(True, "") == marked(typed, right)


@pytest.mark.parametrize(
    ("typed", "right", "why"),
    [
        ("871", "870 °C", "the number differs"),
        ("1597 °F", "870 °C", "the number differs"),
        ("870 F", "870 °C", "the unit is wrong: °F typed, the answer is in °C"),
        ("22.51", "22.5 V", "the number differs"),
        ("870 kt", "870 °C", "kt typed, the answer is in °C"),
        ("200 KTAS", "200 KIAS", "true airspeed is not indicated airspeed"),
        ("200 KTAS", "200 kt", "the answer doesn't say true"),
        ("500 ft MSL", "500 ft AGL", "above sea level is not above ground"),
        ("50 psia", "50 psig", "absolute is not gauge"),
        ("24 VAC", "24 V DC", "AC is not DC"),
        ("104 % N2", "104 % N1", "N2 is not N1"),
        ("10", "10 to 110 °C", "both ends are asked"),
        ("10 to 100", "10 to 110 °C", "the numbers differ"),
        ("max 60", "at least 60 psi", "a minimum is asked"),
        ("at least 50", "max 50 psi", "a maximum is asked"),
        ("<= 50", "< 50 psi", "the end itself is left out"),
        ("< 50", "max 50 psi", "the end itself belongs to it"),
        ("24", "24 ± 2 V", "the tolerance is missing"),
        ("20 to 30", "24 V", "one number is asked"),
        ("24 QRT", "24 V", "`QRT` is no unit known here"),
        ("5 bags", "5 passengers", "bags typed, the answer is in passengers"),
        ("50 psi", "50 kt", "psi typed, the answer is in kt"),
    ],
)
def test_wrong_answers_say_why(typed: str, right: str, why: str) -> None:
    """A wrong answer has one short plain sentence."""
    assert Match(False, why) == marked(typed, right)


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("230/215", "230/215 kt"),
        ("230 kt / 215 kt", "230/215 kt"),
        ("280 kt / M 0.67", "280 kt / M 0.67"),
        ("M .67 / 280 kt", "280 kt / M 0.67"),
        ("870 for 20 s", "870 °C for 20 s"),
        ("870 (20 s)", "870 °C for 20 s"),
        ("850 for 5 min", "850 °C (5 min)"),
        ("40 sec on, 60 sec off", "40 s on / 60 s off"),
    ],
)
def test_answers_of_several_amounts(typed: str, right: str) -> None:
    """Each amount and the duration are compared."""
    due = asked(right)
    given = read_whole_answer(typed, unit_hint=due.spans[0].unit)

    assert given is not None
    assert matches_whole(given, due).right


@pytest.mark.parametrize(
    ("typed", "right", "why"),
    [
        ("215/230", "230/215 kt", "the number differs"),
        ("230", "230/215 kt", "2 amounts are asked"),
        ("870", "870 °C for 20 s", "the duration is missing"),
        ("870 for 30 s", "870 °C for 20 s", "the duration is wrong: the number differs"),
        ("60 s on / 40 s off", "40 s on / 60 s off", "the number differs"),
        ("40 s / 60 s", "40 s on / 60 s off", "times on and off are asked"),
        ("870 for 20 s", "870 °C", "no duration belongs to it"),
    ],
)
def test_wrong_answers_of_several_amounts(typed: str, right: str, why: str) -> None:
    """A missing or wrong part is named."""
    due = asked(right)
    given = read_whole_answer(typed, unit_hint=due.spans[0].unit)

    assert given is not None
    assert Match(False, why) == matches_whole(given, due)


@pytest.mark.parametrize(
    "typed", ["", "   ", "abc", "red", "1/2", "10 20", "V2", "max", "870 or 880", "9" * 1000]
)
def test_what_is_no_amount_gives_none(typed: str) -> None:
    """An answer that isn't an amount is nobody's number."""
    assert read_answer(typed, unit_hint=find_unit("°C")) is None


def test_a_conversion_without_end_is_right_to_its_last_digit() -> None:
    """25 m/min are 0.41666… m/s, by an exact factor; 30 min are half an hour, and nothing near it."""
    assert [True, True, True, False, False] == [
        marked(f"{typed} m/s", "25 m/min").right for typed in ("0.42", "0.417", "0.416667", "0.41666", "0.4")
    ]
    assert marked("0.5 h", "30 min").right
    assert not marked("0.5 h", "29.7 min").right
    assert not marked("0.5 h", "31 min").right


def test_feet_per_minute_are_asked_of_no_aircraft_alone() -> None:
    """What the unit says by itself may be said where the right answer doesn't."""
    assert marked("82 ft/min", "25 m/min").right
    assert not marked("83 ft/min", "25 m/min").right
    assert not marked("82 kt", "82 ft/min").right


def test_a_converted_half_rounds_away_from_zero() -> None:
    """7.5 °C is 45.5 °F: at whole degrees 46, and not 45."""
    assert marked("46 °F", "7.5 °C").right
    assert not marked("45 °F", "7.5 °C").right


@pytest.mark.parametrize(
    ("typed", "unit", "right"),
    [
        ("400 a", "A", True),
        ("400a", "A", True),
        ("400 kn", "kN", True),
        ("400 mw", "MW", True),
        ("400 mW", "MW", False),
    ],
)
def test_a_slip_of_case_in_the_unit_is_forgiven(typed: str, unit: str, right: bool) -> None:
    """A unit in another case is the right one, unless it says another unit of the same dimension."""
    due = read_cell(f"400 {unit}")
    assert isinstance(due, Reading)
    given = read_whole_answer(typed, unit_hint=due.spans[0].unit)

    assert right == (given is not None and matches_whole(given, due).right)
