"""Normal forms, numbers as shown, decimal commas, hostile input."""

from decimal import Decimal

import pytest

from recall.answers.match import read_answer
from recall.quantity import (
    Blank,
    Number,
    Reading,
    Unreadable,
    Words,
    canonical,
    comma_decimals,
    find_unit,
    header_parts,
    read_cell,
    read_unit,
    step_of,
)


def form(text: str) -> str:
    """The normal form of a readable cell."""
    cell = read_cell(text)
    assert isinstance(cell, Reading | Words), cell
    return canonical(cell)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("870 °C", "1598 °F"),
        ("1,234 lb", "1 234 lb"),
        ("1234 lb", "1,234 pounds"),
        ("22.50 V", "22.5 V"),
        ("10 - 20 psi", "10 to 20 psi"),
        ("10 psi – 20 psi", "between 10 and 20 psi"),
        ("max 50 psi", "≤ 50 psi"),
        ("50 psi max", "not above 50 psi"),
        ("at least 60 psi", "60 psi min"),
        ("60 s", "1 min"),
        ("870 °C for 20 s", "870 °C (20 s)"),
        ("40 psi min, 200 psi max", "40 to 200 psi"),
        ("40 s on / 60 s off", "40 sec on, 1 min off"),
        ("280 kt / M 0.67", "M 0.67 / 280 kt"),
        ("250 kt (below 10,000 ft)", "250 kt (below 10000 ft)"),
        ("24 V ± 2 V", "24 +/- 2 V"),
        ("Not limited", "not  limited."),
        ("28 V", "28V"),
        ("870 °C (1598 °F)", "870 °C"),
    ],
)
def test_a_rewording_keeps_the_form(one: str, other: str) -> None:
    """The same quantity in another unit or notation is reworded, not changed."""
    assert form(one) == form(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("870 °C", "871 °C"),
        ("870 °C", "870 °F"),
        ("50 psi", "max 50 psi"),
        ("< 50 psi", "≤ 50 psi"),
        ("250 KIAS", "250 KTAS"),
        ("24 ± 2 V", "22 to 26 V"),
        ("850 °C", "~850 °C"),
        ("870 °C for 20 s", "870 °C for 30 s"),
        ("870 °C for 20 s", "870 °C"),
        ("250 kt (below 10,000 ft)", "250 kt (below 12,000 ft)"),
        ("230/215 kt", "215/230 kt"),
        ("40 s on / 60 s off", "60 s on / 40 s off"),
        ("40 s on, 60 s off, twice", "40 s on, 60 s off"),
        ("5 passengers", "5 bags"),
        ("28", "28 V"),
        ("Not limited", "No limit"),
    ],
)
def test_a_real_change_changes_the_form(one: str, other: str) -> None:
    """A changed number, unit, reference, end, duration or condition is a change."""
    assert form(one) != form(other)


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        (["3,5 bar"], True),
        (["0,500 bar"], True),
        (["1,2345"], True),
        (["10 °C", "12,75 V"], True),
        (["2,5V"], True),
        (["1,234 lb"], False),
        (["1,234,567"], False),
        (["12,345.5"], False),
        (["40 min, 200 max"], False),
        (["1,2,3"], False),
        ([], False),
    ],
)
def test_decimal_commas_of_a_file(cells: list[str], expected: bool) -> None:
    """A comma is decimal with other than three digits behind it, or after a lone 0."""
    assert expected == comma_decimals(cells)


@pytest.mark.parametrize(
    ("text", "value"), [("3,5 bar", "3.5"), ("0,500 bar", "0.500"), ("1 234,5 bar", "1234.5")]
)
def test_a_decimal_comma_is_read(text: str, value: str) -> None:
    """A decimal comma keeps its places."""
    cell = read_cell(text, comma_decimal=True)

    assert isinstance(cell, Reading)
    number = cell.spans[0].value
    assert number is not None
    assert str(Decimal(value)) == str(number.value)


@pytest.mark.parametrize("text", ["1,234", "1.234", "1,234 to 2,345 lb"])
def test_one_group_is_doubtful_among_decimal_commas(text: str) -> None:
    """In a file with decimal commas, one group of three could be either."""
    cell = read_cell(text, comma_decimal=True)

    assert isinstance(cell, Unreadable)
    assert "unreadable-quantity" == cell.rule


@pytest.mark.parametrize(
    ("written", "step"),
    [
        *(
            ("1700", "10"),
            ("37500", "10"),
            ("10000", "100"),
            ("1000", "10"),
            ("840", "1"),
            ("100", "1"),
            ("0", "1"),
        ),
        *(("22.50", "0.01"), ("0.67", "0.01"), ("-40", "1"), ("104", "1"), ("5", "1")),
    ],
)
def test_a_reading_moves_by_its_last_written_digit(written: str, step: str) -> None:
    """Round thousands move by more than one."""
    assert Decimal(step) == step_of(Number(Decimal(written), written))


LONG = 200_000


@pytest.mark.parametrize(
    "text",
    [
        *(
            "9" * LONG,
            "-" * LONG,
            "1," * LONG,
            "1 " * LONG,
            "(" * LONG,
            "()" * LONG,
            "1-" * LONG,
            "± " * LONG,
        ),
        *(
            "psi " * LONG,
            "1.1." * LONG,
            "max " * LONG,
            "a" * LONG,
            "°" * LONG,
            "\u00b2" * LONG,
            "1,234" * LONG,
        ),
        *("-" * 290, "1 - " * 70, "(5 min)" * 40, "not " * 70 + "1", "9" * 290, "a1" * 140, "1 psi " * 45),
    ],
)
def test_hostile_texts_end(text: str) -> None:
    """Long runs of anything end in an outcome, never an amount."""
    cell = read_cell(text)

    assert isinstance(cell, Blank | Words | Unreadable)
    assert not comma_decimals([text])
    assert read_unit(text) is None
    assert read_answer(text, unit_hint=find_unit("psi")) is None
    assert header_parts(text).unit is None


@pytest.mark.parametrize("text", ["5 \x1b[31m psi", "1\u200b0 psi", "5 \u202epsi", "\x1b]0;"])
def test_no_control_character_reaches_a_message(text: str) -> None:
    """Hidden characters are never read over, and a message shows them escaped."""
    cell = read_cell(text)

    assert isinstance(cell, Unreadable)
    assert not any(sign in cell.reason + cell.help for sign in "\x1b\u200b\u202e")
