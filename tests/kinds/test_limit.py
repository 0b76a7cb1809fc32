"""Tables of limits become the right points, and mistakes in them findings."""

import pytest
from limit_kit import answers, read_limits, rules, table


@pytest.mark.parametrize("names", [
    ("Parameter", "Min", "Max"), ("Item", "Minimum", "Maximum"), ("Gauge", "Lower limit", "Upper limits"),
    ("Specification", "MIN.", "MAX."), ("", "Minimum", "Maximum"), ("Limit", "min", "max"),
    ("Parameters", "Min (°C)", "Max, °C"), ("Sensor", "Min °C", "Max [°C]"),
])  # fmt: skip
def test_headers_are_known_in_many_wordings(names: tuple[str, str, str]) -> None:
    """Parameter, minimum and maximum are found whatever they are called, with or without their unit."""
    text = table(" | ".join(names), "Oil temperature | 10 °C | 110 °C")

    assert {
        "Minimum oil temperature, in °C?": ("10 °C",),
        "Maximum oil temperature, in °C?": ("110 °C",),
    } == answers(text)


def test_columns_stand_in_any_order() -> None:
    """Unit and maximum before the parameter change nothing."""
    text = table("Unit | Max | When | Parameter", "°C | 110 | takeoff | Oil temperature")

    assert {"Maximum oil temperature at takeoff, in °C?": ("110 °C",)} == answers(text)


@pytest.mark.parametrize(("cell", "expected"), [
    ("40", {"Oil pressure limit, in psi?": ("40 psi",)}),
    ("40 min", {"Minimum oil pressure, in psi?": ("40 psi",)}),
    ("max 200", {"Maximum oil pressure, in psi?": ("200 psi",)}),
    ("< 200", {"Maximum oil pressure, in psi?": ("less than 200 psi",)}),
    ("40–200", {"Minimum oil pressure, in psi?": ("40 psi",), "Maximum oil pressure, in psi?": ("200 psi",)}),
    ("40 min, 200 max", {"Minimum oil pressure, in psi?": ("40 psi",),
                         "Maximum oil pressure, in psi?": ("200 psi",)}),
    ("50 ± 5", {"Oil pressure limit, with its tolerance, in psi?": ("50 ± 5 psi",)}),
    ("90/80 psi", {"Oil pressure limit, 2 values in order, in psi?": ("90/80 psi",)}),
    ("Not limited", {"Oil pressure limit?": ("Not limited",)}),
    ("40 (5 min)", {"Oil pressure limit (5 min), in psi?": ("40 psi",),
                    "For how long may the oil pressure be at its limit, in min?": ("5 min",)}),
    ("40 (cold oil)", {"Cold oil: oil pressure limit, in psi?": ("40 psi",)}),
])  # fmt: skip
def test_a_limit_cell_asks_what_it_says(cell: str, expected: dict[str, tuple[str, ...]]) -> None:
    """A bare number is asked as the limit, a comparison as one end, a range as both, brackets with their words."""
    assert expected == answers(table("Parameter | Limit | Unit", f"Oil pressure | {cell} | psi"))


def test_two_dimensions_in_one_cell_are_two_limits() -> None:
    """An airspeed and a Mach number are asked apart."""
    text = table("Parameter | Maximum", "Operating speed | 280 kt / M 0.67")

    assert [("280 kt",), ("M 0.67",)] == list(answers(text).values())


def test_a_duration_under_maximum_is_a_maximum() -> None:
    """`25 s` under Maximum is asked in seconds."""
    text = table("Parameter | Maximum", "Starter engagement | 25 s")

    assert {"Maximum starter engagement, in s?": ("25 s",)} == answers(text)


def test_columns_of_one_name_are_told_apart_by_dimension() -> None:
    """Two columns `Oil` in psi and in °C are oil pressure and oil temperature."""
    points, _, _ = read_limits(table("Condition | Oil, psi | Oil, °C", "Takeoff | 90 to 135 | 10 to 110"))

    assert ["Oil pressure", "Oil temperature"] == [point.subject for point in points]
    assert {"Takeoff"} == {point.condition for point in points}
    assert all(point.matrix for point in points)


