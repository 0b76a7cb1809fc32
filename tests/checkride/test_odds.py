"""The odds against published values, a Monte Carlo of the same examination, and real people's spread."""

from itertools import combinations, product
from math import comb
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.checkride.form import NOTHING, SPREADS, Foretold, form
from recall.checkride.model import Floats
from recall.checkride.odds import (
    Area,
    Examination,
    Odds,
    View,
    drawn_scores,
    needed,
    odds,
    widened,
)

NO_RULE = np.zeros(40, dtype=np.bool_)

# LSAT section 6: 1,000 people, 5 items. Share right of each item and number of people by score 0..5:
# Bock & Lieberman 1970, Psychometrika 35:179 (item shares from memory, they reproduce the expected counts).
LSAT_ITEMS = np.array([0.924, 0.709, 0.553, 0.763, 0.870])
LSAT_SCORES = np.array([3, 20, 85, 237, 357, 298])


def poisson_binomial(chances: Floats | list[float]) -> Floats:
    """Chances of 0..n right answers to n questions with these chances, independent: a draw of all cards."""
    return drawn_scores(np.array([chances]), len(chances), np.zeros(len(chances), dtype=np.bool_))[0]


def test_poisson_binomial_by_hand() -> None:
    """Chances of 1/10, 2/10, 3/10 and of .9 .8 .7 .6 give the exact fractions (worked by hand)."""
    first, second = poisson_binomial([0.1, 0.2, 0.3]), poisson_binomial([0.9, 0.8, 0.7, 0.6])

    assert [63 / 125, 199 / 500, 23 / 250, 3 / 500] == pytest.approx(list(first), abs=1e-15)
    assert [0.0024, 0.0404, 0.2144, 0.4404, 0.3024] == pytest.approx(list(second), abs=1e-15)


def test_poisson_binomial_of_a_reference_program() -> None:
    """Values of R's `poisbinom`, as they stand in SciPy's tests; it works by FFT, good to about 1e-13."""
    chances = [0.9480654803913988, 0.052428488100509374, 0.25863527358887417, 0.057764076043633206]
    expected = [
        0.0343763443678060,
        0.6435428452689714,
        0.2936345519235537,
        0.0277036647503902,
        0.0007425936892787,
    ]

    assert expected == pytest.approx(list(poisson_binomial(chances)), abs=1e-13)


@pytest.mark.parametrize(
    ("chance", "passed"),
    [
        (0.60, 0.041747),
        (0.65, 0.207166),
        (0.70, 0.554864),
        (0.75, 0.876148),
        (0.80, 0.988516),
        (0.85, 0.999811),
    ],
)
def test_eighty_questions_at_seventy_percent(chance: float, passed: float) -> None:
    """56 of 80 (14 CFR 63.17: 70 percent) at a constant chance: binomial tails (computed with SciPy)."""
    assert passed == pytest.approx(poisson_binomial([chance] * 80)[needed(0.70, 80) :].sum(), abs=5e-7)


def test_independent_answers_are_too_narrow_for_real_people() -> None:
    """LSAT-6: independence gives .3 7.8 68.9 259 423.5 240.5, far from the observed; a spread of .75 fits."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(31)
    weights = weights / weights.sum()

    def counts(spread: float) -> np.ndarray:
        people = widened(LSAT_ITEMS, spread, spread * nodes)
        return 1000 * weights @ np.stack([poisson_binomial(one) for one in people])

    def misfit(spread: float) -> float:
        return float(((LSAT_SCORES - counts(spread)) ** 2 / counts(spread)).sum())

    assert [0.3, 7.8, 68.9, 259.0, 423.5, 240.5] == pytest.approx(list(counts(0.0)), abs=0.06)
    assert misfit(0.0) > 60
    assert misfit(0.75) < 11.07  # chi-square, 5 degrees of freedom, 95 %


def test_spread_is_found_in_real_people() -> None:
    """Taking LSAT-6's thousand people for days, a spread well above nought and of the right size is found."""
    days = Foretold.of_days(
        np.full(1000, LSAT_ITEMS.sum()),
        np.full(1000, (LSAT_ITEMS * (1 - LSAT_ITEMS)).sum()),
        np.repeat(np.arange(6.0), LSAT_SCORES),
    )

    assert 0.5 < form(days).spread < 0.9


