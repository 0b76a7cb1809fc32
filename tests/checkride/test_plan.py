"""The plan against brute force on tiny cases, and what holds for every plan."""

from itertools import product
from random import Random

import numpy as np
import pytest

from recall.base.errors import RecallError
from recall.checkride.bound import bound
from recall.checkride.grid import Grid
from recall.checkride.model import Model
from recall.checkride.plan import make_plan, plan_today
from recall.checkride.prices import problem, soft_dual, worth
from recall.checkride.state import CardState, Horizon, Mind, classes
from recall.schedule.model import DEFAULT, Parameters

TENTH = 1 / 60  # minutes in a second


def _deck(count: int, seed: int, asked: float = 0.5) -> CardState:
    dice = np.random.default_rng(seed)
    return CardState.of(
        np.exp(dice.normal(1.5, 1.2, count)),
        dice.uniform(2, 9, count),
        dice.integers(1, 30, count).astype(float),
        dice.random(count) < asked,
        weight=np.where(dice.random(count) < 0.2, 3.0, 1.0),
    )


def _best_by_trying(cards: CardState, model: Model, horizon: Horizon, capacity: int) -> float:
    """Best expected weighted share of any adaptive way of asking so many cards a day, by trying all."""

    def after(
        memory: tuple[float, float, float, bool], day: int
    ) -> list[tuple[float, tuple[float, float, float, bool]]]:
        stability, difficulty, last, asked = memory
        if not asked:
            up, down, chance = model.first(), model.first_missed(), model.first_right
        else:
            recall = model.recall(day - last, np.array([stability]))
            here = np.array([stability]), np.array([difficulty])
            up, down, chance = model.right(*here, recall), model.missed(*here, recall), float(recall[0])
        return [
            (share, (float(s[0]), float(d[0]), float(day), True))
            for share, (s, d) in ((chance, up), (1 - chance, down))
        ]

    def value(memories: tuple[tuple[float, float, float, bool], ...], day: int) -> float:
        if day == horizon.days:
            shares = [
                weight * float(model.recall(horizon.date - last, np.array([stability]))[0]) if asked else 0.0
                for weight, (stability, _, last, asked) in zip(cards.weight, memories, strict=True)
            ]
            return sum(shares) / float(cards.weight.sum())
        best = 0.0
        for choice in product((False, True), repeat=len(memories)):
            if sum(choice) > capacity:
                continue
            ways = [
                after(memory, day) if chosen else [(1.0, memory)]
                for memory, chosen in zip(memories, choice, strict=True)
            ]
            total = 0.0
            for outcome in product(*ways):
                chance = float(np.prod([share for share, _ in outcome]))
                total += chance * value(tuple(memory for _, memory in outcome), day + 1)
            best = max(best, total)
        return best

    start = tuple(
        (float(s), float(d), -float(since), bool(asked))
        for s, d, since, asked in zip(
            cards.stability, cards.difficulty, cards.since, cards.asked, strict=True
        )
    )
    return value(start, 0)


@pytest.mark.parametrize("seed", range(4))
def test_bound_and_plan_against_every_way_of_asking(seed: int) -> None:
    """With 3 cards and 4 days, one review a day, the best of all ways is close to the plan and under the bound."""
    cards = _tiny(seed)
    model, horizon = Model(), Horizon((10 * TENTH,) * 4)
    best = _best_by_trying(cards, model, horizon, 1)

    plan = make_plan([Mind(cards, model)], horizon, Random(seed))

    assert plan.certified
    assert plan.nothing < best <= plan.bound
    assert best - 0.03 <= plan.expected


def _tiny(seed: int) -> CardState:
    dice = np.random.default_rng(seed)
    return CardState.of(
        np.exp(dice.normal(1.0, 1.0, 3)),
        dice.uniform(2, 9, 3),
        dice.integers(1, 9, 3).astype(float),
        np.arange(3) < 2,
        weight=[1.0, 3.0, 1.0],
        seconds=10.0,
        seconds_unasked=10.0,
        seconds_missed=10.0,
    )