def test_a_time_behind_a_condition_is_its_duration() -> None:
    """`Takeoff (5 min)` is the condition Takeoff, held for 5 minutes, asked once a row."""
    text = table("Condition | Torque, % | ITT, °C", "Takeoff (5 min) | 100 | 840")

    assert {
        "Torque limit at takeoff (5 min), in %?": ("100 %",),
        "For how long do the takeoff limits apply, in min?": ("5 min",),
        "ITT limit at takeoff (5 min), in °C?": ("840 °C",),
    } == answers(text)


def test_quantities_that_carry_their_units_make_a_matrix() -> None:
    """Columns named by quantity words are read where the cells have units."""
    text = table("Phase | Torque | ITT", "Takeoff | 100 % | 805 °C")

    assert {
        "Torque limit at takeoff, in %?": ("100 %",),
        "ITT limit at takeoff, in °C?": ("805 °C",),
    } == answers(text)


@pytest.mark.parametrize("rows", [
    ("Step | Action", "1 | Start"), ("Abbreviation | Meaning", "AC | alternating current"),
    ("Option | Value", "a | 1"), ("Parameter | Value", "Name | X100", "System | Linux", "Board | V2"),
    ("Pump | Feeds", "Left | Tank 1"), ("Engine | Serial", "Left | 12345"), ("If | Then", "Oil low | Land"),
])  # fmt: skip
def test_other_tables_are_left_alone(rows: tuple[str, ...]) -> None:
    """A table without quantities makes no limit."""
    points, cards, _ = read_limits(table(*rows))

    assert ([], []) == (points, cards)


def test_an_unread_cell_makes_no_card_of_its_row() -> None:
    """A row of which one half can't be read isn't asked at all, and its point stays as faulty."""
    points, cards, findings = read_limits(
        table("Parameter | Min | Max | Unit", "Oil pressure | 40 | 12.5.3 | psi")
    )

    assert ([True], []) == ([point.faulty for point in points], cards)
    assert [("unreadable-quantity", 5, 23)] == [(f.rule, f.place.line, f.place.column) for f in findings]


def test_an_unread_cell_of_a_matrix_leaves_the_others() -> None:
    """The cells of a matrix are points of their own."""
    text = table("Condition | Torque, % | ITT, °C", "Takeoff | 12.5.3 | 840")

    assert {"ITT limit at takeoff, in °C?": ("840 °C",)} == answers(text)
    assert [(5, "unreadable-quantity")] == rules(text)


@pytest.mark.parametrize(("row", "expected"), [
    ("Wind | 25 kt (15 wet)", ["Other than wet: wind limit, in kt? 25 kt", "Wet: wind limit, in kt? 15 kt"]),
    ("Fuel | 57 °C (JP-4: 29)", ["Other than JP-4: fuel limit, in °C? 57 °C", "JP-4: fuel limit, in °C? 29 °C"]),
    ("VA | 180 kt (160 in ice)", ["VA limit except in ice, in kt? 180 kt", "VA limit in ice, in kt? 160 kt"]),
    ("Speed | 150 kt (flaps 15)", ["Flaps 15: speed limit, in kt? 150 kt"]),
    ("Rudder | 17° (deactivated in the air)", ["Rudder limit, in °? 17°"]),
])  # fmt: skip
def test_another_amount_in_brackets_is_a_limit_of_its_own(row: str, expected: list[str]) -> None:
    """Neither amount is asked under the condition of the other; a state is a remark, shown with the answer."""
    asked = [f"{prompt} {answer[0]}" for prompt, answer in answers(table("Parameter | Limit", row)).items()]

    assert expected == asked


@pytest.mark.parametrize("bracket", ["15 typical", "was 20", "max 20 in ice", "flaps 20", "20 each"])
def test_another_amount_whose_words_are_no_sure_condition_isnt_read(bracket: str) -> None:
    """The cell is named, and neither amount is asked."""
    text = table("Parameter | Limit", f"Tailwind | 25 kt ({bracket})")

    assert ({}, [(5, "unread-amount")]) == (answers(text), rules(text))