def test_widening_keeps_the_mean() -> None:
    """The mean over days of a widened chance stays within half a point of the chance itself."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(31)
    recall = np.array([0.0, 0.2, 0.5, 0.8, 0.95])
    mean = (weights / weights.sum()) @ widened(recall, 0.8, 0.8 * nodes)

    assert list(recall) == pytest.approx(list(mean), abs=0.005)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 7), st.integers(1, 3), st.randoms(use_true_random=False))
def test_scores_of_a_draw_are_the_mean_over_all_draws(count: int, asked: int, dice: Random) -> None:
    """However many cards an area has, its scores are the mean over every set that may be drawn, a set with a missed
    critical card counting for nothing (by trying all)."""
    asked = min(asked, count)
    chances = np.array([dice.choice([0.0, 1.0, dice.random()]) for _ in range(count)])
    strict = np.array([dice.random() < 0.3 for _ in range(count)])
    expected = np.zeros(asked + 1)
    for drawn in combinations(range(count), asked):
        for right in product((False, True), repeat=asked):
            if all(was or not strict[card] for card, was in zip(drawn, right, strict=True)):
                share = np.prod(
                    [chances[c] if was else 1 - chances[c] for c, was in zip(drawn, right, strict=True)]
                )
                expected[sum(right)] += share / comb(count, asked)

    assert list(expected) == pytest.approx(list(drawn_scores(chances[None], asked, strict)[0]), abs=1e-12)


def test_scores_of_ten_thousand_alike_cards_are_binomial() -> None:
    """Forty of 10,000 cards that are all known with 0.7 give the binomial distribution."""
    expected = [comb(40, right) * 0.7**right * 0.3 ** (40 - right) for right in range(41)]
    scores = drawn_scores(np.full((1, 10_000), 0.7), 40, np.zeros(10_000, dtype=np.bool_))[0]

    assert expected == pytest.approx(list(scores), abs=1e-13)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.booleans(), min_size=1, max_size=12), st.data())
def test_known_answers_drawn_are_hypergeometric(known: list[bool], data: st.DataObject) -> None:
    """With recalls of nought and one the score is hypergeometric."""
    asked = data.draw(st.integers(0, len(known)))
    scores = drawn_scores(np.array([known], dtype=np.float64), asked, NO_RULE[: len(known)])[0]
    yes, no = sum(known), len(known) - sum(known)
    expected = [
        comb(yes, score) * comb(no, asked - score) / comb(yes + no, asked) for score in range(asked + 1)
    ]

    assert expected == pytest.approx(list(scores), abs=1e-12)


def _odds(examination: Examination, recall: Floats) -> Odds:
    return odds(examination, [View(recall, form(NOTHING))])


def _examination(each_area: bool, without_fail: bool) -> tuple[Examination, np.ndarray]:
    dice = np.random.default_rng(4)
    recall = dice.beta(8, 2, 60)
    areas = tuple(
        Area(name, np.arange(low, high), asked)
        for name, low, high, asked in (("Fuel", 0, 12, 6), ("Electrical", 12, 40, 9), ("Engines", 40, 60, 5))
    )
    critical = dice.random(60) < 0.08
    return Examination(areas, 0.7, each_area, critical if without_fail else None), recall


@pytest.mark.parametrize(
    ("each_area", "without_fail"), [(False, False), (True, False), (False, True), (True, True)]
)
def test_odds_equal_a_simulation_of_the_same_examination(each_area: bool, without_fail: bool) -> None:
    """100,000 examinations drawn, answered on a day of some form, and marked, pass as often as the odds say."""
    examination, recall = _examination(each_area, without_fail)
    found = odds(examination, [View(recall, form(NOTHING))])
    known = form(NOTHING)
    dice = np.random.default_rng(9)
    runs = 100_000
    often = np.concatenate([np.full(len(a.cards), a.questions / len(a.cards)) for a in examination.areas])
    bias = known.unsure(recall, often) * dice.standard_normal(runs)
    chances = widened(recall, known.spread, bias + known.spread * dice.standard_normal(runs))
    right = dice.random(chances.shape) < chances
    total, failed = np.zeros(runs), np.zeros(runs, dtype=np.bool_)
    area_passed = []
    for area in examination.areas:
        order = dice.random((runs, len(area.cards))).argsort(axis=1)[:, : area.questions]
        drawn = area.cards[order]
        score = np.take_along_axis(right, drawn, axis=1).sum(axis=1)
        total += score
        missed = np.zeros(runs, dtype=np.bool_)
        if examination.without_fail is not None:
            missed = (~np.take_along_axis(right, drawn, axis=1) & examination.without_fail[drawn]).any(axis=1)
        reached = (score >= np.ceil(0.7 * area.questions - 1e-9)) & ~missed
        area_passed.append(float(reached.mean()))
        failed |= missed | (~reached if examination.each_area else False)
    passed = float((~failed & (total >= 14)).mean())

    assert passed == pytest.approx(found.passed, abs=0.006)
    assert area_passed == pytest.approx([area.passed for area in found.areas], abs=0.006)
    assert found.low < found.passed < found.high


def test_a_stricter_examination_is_harder() -> None:
    """Each rule added lowers the odds."""
    plain, each, critical, both = (
        _odds(*_examination(*rules)).passed
        for rules in ((False, False), (True, False), (False, True), (True, True))
    )

    assert plain > each > both
    assert plain > critical > both


def test_what_each_rule_leaves() -> None:
    """The strictest examination tells what the milder ones would: the total alone, and with each area."""
    plain, each, both = (
        _odds(*_examination(*rules)) for rules in ((False, False), (True, False), (True, True))
    )

    assert (plain.passed, each.passed) == (both.mark_alone, both.with_areas)
    assert (plain.passed, plain.passed) == (plain.mark_alone, plain.with_areas)


def test_history_narrows_the_interval() -> None:
    """Forty steady days of drawn cards narrow the interval; those far below the prediction lower the odds."""
    examination, recall = _examination(False, False)
    dice = np.random.default_rng(2)
    day, chance = np.repeat(np.arange(40), 50), np.full(2000, 0.8)
    steady = Foretold.of(day, chance, (dice.random(2000) < 0.8).astype(float))
    poor = Foretold.of(day, chance, (dice.random(2000) < 0.65).astype(float))
    none, well, badly = (
        odds(examination, [View(recall, form(NOTHING, days))]) for days in (NOTHING, steady, poor)
    )

    assert (0, 40, 40) == (none.days_of_history, well.days_of_history, badly.days_of_history)
    assert well.high - well.low < 0.6 * (none.high - none.low)
    assert badly.passed < well.passed - 0.1


def test_spread_of_simulated_days_is_found() -> None:
    """Days that scatter with a known spread of log odds give that spread back."""
    dice = np.random.default_rng(5)
    for true in (0.2, 0.8):
        shift = true * dice.standard_normal(150)
        chances = widened(np.full(60, 0.75), true, shift)
        right = (dice.random(chances.shape) < chances).astype(float)
        days = Foretold.of(np.repeat(np.arange(150), 60), np.full(9000, 0.75), right.reshape(-1))

        assert true == pytest.approx(form(days).spread, abs=0.15)


def test_the_weakest_area_costs_most() -> None:
    """Of areas alike in questions, the one with the lowest recall takes most off the odds."""
    recall = np.concatenate([np.full(20, 0.9), np.full(20, 0.6), np.full(20, 0.8)])
    areas = tuple(
        Area(name, np.arange(20) + 20 * at, 6) for at, name in enumerate(("Fuel", "Oil", "Hydraulics"))
    )
    found = odds(Examination(areas, 0.7, True), [View(recall, form(NOTHING))])

    assert ["Oil", "Hydraulics", "Fuel"] == [area.topic for area in found.costliest]


def test_unasked_cards_are_never_right() -> None:
    """Recall of nought stays nought whatever the day."""
    area = (Area("Fuel", np.arange(5), 5),)
    found = odds(Examination(area, 0.2), [View(np.zeros(5), form(NOTHING))])

    assert 0.0 == pytest.approx(found.passed)


def test_examinations_that_cannot_be_drawn() -> None:
    """More questions than cards, no questions, a mark above all, and areas that share cards are refused."""
    few = Area("Fuel", np.arange(3), 4)
    with pytest.raises(RecallError):
        Examination((few,), 0.7)
    with pytest.raises(RecallError):
        Examination((), 0.7)
    with pytest.raises(RecallError):
        Examination((Area("Fuel", np.arange(3), 1),), 1.7)
    with pytest.raises(RecallError, match="share cards"):
        Examination((Area("Fuel", np.arange(3), 1), Area("All", np.arange(6), 1)), 0.7)


def test_spreads_reach_beyond_real_people() -> None:
    """The grid of spreads holds twice what LSAT-6 shows."""
    assert SPREADS[0] == 0.0
    assert SPREADS[-1] >= 1.5


def _days(counts: list[int], recall: float, right: float) -> Foretold:
    """Days with so many answers each, of one recall, of which a share is right."""
    day = np.repeat(np.arange(len(counts)), counts)
    came = np.concatenate([(np.arange(n) + 0.5) / n < right for n in counts])
    return Foretold.of(day, np.full(len(day), recall), came.astype(np.float64))


def test_cards_drawn_at_random_correct_what_selection_flatters() -> None:
    """Where the plan's answers went as foretold and drawn ones far worse, the bias follows the drawn ones, the more
    the more there are."""
    chosen = _days([20] * 20, 0.8, 0.8)
    none, few, many = (
        form(chosen, drawn).shift[0]
        for drawn in (NOTHING, _days([4] * 3, 0.8, 0.5), _days([4] * 40, 0.8, 0.5))
    )

    assert abs(none) < 0.05
    assert -1.0 < many < few - 0.1 < none - 0.1


def test_answers_to_chosen_cards_tell_half_of_what_drawn_ones_do() -> None:
    """However many they are, what they surpass is as likely due to how they were chosen as to the person; so the
    interval stays wide until some were drawn."""
    chosen, drawn = form(_days([50] * 40, 0.8, 0.9)), form(NOTHING, _days([50] * 40, 0.8, 0.9))
    recall, often = np.full(20, 0.88), np.ones(20)

    assert 0.5 == pytest.approx(chosen.shift[0] / drawn.shift[0], abs=0.1)
    assert chosen.unsure(recall, often) > 1.15 * drawn.unsure(recall, often)


def test_a_model_that_is_too_sure_of_what_it_thinks_well_known() -> None:
    """Answers that are right as often at a foretold recall of 0.7 but less so at 0.98 lower what is well known, and
    leave the rest."""
    day = np.repeat(np.arange(30), 40)
    recall = np.tile(np.repeat([0.7, 0.98], 20), 30)
    came = np.tile(np.concatenate([np.arange(20) < 14, np.arange(20) < 17]), 30)
    found = form(NOTHING, Foretold.of(day, recall, came.astype(np.float64)))

    assert list(found.trued(np.array([0.0, 0.7, 0.98]))) == pytest.approx([0.0, 0.7, 0.9], abs=0.06)


def test_what_lies_far_from_all_that_was_answered_is_less_sure() -> None:
    """Of two persons as well known, the one whose cards on the date lie one unit of log odds off what they answered
    has the wider interval, by 0.15 squared; nobody's answers lie at the usual recall."""
    known, recall = form(_days([20] * 20, 0.8, 0.8)), np.full(20, 0.8)
    often, off = np.ones(20), replace(known, centre=known.centre - 1.0)

    assert np.log(4.0) == pytest.approx(known.centre)
    assert 2.0 == form(NOTHING).centre
    assert 0.15**2 == pytest.approx(off.unsure(recall, often) ** 2 - known.unsure(recall, often) ** 2)


def test_the_interval_holds_for_a_person_with_an_unknown_bias() -> None:
    """Of 300 persons with a bias and a selection of their own, drawn as the prior has them, 92 to 99 % lie in the
    95 % interval of the bias."""
    dice = np.random.default_rng(3)
    held = []
    for _ in range(300):
        own, selected, untold = dice.normal(0.0, (0.35, 0.35, 0.15))
        parts = []
        for answers, off in ((20, own + selected), (4, own)):
            day = np.repeat(np.arange(15), answers)
            right = dice.random(len(day)) < 1.0 / (1.0 + np.exp(-2.0 - off))
            parts.append(
                Foretold.of(day, np.full(len(day), 1.0 / (1.0 + np.exp(-2.0))), right.astype(np.float64))
            )
        found, recall = form(*parts), np.full(20, 1.0 / (1.0 + np.exp(-2.0)))
        off = own + untold - found.shift[0]
        held.append(abs(off) <= 1.96 * found.unsure(found.trued(recall), np.ones(20)))

    assert 0.92 < np.mean(held) < 0.99