@pytest.mark.parametrize("seed", range(3))
def test_card_value_equals_trying_every_day(seed: int) -> None:
    """At given prices the dynamic programme values a card as trying every next day of review does."""
    dice = np.random.default_rng(seed)
    cards, model, horizon = _tiny(seed), Model(), Horizon((1.0,) * 6)
    given = problem(Mind(cards, model), horizon, Grid.over(6, 120, 16))
    prices = dice.uniform(0.0, 0.02, 6)
    value = worth(given, prices).start[given.items.of]

    def tried(stability: float, difficulty: float, last: float, weight: float) -> float:
        here = np.array([stability]), np.array([difficulty])
        best = float(model.recall(horizon.date - last, here[0])[0])
        for day in range(max(int(last) + 1, 0), 6):
            chance = float(model.recall(day - last, here[0])[0])
            up, down = (move(*here, np.array([chance])) for move in (model.right, model.missed))
            then = [tried(float(s[0]), float(d[0]), day, weight) for s, d in (up, down)]
            best = max(best, chance * then[0] + (1 - chance) * then[1] - prices[day] * 10.0 / weight)
        return best

    exact = [
        tried(
            float(cards.stability[at]),
            float(cards.difficulty[at]),
            -float(cards.since[at]),
            float(cards.weight[at]),
        )
        for at in (0, 1)
    ]

    assert exact == pytest.approx(list(value[:2]), abs=2e-3)


def test_gradient_of_the_soft_dual_is_exact() -> None:
    """The gradient by each price equals central differences."""
    cards, horizon = _deck(30, 3), Horizon((4.0, 2.0, 3.0, 4.0, 4.0))
    given = problem(Mind(cards, Model()), horizon, Grid.over(5, 20, 4))
    prices = np.array([0.004, 0.006, 0.005, 0.008, 0.002])
    base = worth(given, prices)
    _, gradient = soft_dual(given, prices, 0.01, base)
    step = 1e-7
    by_difference = [
        (soft_dual(given, prices + move, 0.01, base)[0] - soft_dual(given, prices - move, 0.01, base)[0])
        / (2 * step)
        for move in np.eye(5) * step
    ]

    assert by_difference == pytest.approx(list(gradient), rel=1e-5, abs=1e-3)


def test_bound_holds_at_any_prices() -> None:
    """Prices of nought, and dear ones, give a higher bound than good ones; none is below what the plan reaches."""
    cards, model, horizon = _deck(60, 1), Model(), Horizon((5.0,) * 10)
    plan = make_plan([Mind(cards, model)], horizon, Random(1))
    groups = classes(cards)
    others = [
        bound(cards, model, horizon, groups, np.full(10, price), (200, 24)).value for price in (0.0, 0.05)
    ]

    assert min(others) >= plan.bound >= plan.expected


def test_other_memories_keep_the_bound_certified() -> None:
    """Memories that forget faster or slower pass the check that the bound needs."""
    cards, horizon = _deck(20, 5), Horizon((2.0,) * 8)
    for curve, growth in ((0.10, 1.2), (0.5, 2.5), (0.8, 1.0)):
        weights = list(DEFAULT.weights)
        weights[20], weights[8] = curve, growth
        model = Model(Parameters.of(weights))
        found = bound(cards, model, horizon, classes(cards), np.full(8, 0.005), (100, 16))

        assert found.certified


@pytest.mark.parametrize(("count", "minutes", "days"), [(100, 5.0, 14), (100, 12.0, 20), (300, 6.0, 20)])
def test_plan_is_near_its_bound_and_ahead_of_the_daily_order(count: int, minutes: float, days: int) -> None:
    """Under its own model the plan reaches 97 % of the bound, above the daily order, which is above nothing."""
    plan = make_plan([Mind(_deck(count, 7), Model())], Horizon((minutes,) * days), Random(2))

    assert plan.expected >= 0.97 * plan.bound
    assert plan.expected > plan.daily > plan.nothing
    assert plan.distance == pytest.approx((plan.bound - plan.expected) / (plan.bound - plan.nothing))


@pytest.mark.parametrize("seed", range(12))
def test_few_cards_keep_the_order_of_the_shares(seed: int) -> None:
    """With two cards and a day, neither the plan nor the daily order is told above the bound."""
    cards = CardState.of([3.0, 8.0], [4.0, 7.0], [3.0, 5.0], [True, True])
    plan = make_plan([Mind(cards, Model())], Horizon((1.0,)), Random(seed))

    assert plan.nothing < plan.expected <= plan.bound
    assert plan.daily <= plan.bound
    assert plan.distance < 0.05