def test_the_same_amount_in_two_units_is_one_answer() -> None:
    """A stroke between two units of one dimension parts no values; a disagreement is an error."""
    text = table("Parameter | Limit", "Load | 640 t / 1,410,958 lb", "Depth | 21 m / 80 ft")

    assert {"Load limit, in t?": ("640 t",)} == answers(text)
    assert [(6, "unit-mismatch")] == rules(text)


@pytest.mark.parametrize(("row", "rule"), [
    ("Oil | 90 | 40 | | psi", "minimum-above-maximum"), ("Oil | 65 to 40 | | | psi", "minimum-above-maximum"),
    ("Oil | 6 bar | 40 psi | | ", "minimum-above-maximum"),
    ("Oil | 10 psi | 40 °C | | ", "unit-mismatch"), ("Oil | 10 V | | | psi", "unit-mismatch"),
    ("Oil | 10 | 40 | 30 to 50 | psi", "normal-outside-limits"), ("Oil | 10 | 40 | 5 | psi", "normal-outside-limits"),
    ("Oil | | 25 s | 60 | psi", "unit-mismatch"), ("Oil | 10² | | | psi", "unreadable-quantity"),
    ("Oil | 10 | 11O psi | | psi", "unreadable-quantity"), ("Oil | 10 11 | | | psi", "unreadable-quantity"),
])  # fmt: skip
def test_numbers_that_contradict_each_other_or_are_broken_are_errors(row: str, rule: str) -> None:
    """The row is named with its error and makes no card."""
    text = table("Parameter | Minimum | Maximum | Normal | Unit", row)

    assert ({}, [(5, rule)]) == (answers(text), rules(text))


def test_ends_in_two_units_of_one_dimension_are_compared() -> None:
    """2 bar lie below 40 psi, so nothing is said."""
    assert [] == rules(table("Parameter | Minimum | Maximum", "Oil | 2 bar | 40 psi"))


@pytest.mark.parametrize(("row", "rule"), [
    ("Oil quantity | 9 |", "limit-without-unit"), ("Oil quantity | 9 | see note", "unknown-unit"),
    ("Oil quantity | 9 | °C/°F", "unknown-unit"), ("Oil quantity | 9 | Zorp", "unknown-unit"),
    ("Oil quantity | | qt", "missing-answer"), ("Oil quantity | TBD | qt", "missing-answer"),
])  # fmt: skip
def test_what_nobody_can_be_asked_for_is_a_warning(row: str, rule: str) -> None:
    """A number without a unit, a unit that isn't one, an answer still owed, limits of nothing."""
    assert [(6, rule)] == rules(table("Parameter | Minimum | Unit", "Oil temperature | 10 | °C", row))


@pytest.mark.parametrize("row", [
    "Oil quantity | 9 | –", "Number of starts | 3 |", "Occupants | 9 | persons", "Oil quantity | 9 | qt",
    "Oil quantity | Not limited |", " | | ",
])  # fmt: skip
def test_a_number_that_needs_no_unit_is_left_alone(row: str) -> None:
    """A dash as unit, a count, words, and an empty row say nothing wrong."""
    assert [] == rules(table("Parameter | Minimum | Unit", "Oil temperature | 10 | °C", row))


def test_an_unfilled_template_is_said_once() -> None:
    """A table of units and placeholders makes one finding and no card."""
    text = table("Parameter | Value", "Maximum speed | KIAS", "Ceiling | ft", "Range | TBD")

    assert ({}, [(5, "empty-template")]) == (answers(text), rules(text))


def test_the_same_as_above_is_followed_where_it_is_sure() -> None:
    """`"` repeats the parameter above; a blank does where a condition tells the rows apart, or neither is read."""
    text = table(
        "Parameter | When | Max", "Oil pressure | cold | 200 psi", '" | hot | 150 psi', " | idle | 100 psi"
    )

    assert {
        "Cold: maximum oil pressure, in psi?": ("200 psi",),
        "Hot: maximum oil pressure, in psi?": ("150 psi",),
        "Maximum oil pressure at idle, in psi?": ("100 psi",),
    } == answers(text)
    assert [] == rules(text)
    doubtful = table("Parameter | Max", "Oil pressure | 200 psi", " | 150 psi")

    assert ({}, [(5, "missing-answer"), (6, "missing-answer")]) == (answers(doubtful), rules(doubtful))


