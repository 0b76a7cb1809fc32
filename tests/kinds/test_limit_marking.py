"""Answers to limits: the number in any unit of its reference, ladders as sets, what is said of readings."""

import random
from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from limit_kit import KIND, read_limits, table

from recall.answers.data import reading_data, reading_from, span_data, span_from
from recall.answers.match import read_answer
from recall.base.dataclass import replace
from recall.kinds.marking import pose
from recall.kinds.model import Card, make_card
from recall.quantity import Number, Span, find_unit, read_cell
from recall.quantity.units_table import UNITS


def one(text: str, aspect: str) -> Card:
    """The card of an aspect in a note of limits."""
    return next(card for card in read_limits(text)[1] if card.aspect == aspect)


def drawn(card: Card, rng: random.Random) -> tuple[str, str, str]:
    """A reading as it is put: prompt, answer and why."""
    put = pose(card, rng)
    return put.prompt, put.answer.text, put.why


def right(card: Card, typed: str) -> bool | None:
    """Whether a typed answer is right."""
    return pose(card, random.Random(1)).mark(typed).right


@pytest.mark.parametrize(("cell", "typed", "expected"), [
    # 870 °C is 1598 °F, 280 kt is 322.2 mph: pint 0.25.3.
    ("870 °C", "870", True), ("870 °C", "1598 °F", True), ("870 °C", "870 C", True), ("870 °C", "869", False),
    ("870 °C", "870 °F", False), ("870 °C", "1143 K", True), ("280 kt", "322 mph", True),
    ("280 KIAS", "280 kt", True), ("280 KIAS", "280 KTAS", False), ("less than 160 kt", "160", True),
    ("25 s", "25", True), ("5 min", "300 s", True), ("5 min", "5 s", False), ("280 kt", "321 mph", False),
    ("104 %", "104", True), ("104 %", "104 psi", False), ("40 psi", "at most 40 psi", True), ("40 psi", "", None),
])  # fmt: skip
def test_a_number_is_right_in_its_own_unit_or_converted(cell: str, typed: str, expected: bool) -> None:
    """Without a unit, or in another of the same dimension and reference, never in a different one."""
    assert expected == right(one(table("Parameter | Maximum", f"Gas | {cell}"), "maximum"), typed)


DUTY = "40 s on / 60 s off"


@pytest.mark.parametrize(("cell", "typed", "expected"), [
    (DUTY, DUTY, True), (DUTY, "40 seconds on, 60 seconds off", True), (DUTY, "40s on then 1 min off", True),
    (DUTY, "60 s on, 40 s off", False), (DUTY, "40 s on", False), (DUTY, "40/60", None), (DUTY, "", None),
    ("twice 40 s on, 60 s off", "40 s on, 60 s off", False),
    ("twice 40 s on, 60 s off", "twice 40 s on 60 s off", True),
])  # fmt: skip
def test_a_duty_cycle_is_its_times_in_turn(cell: str, typed: str, expected: bool) -> None:
    """In any unit of time and any joints; one that says how often is recited in its own words."""
    assert expected == right(one(table("Parameter | Maximum", f"Starter | {cell}"), "maximum"), typed)


@pytest.mark.parametrize(
    ("typed", "expected"), [("104", True), ("104 % N1", True), ("104 %", True), ("104 % N2", False)]
)
@pytest.mark.parametrize(
    "rows", [("Parameter | Maximum | Unit", "N1 | 104 | %"), ("Parameter | Maximum", "N1 | 104 %")]
)
def test_per_cent_of_one_shaft_are_none_of_another(rows: tuple[str, str], typed: str, expected: bool) -> None:
    """The name of the parameter says what its percentage is of."""
    assert expected == right(one(table(*rows), "maximum"), typed)


LADDER = table(
    "Parameter | When | Max | For", "ITT | start | 870 °C | 20 s", "ITT | start | 850 °C | 5 min",
    "ITT | start | 830 °C | continuous",
)  # fmt: skip


@pytest.mark.parametrize(("typed", "expected"), [
    ("870 for 20 s, 850 for 5 min, 830 continuous", True),
    ("830 °C continuous; 850 °C for 300 s; 1598 °F for 20 s", True),
    ("20 s at 870, 5 min at 850, 830 continuous", True), ("5 min at 870, 20 s at 850, 830 continuous", False),
    ("870 for 20 s, 850 for 5 min", False), ("870 for 20 s, 850 for 5 min, 830", False),
    ("870 for 5 min, 850 for 20 s, 830 continuous", False), ("870, 850, 830", False), ("", None),
])  # fmt: skip
def test_a_ladder_is_marked_pair_by_pair(typed: str, expected: bool) -> None:
    """Each value with its time, in any order and unit, none left out."""
    assert expected == right(one(LADDER, "maximum"), typed)


def test_a_ladder_says_what_was_left_out() -> None:
    """The pair that wasn't typed is named."""
    verdict = pose(one(LADDER, "maximum"), random.Random(1)).mark("870 for 20 s, 830 continuous")

    assert (("850 °C for 5 min",), ()) == (verdict.left_out, verdict.added)


