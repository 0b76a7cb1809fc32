"""Cells as people write them; forms and counts from a survey of public Markdown files."""

from decimal import Decimal

import pytest

from recall.quantity import Blank, Reading, Unreadable, Words, find_unit, read_cell, shown


def read(text: str, unit: str = "") -> Reading:
    """The reading of a cell that must be readable."""
    cell = read_cell(text, header_unit=find_unit(unit) if unit else None)
    assert isinstance(cell, Reading), cell
    return cell


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("28V", "", "28 V"),
        ("28 V", "", "28 V"),
        ("9 200 ft", "", "9 200 ft"),
        ("1,234", "", "1,234"),
        ("−40 °C", "", "-40 °C"),
        ("minus 40 °C", "", "-40 °C"),
        ("from minus 40 to plus 50 °C", "", "-40 to 50 °C"),
        ("not below negative 1", "g", "at least -1 g"),
        ("24 plus or minus 2 V", "", "24 ± 2 V"),
        ("870", "°C", "870 °C"),
        ("10 to 110", "°C", "10 to 110 °C"),
        ("-40 to 110 °C", "", "-40 to 110 °C"),
        ("-40 - -10 °C", "", "-40 to -10 °C"),
        ("-40--10 °C", "", "-40 to -10 °C"),
        ("70 A - 100 A", "", "70 to 100 A"),
        ("70–100 A", "", "70 to 100 A"),
        ("10..20 psi", "", "10 to 20 psi"),
        ("10…20 psi", "", "10 to 20 psi"),
        ("850~870 °C", "", "850 to 870 °C"),
        ("between 10 and 20 psi", "", "10 to 20 psi"),
        ("from 10 to 20 psi", "", "10 to 20 psi"),
        ("5 s to 2 min", "", "5 to 120 s"),
        ("max 50", "psi", "at most 50 psi"),
        ("50 max", "psi", "at most 50 psi"),
        ("50 psi max", "", "at most 50 psi"),
        ("up to 50 psi", "", "at most 50 psi"),
        ("not to exceed 50 psi", "", "at most 50 psi"),
        ("≤ 50 psi", "", "at most 50 psi"),
        ("<= 12S", "", "at most 12 s"),
        ("< 50 psi", "", "less than 50 psi"),
        ("below 50 psi", "", "less than 50 psi"),
        ("not below 22 V DC", "", "at least 22 V DC"),
        ("at least 60 psi", "", "at least 60 psi"),
        (">=60 psi", "", "at least 60 psi"),
        ("more than 60 psi", "", "more than 60 psi"),
        ("22 V or more", "", "at least 22 V"),
        ("40 min, 200 max", "psi", "40 to 200 psi"),
        ("> 40, < 200", "psi", "more than 40, less than 200 psi"),
        ("24 ± 2 V", "", "24 ± 2 V"),
        ("24 +/- 2 V", "", "24 ± 2 V"),
        ("24 +- 2 V", "", "24 ± 2 V"),
        ("28 V ± 5 %", "", "28 ± 1.4 V"),
        ("±5°", "", "-5 to 5°"),
        ("~850 °C", "", "about 850 °C"),
        ("870 °C for 20 s", "", "870 °C for 20 s"),
        ("870 °C (20 s)", "", "870 °C for 20 s"),
        ("870 (<= 12S)", "°C", "870 °C for at most 12 s"),
        ("830 °C continuous", "", "830 °C (continuous)"),
        ("230/215 kt", "", "230/215 kt"),
        ("230/215 kt (4000 - 5300 lb)", "", "230/215 kt (4000 - 5300 lb)"),
        ("280 kt / M 0.67", "", "280 kt / M 0.67"),
        ("280 kt (below 10,000 ft)", "", "280 kt (below 10,000 ft)"),
        ("40 s on / 60 s off", "", "40 s on / 60 s off"),
        ("FL 100 to FL 200", "", "FL 100 to FL 200"),
        ("104 % N1", "", "104 % N1"),
        ("180 passengers", "", "180 passengers"),
        ("870 °C (1598 °F)", "", "870 °C"),
        ("10 °C (50 °F) to 110 °C (230 °F)", "", "10 to 110 °C"),
        ("280 KIAS (322 mph)", "", "280 KIAS"),
        ("50 kt (IAS)", "", "50 KIAS"),
        ("50 psi(g)", "", "50 psig"),
        ("50 psi (max)", "", "at most 50 psi"),
        ("250 kt below 10,000 ft", "", "250 kt (below 10,000 ft)"),
        ("60 psi min at idle", "", "at least 60 psi (at idle)"),
        ("5 A on battery", "", "5 A (on battery)"),
        ("28 V nominal", "", "28 V (nominal)"),
        ("250 kt", "KIAS", "250 KIAS"),
        ("250 KTAS", "KIAS", "250 KTAS"),
        ("870°", "°C", "870 °C"),
        ("250 g", "kg", "250 gram"),
        ("280 / M 0.67", "KIAS", "280 KIAS / M 0.67"),
        ("M 0.60 to 0.67", "", "M 0.60 to M 0.67"),
        ("115/200 VAC", "", "115/200 V AC"),
        ("40 on / 60 off", "s", "40 on / 60 off"),
        ("5000 mAh", "", "5000 mAh"),
        ("45 QRT", "", "45 QRT"),
        ("122.4 m²", "", "122.4 m²"),
        ("about 50 psi", "", "about 50 psi"),
        ("max about 50 psi", "", "at most about 50 psi"),
        ("50 psi.", "", "50 psi"),
        ("100 (Note 12.5.3)", "psi", "100 psi (Note 12.5.3)"),
        ("not less than 22 V and not more than 28 V", "", "22 to 28 V"),
    ],
)
def test_amounts_are_read_whole(text: str, unit: str, expected: str) -> None:
    """Each common notation is read as what a person would say it means."""
    actual = shown(read(text, unit))

    assert expected == actual