def test_rows_that_limit_different_sides_are_one_limit() -> None:
    """A minimum in one row and a maximum in the next are asked with one reading, each at its own line."""
    _, cards, findings = read_limits(
        table("Parameter | Limit", "Oil pressure | 40 psi min", "Oil pressure | 200 psi max")
    )

    assert [("minimum", 5), ("maximum", 6), ("reading", 5)] == [(card.aspect, card.line) for card in cards]
    assert [] == findings


def test_rows_that_contradict_each_other_are_a_conflict() -> None:
    """Two maxima under one condition and time aren't a ladder."""
    text = table("Parameter | Max", "ITT | 840 °C", "ITT | 850 °C")

    assert ({}, [(6, "conflicting-points")]) == (answers(text), rules(text))


def test_a_message_stands_alone_with_its_cure() -> None:
    """Each finding is one line, quotes the note in backticks and says what to do."""
    text = table(
        "Parameter | Minimum | Maximum | Unit",
        "Oil | 90 | 40 | psi",
        "Fuel | abc | | psi",
        "Air | 9 | |",
        "Gas | | |",
    )

    for said in read_limits(text)[2]:
        assert "`" in said.message and "\n" not in said.message and said.help


def test_a_column_nobody_knows_goes_with_the_answer() -> None:
    """The description of a parameter is kept beside its limits."""
    points, _, _ = read_limits(
        table("Parameter | Description | Value", "Oil pressure | engine oil | max 40 psi")
    )

    assert [(("Description", "engine oil"),)] == [point.extra for point in points]


def test_action_why_source_and_effectivity_are_kept() -> None:
    """The common columns and the action beyond the limit belong to the point; bold makes it critical."""
    points, cards, _ = read_limits(
        table(
            "Parameter | Max | If exceeded | Why | Source | Applies to",
            "**ITT** | 840 °C | Reduce power | blade creep | Handbook 5-3 | 101–120",
            "Torque | 100 % | | | | ",
        )
    )
    point = points[0]

    assert (True, "blade creep", "Handbook 5-3", "101–120") == (
        point.critical, point.why, point.cite, point.applies
    )  # fmt: skip
    assert [("prose", ("Reduce power",))] == [
        (card.answer.form, card.answer.texts) for card in cards if card.aspect == "action"
    ]


@pytest.mark.parametrize(("heads", "cells", "expected"), [
    ("Min | If exceeded", "62 % | Wait", [("action", "During starting, N1 is below its minimum. What do you do?")]),
    ("Max | If exceeded", "101 % | Abort", [("action", "During starting, N1 exceeds its maximum. What do you do?")]),
    ("Limit | Action", "101 % | Abort", [("action", "During starting, N1 is beyond its limit. What do you do?")]),
    ("Min | Max | If below | If above", "62 % | 101 % | Wait | Abort", [
        ("below", "During starting, N1 is below its minimum. What do you do?"),
        ("above", "During starting, N1 exceeds its maximum. What do you do?"),
    ]),
    ("Min | Max | If below | If above", "62 % | 101 % | Abort | abort", [
        ("action", "During starting, N1 is outside its limits. What do you do?"),
    ]),
    ("Max | If exceeded", "101 % | The vanes close by themselves", [
        ("action", "During starting, N1 exceeds its maximum. What follows?"),
    ]),
    ("Normal | If below", "62 to 101 % | Wait", [
        ("below", "During starting, N1 is below its normal range. What do you do?"),
    ]),
])  # fmt: skip
def test_beyond_a_limit_the_question_says_which_way(
    heads: str, cells: str, expected: list[tuple[str, str]]
) -> None:
    """By the end that the row has; the same at both ends is asked once, and what is no action as what follows."""
    cards = read_limits(table(f"Parameter | When | {heads}", f"N1 | starting | {cells}"))[1]

    assert expected == [
        (card.aspect, card.prompt) for card in cards if card.aspect in ("below", "above", "action")
    ]


