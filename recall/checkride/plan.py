"""The plan for a date: what to review today, what to expect on the date, and how far any plan is from the bound."""

from dataclasses import dataclass, replace
from random import Random

import numpy as np

from recall.base.errors import RecallError
from recall.checkride.bound import bound
from recall.checkride.grid import Grid
from recall.checkride.model import Bools, Floats, Ints, Model
from recall.checkride.prices import (
    AGAIN,
    OTHER_MINUTES,
    POLISH,
    ROUGH,
    Problem,
    Worth,
    problem,
    scaled,
    solve,
    worth,
)
from recall.checkride.rollout import Choice, Run, Runs, by_worth, daily_order, play, ranked
from recall.checkride.state import CardState, Horizon, classes, recall_at

GRIDS = (60, 8), (32, 5)
FORTNIGHT, LEARNED = 14, 0.5
RUN_CARD_DAYS, MOST_RUNS = 400_000, 1000
PROBED_DAYS, PROBED_SHARE, ANSWERS_ENOUGH = 12, 0.05, 300


@dataclass(frozen=True, eq=False)
class DayPlan:
    """One day. Today's cards are to be asked; a later day's are those of one run of the model.

    cards: indices in the order of asking, best buy first. minutes, reviews (of asked cards), unasked (first
    answers): expected for today, means over the runs for later days.
    """

    cards: Ints
    minutes: float
    reviews: float
    unasked: float


@dataclass(frozen=True, eq=False)
class Today:
    """Today's cards in the order of asking, the next best buys, probes, and the prices (see `Plan`)."""

    cards: Ints
    reserve: Ints
    probes: Ints
    prices: Floats


@dataclass(frozen=True, eq=False)
class Plan:
    """A plan. Shares are of full recall, by weight; arrays over cards have shape (n,).

    days: today first. expected, daily, nothing: share on the date with the plan, the daily order, no review.
    bound: no plan's expectation is above it (certified: the model passed the check that this needs).
    distance: (bound - expected) / (bound - nothing). grid_error: what the bound's grid adds to it.
    fewer, more: expected with 10 minutes less and more a day.
    two_weeks_after: share two weeks after the date without a further review; keep_minutes: minutes a day that the
    daily order takes in those two weeks. on_date, after: recall of each card at both times.
    out_of_reach: cards that can't be learned in the time: more likely missed than known on the date.
    probes: asked cards drawn at random, to learn how fast this person forgets; to be asked today besides `days[0]`,
    which leaves the time for them. reserve: the next best buys, if there is time left today.
    rise: (3, days + 1) share at the start of each day and on the date, for plan, daily order, nothing.
    prices: what a second is worth, by block of days; the `start` of tomorrow's plan.
    """

    days: tuple[DayPlan, ...]
    expected: float
    daily: float
    nothing: float
    bound: float
    certified: bool
    distance: float
    grid_error: float
    fewer: float
    more: float
    two_weeks_after: float
    keep_minutes: float
    on_date: Floats
    after: Floats
    out_of_reach: Bools
    probes: Ints
    reserve: Ints
    rise: Floats
    prices: Floats