@pytest.mark.parametrize(
    "text",
    [
        *("1/2", "3/4 in", "12.5.3", "10²", "10k", "1e3", "40B0", "V2", "N1", "F-09A", "10:30", "12/05/2024"),
        *(
            "2024-05-12",
            "NaN 1",
            "1_000",
            "½",
            "Ⅳ psi",
            "٣ psi",
            "0600",
            "28 24",
            "12,34,5",
            "1,23 4",
            "5 psi 6",
        ),
        *(
            "100 % / 5 min",
            "870 °C, 5 min",
            "5 M",
            "30/15",
            "24 +2/-1 V",
            "50 % ± 5 %",
            "28 idle",
        ),
        *(
            "5 psi in 10 s",
            "870 in flight",
            "250 kt (240 kt)",
            "10 (5) 200",
            "5 ≈ 10",
            "5 of 6",
        ),
        *(
            "5,000 ft to FL 250",
            "10 KIAS to 20 KTAS",
            "max 10 to 20",
            "5 - 10 - 15",
            "1.234,5",
            "4 or 5",
            "10^3",
        ),
        *(
            "100¹",
            "100 (1)",
            "-20 -10 °C",
            "–40 °C",
            "5 psi (",
            "5 (6 (7)) psi",
            "10 A to 5 widgetlike",
            "50 -",
        ),
        *(
            "Infinity 1",
            "1 h 90 min",
            "1.5 h 30 min",
            "6'2\"",
            "8'",
            "= 5",
            "$5",
            "100*",
            "5x",
            "(5)",
            "5 ()",
            "5 V )",
            "min",
            "5 + 3",
            "--5",
        ),
    ],
)
def test_doubtful_cells_are_not_read(text: str) -> None:
    """Nothing is guessed and no number is taken out of something else."""
    cell = read_cell(text)

    assert isinstance(cell, Unreadable | Blank), cell
    assert not isinstance(cell, Reading)


@pytest.mark.parametrize(("text", "unit"), [("65 to 40", ""), ("65-40 psi", ""), ("200 min, 40 max", "psi")])
def test_a_falling_range_is_named(text: str, unit: str) -> None:
    """A range that falls is never turned round."""
    cell = read_cell(text, header_unit=find_unit(unit))

    assert isinstance(cell, Unreadable)
    assert "minimum-above-maximum" == cell.rule


@pytest.mark.parametrize(
    ("text", "unit"), [("25 s", "°C"), ("870 °C (1597 °F)", ""), ("10 kt to 20 psi", ""), ("5 psi", "kt")]
)
def test_units_that_disagree_are_named(text: str, unit: str) -> None:
    """Another dimension than the header's, or a bracket that disagrees, is a mismatch of units."""
    cell = read_cell(text, header_unit=find_unit(unit))

    assert isinstance(cell, Unreadable)
    assert "unit-mismatch" == cell.rule


@pytest.mark.parametrize(
    "text",
    [
        "",
        "-",
        "—",
        "--",
        "N/A",
        "TBD",
        "t.b.d.",
        "?",
        "see table below",
        "KIAS",
        "psi",
        "…",
        "TBD psi",
        "XX kt",
        "___ V",
    ],
)
def test_placeholders_are_no_values(text: str) -> None:
    """A placeholder, or a unit alone, says that the answer is missing."""
    assert Blank(text) == read_cell(text)