def test_one_action_over_two_ends_is_told_and_shown() -> None:
    """Nobody can say which end it is of; the row's amounts are asked."""
    text = table("Parameter | Min | Max | If exceeded", "N1 | 62 % | 101 % | Abort", "ITT | | 840 °C | Abort")
    _, cards, findings = read_limits(text)

    assert [(3, "unrecognised-table")] == [
        (said.place.line, said.rule) for said in findings if said.rule != "no-citation"
    ]
    assert [
        ("N1", "minimum"),
        ("N1", "maximum"),
        ("N1", "reading"),
        ("ITT", "maximum"),
        ("ITT", "action"),
    ] == [(card.subject, card.aspect) for card in cards]
    assert {(("If exceeded", "Abort"),)} == {card.extra for card in cards if card.subject == "N1"}


def test_rows_of_one_limit_keep_what_is_done_at_each_end() -> None:
    """A row a side, each with its own action: both are asked."""
    text = table("Parameter | Min | Max | If exceeded", "N1 | 62 % | | Wait", "N1 | | 101 % | Abort")

    assert {
        "N1 is below its minimum. What do you do?": ("Wait",),
        "N1 exceeds its maximum. What do you do?": ("Abort",),
    } == {prompt: said for prompt, said in answers(text).items() if "What do" in prompt}


@pytest.mark.parametrize(("subject", "sentence"), [
    ("Chip detector burns", "Chip detector burns exceed their maximum"), ("Gas", "The gas exceeds its maximum"),
    ("Weight of the bags", "The weight of the bags exceeds its maximum"), ("Np", "Np exceeds its maximum"),
])  # fmt: skip
def test_verbs_agree_and_names_keep_their_case(subject: str, sentence: str) -> None:
    """Several things exceed their limit, one exceeds its own."""
    text = table("Parameter | Max | If exceeded", f"{subject} | 4 kg | Land")

    assert f"{sentence}. What do you do?" in answers(text)


def test_the_aircraft_stands_in_the_question_where_the_row_names_it() -> None:
    """Two weights for two groups of aircraft are asked with their serials."""
    text = table(
        "Parameter | Maximum | When | Applies to",
        "Mass | 6.0 t | on water | 1–9",
        "Mass | 6.2 t | on water | 10–19",
    )

    assert {
        "Maximum mass on water (for aircraft 1–9), in t?": ("6.0 t",),
        "Maximum mass on water (for aircraft 10–19), in t?": ("6.2 t",),
    } == answers(text)


@pytest.mark.parametrize("cell", [
    "ISA + 30 °C", "0 to VDD", "3/4 in", '3/4"', "5 or 6 V", "20 s/4 min/20 s/30 min", "30s/5m", "25 V (20 typical)",
    "fast", "(3)",
])  # fmt: skip
def test_an_amount_that_isnt_surely_read_is_told_and_stops_nothing(cell: str) -> None:
    """What isn't understood is no fault of the note: it is named, and nothing of it is asked."""
    text = table("Parameter | Limit", f"Inlet | {cell}", "Outlet | 5 V")
    _, cards, findings = read_limits(text)

    assert ["5 V"] == [text for card in cards for text in card.answer.texts]
    assert [(5, "note")] == [(said.place.line, said.severity) for said in findings]


@pytest.mark.parametrize(("row", "expected"), [
    ("Kernel | 294-321 or 327-339 | K", "294 to 321/327 to 339 K"),
    ("Inlet | < 294 or > 339 | K", "less than 294/more than 339 K"),
])  # fmt: skip
def test_two_ranges_and_what_lies_beyond_two_ends_are_one_answer(row: str, expected: str) -> None:
    """`or` between whole ranges parts them as a comma does."""
    assert [(expected,)] == [*answers(table("Parameter | Range | Unit", row)).values()]
