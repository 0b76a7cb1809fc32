"""What a plan is for: odds of passing, the minutes that would be enough, and a person of whom little is known."""

from random import Random

import numpy as np
import pytest

from recall.checkride.form import NOTHING, form
from recall.checkride.goal import ALL_POINTS, Passing
from recall.checkride.learner import SHAPES, Log, fits
from recall.checkride.model import Model
from recall.checkride.odds import Area, Examination, recall_interval, views
from recall.checkride.outlook import Outlook, enough, later
from recall.checkride.plan import make_plan
from recall.checkride.state import CardState, Horizon, Mind, used_share
from recall.schedule.model import DEFAULT

NO_ANSWERS = Log(*(np.empty(0, dtype=np.int64),) * 3)
CRITICAL = np.arange(60) % 6 == 0


def _unasked() -> CardState:
    """Sixty cards that nobody has answered; every sixth is critical."""
    none = np.zeros(60)
    return CardState.of(
        none + 1.0, none + 5.0, none, np.zeros(60, dtype=np.bool_), weight=1.0 + 2.0 * CRITICAL
    )


def _exam(*, without_fail: bool = True) -> Examination:
    """Two areas of thirty cards, of which one alone is asked."""
    areas = (Area("asked", np.arange(30), 12), Area("never", np.arange(30, 60), 0))
    return Examination(areas, 0.7, without_fail=CRITICAL if without_fail else None)


def _passing(*, without_fail: bool = True) -> Passing:
    return Passing(_exam(without_fail=without_fail), (form(NOTHING),))


def test_a_plan_for_the_odds_leaves_what_is_never_asked() -> None:
    """Where time is short, a plan for the odds has better ones than a plan for recall, and less recall."""
    minds, horizon = [Mind(_unasked(), Model())], Horizon((2.0,) * 10)
    goal = _passing()
    odds, recall = (make_plan(minds, horizon, Random(1), goal=one) for one in (goal, ALL_POINTS))

    assert goal.value(minds, odds.on_date) > goal.value(minds, recall.on_date) + 0.05
    assert recall.expected > odds.expected
    assert odds.on_date[0][30:].mean() < 0.1 < 0.6 < odds.on_date[0][:30].mean()


def test_where_the_person_is_not_known_well_a_plan_for_the_odds_is_judged_by_them() -> None:
    """With two minds and areas of unlike size it has better odds than a plan for recall, which it may not fall
    behind by what little a cautious choice costs in recall."""
    dice = np.random.default_rng(2)
    cards = CardState.of(
        np.exp(dice.normal(1.5, 1.0, 240)),
        dice.uniform(3, 8, 240),
        dice.integers(1, 12, 240),
        np.ones(240, dtype=np.bool_),
    )
    minds = [Mind(cards, Model(), 0.7), Mind(cards, Model(SHAPES[1].of(DEFAULT)), 0.3)]
    areas = tuple(Area(str(at), cards, 10) for at, cards in enumerate(np.split(np.arange(240), (20, 100))))
    goal = Passing(Examination(areas, 0.8, each_area=True), (form(NOTHING),) * 2)
    odds, recall = (make_plan(minds, Horizon((3.0,) * 14), Random(1), goal=one) for one in (goal, ALL_POINTS))

    assert goal.value(minds, odds.on_date) > goal.value(minds, recall.on_date) + 0.01


def test_critical_points_weigh_more_where_a_miss_fails() -> None:
    """A little recall of a critical card adds more to the odds than that of another of its area; not without that
    rule."""
    minds = [Mind(_unasked(), Model())]
    recalls = [np.where(CRITICAL, 0.7, 0.9)]
    strict, lenient = (_passing(without_fail=rule).weights(minds, recalls) for rule in (True, False))

    assert strict[0] > 2.0 * strict[1] > 0.0
    assert lenient[0] == lenient[1]
    assert strict[40] < 0.01 * strict[1]


