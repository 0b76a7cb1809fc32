"""A mark proposed from a person's own pace, which isn't their speed of reading."""

import math
import random
from statistics import quantiles

import pytest

from recall.base.marks import Mark
from recall.session.pace import Pace, Timed, reading_speed

READERS = {"slow": 0.1, "usual": 0.05, "fast": 0.02}
"""Seconds a letter: 100, 200 and 500 words a minute at six letters a word."""


def _questions(letter: float, count: int, rng: random.Random) -> list[tuple[float, Timed]]:
    """The time thought, with the time to the first key and the letters of a question, both drawn; one in ten is
    mostly a pause."""
    found = []
    for _ in range(count):
        letters = int(math.exp(rng.gauss(4.3, 0.6)))
        thought = rng.lognormvariate(1.0, 0.5) * (6 if rng.random() < 0.1 else 1)
        found.append((thought, (thought + letter * letters, letters)))
    return found


def _by_total(past: list[Timed], timed: Timed) -> Mark:
    """The rule that takes reading for thinking."""
    slow = quantiles([seconds for seconds, _ in past], n=4)[2]
    return "hesitant" if timed[0] >= slow else "sure"


def _shares(marks: list[tuple[int, Mark]], wanted: Mark) -> tuple[float, float]:
    """Share of a mark among the shorter and among the longer half of the questions."""
    ordered = sorted(marks, key=lambda pair: pair[0])
    halves = ordered[: len(ordered) // 2], ordered[len(ordered) // 2 :]
    return tuple(sum(mark == wanted for _, mark in half) / len(half) for half in halves)  # type: ignore[return-value]


@pytest.mark.parametrize("reader", READERS)
def test_long_questions_get_no_lower_marks_for_their_length(reader: str) -> None:
    """Over many persons of each speed: as many hesitant and instant among the long questions as among the short ones,
    within 8 points; where reading is taken for thinking, far more are hesitant."""
    rng = random.Random(f"reader {reader}")
    marks: list[tuple[int, Mark]] = []
    naive: list[tuple[int, Mark]] = []
    for _ in range(40):
        past = [timed for _, timed in _questions(READERS[reader], 200, rng)]
        pace = Pace.of({"limit": past})
        for _, timed in _questions(READERS[reader], 100, rng):
            marks.append((timed[1], pace.proposed("limit", timed)))
            naive.append((timed[1], _by_total(past, timed)))
    for wanted in ("hesitant", "instant"):
        short, long = _shares(marks, wanted)  # type: ignore[arg-type]
        assert abs(short - long) < 0.08
        assert 0.15 < short < 0.35
    short, long = _shares(naive, "hesitant")

    assert long - short > 0.12


@pytest.mark.parametrize("reader", READERS)
def test_the_speed_of_reading_is_found_from_the_answers(reader: str) -> None:
    """Within a third after 200 answers, and between the usual one and the person's own after few."""
    rng = random.Random(3)
    true = READERS[reader]
    many = [reading_speed([[timed for _, timed in _questions(true, 200, rng)]]) for _ in range(20)]

    assert true == pytest.approx(sum(many) / 20, rel=0.34)
    assert 0.042 == pytest.approx(reading_speed([]))
    assert 0.042 == pytest.approx(reading_speed([[(5.0, 80)] * 30]))


@pytest.mark.parametrize(
    ("seconds", "guessed", "mark"),
    [
        (1.0, False, "instant"),
        (1.0, True, "sure"),
        (5.0, False, "sure"),
        (40.0, False, "hesitant"),
        (40.0, True, "hesitant"),
    ],
)
def test_the_quickest_quarter_is_instant_and_the_slowest_hesitant(
    seconds: float, guessed: bool, mark: Mark
) -> None:
    """One of two choices is never instant: it may have been guessed."""
    pace = Pace.of({"limit": [(second, 40) for second in (2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0) * 3]})

    assert mark == pace.proposed("limit", (seconds, 40), guessed=guessed)


def test_until_twenty_right_answers_of_a_kind_a_right_one_is_sure() -> None:
    """Too little is known of the pace to say more; without a time as well; what is given back counts no more."""
    pace = Pace.of({"limit": [(float(second), 40) for second in range(10, 29)]})
    told = [pace.proposed("limit", (1.0, 40))]
    pace.take("limit", (12.0, 40))
    told += [
        pace.proposed("limit", (1.0, 40)),
        pace.proposed("limit", None),
        pace.proposed("flow", (1.0, 40)),
    ]
    pace.give_back("limit", (12.0, 40))
    told.append(pace.proposed("limit", (1.0, 40)))

    assert ["sure", "instant", "sure", "sure", "sure"] == told