def test_days_off_stay_free_and_minutes_hold() -> None:
    """A day off has no cards, and no day takes more than its minutes."""
    minutes = (5.0, 0.0, 5.0, 5.0, 0.0, 2.0)
    plan = make_plan([Mind(_deck(80, 4), Model())], Horizon(minutes), Random(3))

    assert [True] * 6 == [day.minutes <= most + 1e-9 for day, most in zip(plan.days, minutes, strict=True)]
    assert [0, 0] == [len(plan.days[day].cards) for day in (1, 4)]
    assert len(plan.days[0].cards) > 0


def test_a_card_asked_today_waits() -> None:
    """A card already asked today isn't in today's plan."""
    cards = CardState.of([0.3] * 10, [5.0] * 10, [0.0] * 5 + [2.0] * 5, [True] * 10)
    today = plan_today([Mind(cards, Model())], Horizon((30.0,) * 4), Random(0))

    assert {5, 6, 7, 8, 9} == {*today.cards.tolist(), *today.probes.tolist()}


def test_critical_cards_come_first() -> None:
    """Of cards that are alike, those of weight 3 are bought before the others."""
    cards = CardState.of([2.0] * 30, [5.0] * 30, [4.0] * 30, [True] * 30, weight=[1.0] * 20 + [3.0] * 10)
    today = plan_today([Mind(cards, Model())], Horizon((3.0,) * 5), Random(0))

    assert set(range(20, 30)) == set(today.cards[:10].tolist())


def test_cards_are_drawn_at_random_for_a_small_share_of_each_day() -> None:
    """Up to 4 % of the seconds left go to asked cards drawn at random, on any day, and aren't among the best buys."""
    cards = _deck(400, 8)
    first, last = (
        plan_today([Mind(cards, Model())], Horizon((60.0,) * days), Random(days)) for days in (10, 1)
    )

    for today in (first, last):
        assert cards.asked[today.probes].all()
        assert 0.6 * 144 < 10 * len(today.probes) <= 144
        assert not set(today.probes.tolist()) & set(today.cards.tolist())
    assert set(first.probes.tolist()) != set(last.probes.tolist())


def test_one_seed_one_plan() -> None:
    """The same random numbers give the same plan."""
    cards, horizon = _deck(40, 9), Horizon((3.0,) * 6)
    first, second = (make_plan([Mind(cards, Model())], horizon, Random(5)) for _ in range(2))

    assert first.expected == second.expected
    assert first.days[0].cards.tolist() == second.days[0].cards.tolist()


def test_far_date_shares_prices_between_days() -> None:
    """A date 62 days off is planned in blocks of days, still under a bound and ahead of the daily order."""
    plan = make_plan([Mind(_deck(60, 2), Model())], Horizon((1.0,) * 62), Random(1))

    assert 31 == Horizon((1.0,) * 62).blocks
    assert plan.daily < plan.expected <= plan.bound


def test_the_day_itself_and_no_minutes_at_all() -> None:
    """With no day left, or no minutes, the plan expects what the cards hold now."""
    cards = _deck(12, 3)
    for horizon in (Horizon(()), Horizon((0.0, 0.0))):
        plan = make_plan([Mind(cards, Model())], horizon, Random(1))

        assert plan.nothing == pytest.approx(plan.expected)
        assert 0.0 == plan.distance


def test_the_hour_counts_on_the_last_day() -> None:
    """Recall on the date falls with the hour of the examination."""
    cards = CardState.of([1.0], [5.0], [0.0], [True])
    early, late = (
        Mind(cards, Model()).recall(Horizon((0.0,), hour=hour).date)[0] for hour in (8 / 24, 16 / 24)
    )

    assert late < early < 1.0


def test_requests_that_cannot_be_met() -> None:
    """No cards, a day of 25 hours, a date years off, and lengths that differ are refused."""
    with pytest.raises(RecallError):
        make_plan([Mind(CardState.of([], [], [], []), Model())], Horizon((1.0,)), Random(0))
    with pytest.raises(RecallError):
        Horizon((1500.0,))
    with pytest.raises(RecallError):
        Horizon((10.0,) * 1000)
    with pytest.raises(RecallError):
        CardState.of([1.0, 2.0], [5.0], [1.0], [True])