def test_more_minutes_bring_better_odds_and_enough_lies_between() -> None:
    """Other minutes are tried in their order until the levels are passed, and those that are told as enough, tried
    anew, come near the level."""
    minds, goal = [Mind(_unasked(), Model())], _passing(without_fail=False)
    plan = make_plan(minds, Horizon((1.0,) * 10), Random(1), goal=goal)
    values = [one.value for one in plan.others]
    times = enough(plan.others, 0.80)
    assert times is not None
    anew = make_plan(minds, Horizon((1.0,) * 10).times(times, today=True), Random(2), goal=goal)

    assert values[-1] >= 0.95
    assert 0.80 == pytest.approx(goal.value(minds, anew.on_date), abs=0.15)


def test_what_no_minutes_reach_is_said_as_none() -> None:
    """A level above all that were tried has no minutes; one below them all has the fewest; between two, in
    proportion on a scale of ratios."""
    tried = [Outlook(1.0, 0.4, []), Outlook(4.0, 0.8, [])]

    assert (None, 1.0, 4.0) == tuple(enough(tried, level) for level in (0.9, 0.3, 0.8))
    assert 2.0 == pytest.approx(enough(tried, 0.6) or 0.0)


def test_a_later_date_is_tried_where_the_minutes_fall_short() -> None:
    """As many weeks as add up to four times the minutes bring more; where there is some chance and more minutes reach
    the last level, none is tried, nor beyond two years."""
    minds, goal = [Mind(_unasked(), Model())], _passing(without_fail=False)
    short, fine = ([Outlook(1.0, low, []), Outlook(4.0, 0.96, [])] for low in (0.01, 0.2))
    weeks = later(minds, minds, Horizon((1.0,) * 7), goal, 1, [Outlook(1.0, 0.1, []), Outlook(4.0, 0.5, [])])

    assert weeks is not None
    assert (3, True) == (weeks[0], weeks[1] > 0.3)
    assert later(minds, minds, Horizon((1.0,) * 7), goal, 1, short) is not None
    assert later(minds, minds, Horizon((1.0,) * 7), goal, 1, fine) is None
    assert later(minds, minds, Horizon((1.0,) * 730), goal, 1, short) is None


def test_before_any_answer_all_shapes_count() -> None:
    """Nothing tells shapes apart before a card was asked on a second day; the forecast has a wide interval then."""
    minds = [Mind(_unasked(), one.model, one.weight) for one in fits(NO_ANSWERS)]
    plan = make_plan(minds, Horizon((3.0,) * 9), Random(1))
    low, high = recall_interval(views(minds, [form(NOTHING)] * 3, plan.on_date), minds[0].cards.weight)

    assert len(minds) >= 3
    assert 1.0 == pytest.approx(sum(mind.weight for mind in minds))
    assert low + 0.2 < plan.expected < high - 0.1


def test_a_plan_that_knows_little_repeats_what_it_began() -> None:
    """With all shapes possible, most cards begun in the first week are asked again before the second is over."""
    minds = [Mind(_unasked(), one.model, one.weight) for one in fits(NO_ANSWERS)]
    plan = make_plan(minds, Horizon((4.0,) * 14), Random(1))

    assert sum(day.reviews for day in plan.days) > 40


def test_the_share_of_minutes_used() -> None:
    """Half of ten days' minutes used is a little above half under the prior of three whole days; none known: all."""
    assert (5.0 + 3.0) / 13.0 == pytest.approx(used_share([(0.5, 1.0)] * 10))
    assert 1.0 == used_share([])
    assert 1.0 == used_share([(2.0, 1.0)] * 9)


def test_what_is_surely_known_is_left_and_the_rest_of_the_minutes_free() -> None:
    """Of thirty cards and four weeks of 20 minutes a day, each is asked a few times, not daily, the first of them
    today; by the model hardly anything is lost by that."""
    minds = [Mind(_half_known(), Model())]
    plan = make_plan(minds, Horizon((20.0,) * 28), Random(1))
    asked = sum(day.reviews + day.unasked for day in plan.days)

    assert 3 * 60 < asked < 8 * 60
    assert sum(day.minutes for day in plan.days) < 0.2 * 28 * 20.0
    assert 30.0 == plan.days[0].unasked
    assert plan.expected > 0.99 * plan.bound


def _half_known() -> CardState:
    """Sixty cards, every second one learned a week ago and held for ten days."""
    asked = np.arange(60) % 2 == 0
    return CardState.of(np.full(60, 10.0), np.full(60, 5.0), np.full(60, 7.0), asked)