def test_two_values_are_marked_in_order() -> None:
    """230/215 kt isn't 215/230 kt."""
    card = one(table("Parameter | Limit", "Holding speed | 230/215 kt"), "value")

    assert [True, False, False] == [right(card, typed) for typed in ("230/215", "215/230", "230")]


@pytest.mark.parametrize(("first", "second", "same"), [
    ("870 °C", "1598 °F", True), ("1,000 ft", "1000 ft", True), ("max 40 psi", "≤ 40 psi", True),
    ("40 psi", "max 40 psi", True), ("22.50 V", "22.5 V", True), ("870 °C", "871 °C", False),
    ("40 psi", "< 40 psi", False), ("40 psi", "40 bar", False),
])  # fmt: skip
def test_another_notation_is_a_rewording_another_value_a_change(first: str, second: str, same: bool) -> None:
    """Answers are compared between revisions by what they say."""
    hashes = [
        one(table("Parameter | Maximum", f"Gas | {cell}"), "maximum").answer_hash for cell in (first, second)
    ]

    assert same == (hashes[0] == hashes[1])


def test_the_order_of_a_ladder_doesnt_change_its_answer() -> None:
    """Rows in another order are a rewording."""
    lines = LADDER.splitlines()
    turned = "\n".join([*lines[:4], *reversed(lines[4:]), ""])

    assert one(LADDER, "maximum").answer_hash == one(turned, "maximum").answer_hash


@pytest.mark.parametrize("name", sorted(unit[0] for unit in UNITS))
def test_every_unit_survives_the_card(name: str) -> None:
    """A card keeps the unit itself, also through JSON."""
    span = Span(value=Number(Decimal("12.50"), "12.50"), unit=find_unit(name))

    assert span == span_from(span_data(span))


@pytest.mark.parametrize(
    "cell", ["10 to 20 °C", "24 ± 2 V", "< 5 psi", "230/215 kt", "≈ 40 %", "870 °C for 20 s", "1,5 V"]
)
def test_an_amount_survives_the_card(cell: str) -> None:
    """Ends, precision, open ends and durations come back as they were."""
    reading = read_cell(cell)
    back = reading_from(reading_data(reading))

    assert (reading.spans, reading.shape, reading.duration) == (back.spans, back.shape, back.duration)


def test_a_card_marks_the_same_after_json() -> None:
    """What the store keeps is enough to mark by."""
    card = Card.from_json(one(LADDER, "maximum").to_json())

    assert right(card, "870 for 20 s, 850 for 5 min, 830 continuous")


ENDS = st.integers(-60, 2000)


@given(ENDS, ENDS, st.booleans(), st.booleans(), st.integers(0, 2**32))
@settings(max_examples=150)
def test_a_drawn_reading_is_marked_by_the_limits_alone(
    a: int, b: int, low_open: bool, high_open: bool, seed: int
) -> None:
    """Within is what lies between the ends, an end is never drawn, and one alone is told with the answer."""
    low, high = min(a, b), max(a, b) + 1
    signs = (">" if low_open else "≥", "<" if high_open else "≤")
    card = one(
        table("Parameter | Minimum | Maximum", f"Gas | {signs[0]} {low} °C | {signs[1]} {high} °C"), "reading"
    )
    prompt, answer, why = drawn(card, random.Random(seed))
    number = read_answer(prompt.removeprefix("The gas is ").partition(". ")[0]).value.value
    side = (
        "below its minimum" if number < low else "above its maximum" if number > high else "within its limits"
    )

    assert side == answer
    assert number not in (low, high)
    assert (f" {low:,} °C." in why) + (f" {high:,} °C." in why) == 1


NEAR = [
    ("10 °C", "110 °C"),
    ("0.5 bar", "2.5 bar"),
    ("0 ft", "25,000 ft"),
    ("10 psi", "11 psi"),
    ("-3 °C", "-1 °C"),
]


@pytest.mark.parametrize(("low", "high"), NEAR)
def test_a_reading_lies_near_a_limit_and_each_thing_to_say_comes_as_often(low: str, high: str) -> None:
    """Within 5 % or three steps; a pressure or height below zero is never read, so there only two things are left."""
    text = table(
        "Parameter | Minimum | Maximum | Caution", f"Gas | {low} | {high} | ≥ {high.replace('1', '0')}"
    )
    found = [card for card in read_limits(text)[1] if card.aspect == "reading"]
    ends = [read_answer(end).value.value for end in (low, high)]
    said: Counter[str] = Counter()
    rng = random.Random(7)
    for _ in range(300 if found else 0):
        prompt, answer, _ = drawn(found[0], rng)
        number = read_answer(prompt.removeprefix("The gas is ").partition(". ")[0]).value.value
        step = Decimal(found[0].answer.data()["step"])
        marks = [
            *ends,
            *(Decimal(end) for band in found[0].answer.data()["bands"] for end in band[1:3] if end),
        ]
        assert min(abs(number - mark) for mark in marks) <= max(3 * step, *(abs(mark) / 20 for mark in marks))
        assert number >= 0 or low.startswith("-") or "°C" in low
        said[answer.split()[0]] += 1

    assert all(300 / (len(said) + 1) < count for count in said.values())