def make_plan(
    cards: CardState,
    model: Model,
    horizon: Horizon,
    rng: Random,
    *,
    days_followed: int = PROBED_DAYS,
    answers: int = 0,
    unasked_a_day: int = 20,
    targets: tuple[float, float] = (0.90, 0.95),
    start: Floats | None = None,
    minutes_apart: float = 10.0,
) -> Plan:
    """Plan the days to the examination.

    days_followed: days on which this person has followed a plan already (fewer than 12: a share of the time goes to
    probes). answers: those on which the model was fitted (`Fit.answers`): the more, the fewer probes.
    unasked_a_day, targets (ordinary, critical): the daily order to compare with. start: prices of
    yesterday's plan. RecallError without cards.
    """
    if len(cards) == 0:
        raise RecallError("there are no cards to plan", "load a deck, or choose another topic")
    dice = np.random.default_rng(rng.getrandbits(64))
    given, rough = (
        problem(cards, model, horizon, classes(cards), Grid.over(horizon.days, *size)) for size in GRIDS
    )
    coarse = _coarse(rough, start)
    value, prices = _best(given, [coarse, solve(given, coarse, POLISH)])
    top = bound(cards, model, horizon, given.groups, prices[horizon.block(np.arange(horizon.days))])
    probes = draw_probes(cards, model, horizon, days_followed, answers, dice)
    runs = int(np.clip(RUN_CARD_DAYS // (len(cards) * max(horizon.days, 45)), 4, MOST_RUNS))
    ours = play(cards, model, horizon, by_worth(given, value, cards), dice, runs)
    usual = play(cards, model, horizon, daily_order(cards, model, unasked_a_day, *targets), dice, runs)
    today, reserve = _today(cards, model, horizon, by_worth(given, value, cards), probes)
    # Means over runs scatter, and may land a hair above what is possible.
    expected = min(ours.share(horizon.date), top.value)
    daily = min(usual.share(horizon.date), top.value)
    nothing = _share(cards, recall_at(cards, model, horizon.date))
    on_date, after = ours.recall(horizon.date), ours.recall(horizon.date + FORTNIGHT)
    fewer, more = (
        _with_more(cards, model, given, rough, minutes, prices, dice, max(runs // 3, 2))
        for minutes in (-minutes_apart, minutes_apart)
    )
    still = np.array([_share(cards, recall_at(cards, model, day)) for day in _moments(horizon)])
    return Plan(
        days=_days(today, ours, cards, model, horizon),
        expected=expected,
        daily=daily,
        nothing=nothing,
        bound=top.value,
        certified=top.certified,
        distance=(top.value - expected) / (top.value - nothing) if top.value - nothing > 1e-6 else 0.0,
        grid_error=abs(top.value - min(value.dual, 1.0)),
        fewer=min(fewer, expected),
        more=max(more, expected),
        two_weeks_after=_share(cards, after),
        keep_minutes=ours.keep_minutes(FORTNIGHT, *targets),
        on_date=on_date,
        after=after,
        out_of_reach=on_date < LEARNED,
        probes=probes,
        reserve=reserve,
        rise=np.stack([np.append(ours.rise, expected), np.append(usual.rise, daily), still]),
        prices=prices,
    )


def plan_today(
    cards: CardState,
    model: Model,
    horizon: Horizon,
    rng: Random,
    *,
    days_followed: int = PROBED_DAYS,
    answers: int = 0,
    start: Floats | None = None,
) -> Today:
    """Just today's cards, for planning again from what really happened. Arguments as for `make_plan`."""
    if len(cards) == 0:
        raise RecallError("there are no cards to plan", "load a deck, or choose another topic")
    dice = np.random.default_rng(rng.getrandbits(64))
    given, rough = (
        problem(cards, model, horizon, classes(cards), Grid.over(horizon.days, *size)) for size in GRIDS
    )
    value, prices = _best(given, [_coarse(rough, start)])
    probes = draw_probes(cards, model, horizon, days_followed, answers, dice)
    return Today(*_today(cards, model, horizon, by_worth(given, value, cards), probes), probes, prices)


def _coarse(rough: Problem, start: Floats | None) -> Floats:
    """Prices on a coarse grid, from those of the day before when there are any."""
    if start is None or len(start) < rough.days:
        return solve(rough, scaled(rough), ROUGH)
    return solve(rough, scaled(rough, start[len(start) - rough.days :]), AGAIN)


def _best(given: Problem, prices: list[Floats]) -> tuple[Worth, Floats]:
    tried = [(worth(given, some), some) for some in prices]
    return min(tried, key=lambda pair: pair[0].dual)


def draw_probes(
    cards: CardState,
    model: Model,
    horizon: Horizon,
    days_followed: int,
    answers: int,
    dice: np.random.Generator,
) -> Ints:
    """Asked cards drawn at random for today, for a small share of the time of the first days. Indices (k,)."""
    ready = np.flatnonzero(cards.asked & (cards.since >= 0.5))
    if days_followed >= PROBED_DAYS or not horizon.days or not len(ready):
        return np.empty(0, dtype=np.int64)
    drawn = dice.permutation(ready)
    cost = np.cumsum(expected_seconds(cards, model, drawn))
    share = PROBED_SHARE * max(1.0 - answers / ANSWERS_ENOUGH, 0.0)
    return np.asarray(drawn[cost <= share * horizon.seconds[0]])


def expected_seconds(cards: CardState, model: Model, chosen: Ints) -> Floats:
    """Expected seconds of asking these cards today, in their order. Shape (k,)."""
    recall = recall_at(cards, model, 0.0)[chosen]
    known = cards.seconds_missed[chosen] + (cards.seconds - cards.seconds_missed)[chosen] * recall
    return np.where(cards.asked[chosen], known, cards.seconds_unasked[chosen])


def _today(
    cards: CardState, model: Model, horizon: Horizon, choose: Choice, probes: Ints
) -> tuple[Ints, Ints]:
    if not horizon.days or horizon.seconds[0] == 0.0:
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    order = ranked(choose(Run.start(cards), 0)[0])
    order = order[~np.isin(order, probes)]
    left = horizon.seconds[0] - expected_seconds(cards, model, probes).sum()
    count = int(np.searchsorted(np.cumsum(expected_seconds(cards, model, order)), left, side="right"))
    return order[:count], order[count : 2 * count]


def _days(today: Ints, runs: Runs, cards: CardState, model: Model, horizon: Horizon) -> tuple[DayPlan, ...]:
    totals = zip(runs.minutes, runs.reviews, runs.unasked, strict=True)
    days = [DayPlan(chosen, *map(float, total)) for chosen, total in zip(runs.chosen, totals, strict=True)]
    if days:
        minutes = float(expected_seconds(cards, model, today).sum()) / 60.0
        fresh = int((~cards.asked[today]).sum())
        days[0] = DayPlan(today, minutes, float(len(today) - fresh), float(fresh))
    return tuple(days)


def _with_more(
    cards: CardState,
    model: Model,
    given: Problem,
    rough: Problem,
    minutes: float,
    prices: Floats,
    dice: np.random.Generator,
    runs: int,
) -> float:
    horizon = given.horizon.with_more(minutes)
    changed = replace(rough, horizon=horizon, there_are=horizon.block_seconds)
    choose = by_worth(given, worth(given, solve(changed, scaled(changed, prices), OTHER_MINUTES)), cards)
    return play(cards, model, horizon, choose, dice, runs).share(horizon.date)


def _share(cards: CardState, recall: Floats) -> float:
    return float(cards.weight @ recall / cards.weight.sum())


def _moments(horizon: Horizon) -> list[float]:
    return [*(float(day) for day in range(horizon.days)), horizon.date]