@pytest.mark.parametrize("text", ["fifteen knots", "at most twenty-five psi", "one hundred and ten °C"])
def test_a_spelt_number_is_named(text: str) -> None:
    """A typed `15 kt` couldn't be compared with it."""
    cell = read_cell(text)

    assert isinstance(cell, Unreadable) and "spells its number" in cell.reason


@pytest.mark.parametrize("text", ["Two pilots", "half flap", "one man", "two hours before flight"])
def test_a_count_of_no_unit_is_words(text: str) -> None:
    """It isn't an amount of anything that is measured."""
    assert isinstance(read_cell(text), Words)


@pytest.mark.parametrize("text", ["Not limited", "None", "No limit", "As required", "Green arc"])
def test_text_on_purpose_is_words(text: str) -> None:
    """Words in a limit's cell are an answer in words."""
    assert Words(text) == read_cell(text)


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("60 min", "", "60 min"),
        ("60 min", "psi", "at least 60 psi"),
        ("60 min", "min", "60 min"),
        ("min 60", "", "at least 60"),
        ("5 min max", "", "at most 5 min"),
        ("max 5 min", "", "at most 5 min"),
        ("5 min min", "", "at least 5 min"),
        ("5 min - 10 min", "", "5 to 10 min"),
        ("40 psi min", "", "at least 40 psi"),
        ("-40 min", "°C", "at least -40 °C"),
        ("100 (5 min)", "psi", "100 psi for 5 min"),
    ],
)
def test_min_is_minutes_or_minimum(text: str, unit: str, expected: str) -> None:
    """`min` is a minimum beside a unit that is no time or before its number, otherwise minutes."""
    actual = shown(read(text, unit))

    assert expected == actual


def test_written_precision_is_kept() -> None:
    """22.50 equals 22.5 in value and keeps its two places."""
    number = read("22.50 V").spans[0].value

    assert number is not None
    assert (Decimal("22.5"), -2) == (number.value, number.value.as_tuple().exponent)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1 h 30 min", 5400),
        ("max 2 min 30 s", 150),
        ("1 h 20 min 30 s", 4830),
        ("12 minutes 20 seconds", 740),
    ],
)
def test_a_time_in_two_units_is_one_amount_and_keeps_its_wording(text: str, seconds: int) -> None:
    """`1 h 30 min` is ninety minutes, still shown as hours and minutes."""
    cell = read_cell(text)
    assert isinstance(cell, Reading)
    span = cell.spans[0]
    number = span.value or span.high
    assert number is not None and span.unit is not None

    assert seconds == number.fraction * span.unit.factor
    assert text.split()[-2] in number.written


@pytest.mark.parametrize(
    ("text", "unit"), [("512 MB", "MB"), ("512 mb", "mbar"), ("10,000'", "ft"), ("60 %RH", "% RH")]
)
def test_marks_that_two_trades_use_are_told_apart(text: str, unit: str) -> None:
    """Megabytes aren't millibars; a mark behind hundreds is feet."""
    cell = read_cell(text)
    assert isinstance(cell, Reading) and cell.spans[0].unit is not None

    assert unit == cell.spans[0].unit.name


def test_an_unknown_rate_is_taken_whole() -> None:
    """`7 widget/min` isn't cut at its stroke; it is a unit that nobody knows."""
    cell = read_cell("7 widget/min")
    assert isinstance(cell, Reading) and cell.spans[0].unit is not None

    assert ("widget/min", False) == (cell.spans[0].unit.name, cell.spans[0].unit.known)


@pytest.mark.parametrize(
    "text",
    ["2207 1750KV", "10k", "1e3 kg", "12.5.3", "1/2", "65 to 40", "5 (6", "40 min 200 max", "x5", "word"],
)
def test_a_help_is_a_phrase_without_capital_or_stop(text: str) -> None:
    """Helps read like all others of the checker."""
    cell = read_cell(text)
    assert isinstance(cell, Unreadable)

    assert cell.help[0].islower() and not cell.help.endswith(".")


@pytest.mark.parametrize("text", ["26Okg/h", "11Opsi", "3O psi", "O inHg", "1e3kg/h", "5 dry", "10 wet"])
def test_a_letter_among_digits_is_no_unit(text: str) -> None:
    """Letters that pass for digits, and plain words, don't make an unknown unit."""
    assert isinstance(read_cell(text), Unreadable)


@pytest.mark.parametrize("text", ["40 qsi", "40qsi", "12 pis", "1500 rmp", "28 Vdv"])
def test_a_unit_with_a_slip_is_an_unknown_unit(text: str) -> None:
    """The number is sure, its unit is to be mended."""
    cell = read_cell(text)
    assert isinstance(cell, Reading) and cell.spans[0].unit is not None

    assert not cell.spans[0].unit.known