@pytest.mark.parametrize(
    "row", ["Maximum | ITT | 840 °C", "Minimum | N1 | 62 %", "Minimum | Bottles | 3 to 6 bottles"]
)
def test_what_would_be_tossed_for_or_counted_is_no_reading(row: str) -> None:
    """One end alone leaves two things to say; a count has no instrument."""
    head, *cells = row.split(" | ")
    text = table(f"Parameter | {head if 'to' not in row else 'Limit'}", " | ".join(cells))

    assert "reading" not in {card.aspect for card in read_limits(text)[1]}


def test_the_same_seed_draws_the_same_reading() -> None:
    """Chance is passed in."""
    card = one(table("Parameter | Normal", "ITT | 640 to 840 °C"), "reading")

    assert drawn(card, random.Random(3)) == drawn(card, random.Random(3))


def test_a_reading_asks_under_its_condition_and_gives_no_other_answer_away() -> None:
    """The question stands alone; neither the time that it holds, nor an end or a threshold, stands in it."""
    row = "Oil temperature | takeoff | 10 °C | 110 °C | > 100 °C | 5 min"
    card = one(table("Parameter | When | Min | Max | Caution | For", row), "reading")
    prompts = {drawn(card, random.Random(seed))[0] for seed in range(40)}

    assert {"Below its minimum, normal, caution or above its maximum?"} == {
        prompt.partition("C. ")[2] for prompt in prompts
    }
    assert {"At takeoff, the oil temperature is"} == {" ".join(prompt.split(" ")[:6]) for prompt in prompts}
    assert not {"10", "100", "110", "5"} & {prompt.split(" ")[5] for prompt in prompts}


@pytest.mark.parametrize("row", [
    "Gas | 40 psi min / 2 bar", "Gas | about 40 psi", "Gas | 40 psi", "Gas | Not limited", "Gas | at least 0 psi",
    "Gas | 230/215 kt",
])  # fmt: skip
def test_no_reading_where_inside_and_outside_arent_both_certain(row: str) -> None:
    """A bare value, words, an amount that is about, an end at zero draw no reading."""
    assert [] == [
        card for card in read_limits(table("Parameter | Limit", row))[1] if card.aspect == "reading"
    ]


def test_a_point_without_error_makes_each_card_once() -> None:
    """Aspects of one point have ids of their own."""
    text = table(
        "Parameter | Min | Max | Normal | Caution | Warning | For | If below | If above",
        "Oil | 10 °C | 110 °C | 20 to 90 °C | > 100 °C | > 105 °C | 5 min | Wait | Land",
    )
    points, cards, _ = read_limits(text)
    made = [make_card(replace(points[0]), draft, "deck").id for draft in KIND.drafts(points[0])]

    assert [card.id for card in cards] == made
    assert len(set(made)) == len(made) == 9
    assert [aspect for aspect in KIND.aspects if aspect in {card.aspect for card in cards}] == [
        c.aspect for c in cards
    ]


@pytest.mark.parametrize(
    ("row", "typed", "expected"),
    [
        # A difference of 10 °C is 18 °F (NIST SP 811, B.8); as a temperature 10 °C would be 50 °F.
        ("Temperature rise | 10 °C", "18 °F", True),
        ("Temperature rise | 10 °C", "50 °F", False),
        ("Temperature rise | 10 °C", "10 K", True),
        ("Oil temperature | 10 °C", "50 °F", True),
        ("Oil temperature | 10 °C", "18 °F", False),
    ],
)
def test_a_difference_of_temperatures_has_no_zero_point(row: str, typed: str, expected: bool) -> None:
    """A rise or a lapse typed in another unit is converted as a difference."""
    card = one(table("Parameter | Maximum", row), "maximum")

    assert expected == right(card, typed)


@pytest.mark.parametrize(
    ("row", "prompt"),
    [
        ("Propeller | 72 in | flaps/slats 15", "Flaps/slats 15: maximum propeller, in inches?"),
        ("Interval | 30 days | ", "Maximum interval, in days?"),
        ("Passengers | 9 passengers | ", "Maximum number of passengers?"),
        ("Max passengers | 9 passengers | ", "Maximum passengers?"),
        ("Step taxi speed | 46 kt | On the step", "Maximum step taxi speed, in kt?"),
        ("Step taxi speed | 46 kt | On the lake", "Maximum step taxi speed on the lake, in kt?"),
    ],
)
def test_a_prompt_reads_as_a_sentence(row: str, prompt: str) -> None:
    """A capital at its head, units as they are spoken, nothing said twice."""
    card = one(table("Parameter | Maximum | When", row), "maximum")

    assert prompt == card.prompt
