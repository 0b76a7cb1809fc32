"""The plan for a date: what to review today, what to expect on the date, and how far any plan is from the bound."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

import numpy as np

from recall.base.errors import RecallError
from recall.checkride.bound import bound
from recall.checkride.grid import Grid
from recall.checkride.model import Bools, Floats, Ints
from recall.checkride.prices import (
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
from recall.checkride.rollout import Choice, Run, Runs, by_worth, daily_order, greedy, play, ranked
from recall.checkride.state import CardState, Horizon, Mind, classes, over

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
    """Today's cards in the order of asking, the next best buys, and probes (see `Plan`)."""

    cards: Ints
    reserve: Ints
    probes: Ints


@dataclass(frozen=True, eq=False)
class Plan:
    """A plan. Shares are of full recall, by weight; arrays over cards have shape (n,).

    days: today first. expected, daily, nothing: share on the date with the plan, the daily order, no review; low,
    high: expected by the minds that do worst and best.
    bound: no plan's expectation is above it (certified: the model passed the check that this needs).
    distance: (bound - expected) / (bound - nothing). grid_error: what the bound's grid adds to it.
    fewer, more: expected with 10 minutes less and more a day.
    two_weeks_after: share two weeks after the date without a further review; keep_minutes: minutes a day that the
    daily order takes in those two weeks. on_date: recall of each card then, by mind; after: in the
    mean over them, two weeks later.
    out_of_reach: cards that can't be learned in the time: more likely missed than known on the date.
    probes: asked cards drawn at random, to learn how fast this person forgets; to be asked today besides `days[0]`,
    which leaves the time for them. reserve: the next best buys, if there is time left today.
    rise: (3, days + 1) share at the start of each day and on the date, for plan, daily order, nothing.
    """

    days: tuple[DayPlan, ...]
    expected: float
    low: float
    high: float
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
    on_date: list[Floats]
    after: Floats
    out_of_reach: Bools
    probes: Ints
    reserve: Ints
    rise: Floats


def make_plan(
    minds: Sequence[Mind],
    horizon: Horizon,
    rng: Random,
    *,
    days_followed: int = PROBED_DAYS,
    answers: int = 0,
    unasked_a_day: int = 20,
    targets: tuple[float, float] = (0.90, 0.95),
    minutes_apart: float = 10.0,
) -> Plan:
    """Plan the days to the examination.

    minds: how the person may remember, the likeliest first. days_followed: days on which this person has followed a
    plan already (fewer than 12: a share of the time goes to probes). answers: those on which the model was fitted
    (`Fit.answers`): the more, the fewer probes. unasked_a_day, targets (ordinary, critical): the daily order to
    compare with. RecallError without cards.
    """
    dice = _dice(minds, rng)
    solved = [_solve(mind, horizon, polish=True) for mind in minds]
    cards = minds[0].cards
    runs = int(np.clip(RUN_CARD_DAYS // (len(cards) * max(horizon.days, 45)), 4, MOST_RUNS))
    luck = int(dice.integers(1 << 62))
    choose, ours = _best(minds, solved, horizon, luck, runs)
    usual = _played(minds, horizon, daily_order(minds, unasked_a_day, *targets), luck, runs)
    tops = [
        bound(mind.cards, mind.model, horizon, one.given.groups, one.by_day(horizon))
        for mind, one in zip(minds, solved, strict=True)
    ]
    top = over(minds, [one.value for one in tops])
    probes = draw_probes(minds, horizon, days_followed, answers, dice)
    today, reserve = _today(minds, horizon, choose, probes)
    # Means over runs scatter, and may land a hair above what is possible.
    each = [min(one.share(horizon.date), own.value) for one, own in zip(ours, tops, strict=True)]
    expected = over(minds, each)
    daily = min(over(minds, [one.share(horizon.date) for one in usual]), top)
    nothing = _share(cards, over(minds, [mind.recall(horizon.date) for mind in minds]))
    on_date = [one.recall(horizon.date) for one in ours]
    after = over(minds, [one.recall(horizon.date + FORTNIGHT) for one in ours])
    fewer, more = (
        over(
            minds,
            [
                _with_more(mind, one, minutes, dice, max(runs // 3, 2))
                for mind, one in zip(minds, solved, strict=True)
            ],
        )
        for minutes in (-minutes_apart, minutes_apart)
    )
    still = [_share(cards, over(minds, [mind.recall(day) for mind in minds])) for day in _moments(horizon)]
    rises = (over(minds, [one.rise for one in some]) for some in (ours, usual))
    return Plan(
        days=_days(today, ours[0], minds, horizon),
        expected=expected,
        low=min(each),
        high=max(each),
        daily=daily,
        nothing=nothing,
        bound=top,
        certified=all(one.certified for one in tops),
        distance=(top - expected) / (top - nothing) if top - nothing > 1e-6 else 0.0,
        grid_error=abs(top - min(over(minds, [one.value.dual for one in solved]), 1.0)),
        fewer=min(fewer, expected),
        more=max(more, expected),
        two_weeks_after=_share(cards, after),
        keep_minutes=ours[0].keep_minutes(FORTNIGHT, *targets),
        on_date=on_date,
        after=after,
        out_of_reach=over(minds, on_date) < LEARNED,
        probes=probes,
        reserve=reserve,
        rise=np.stack([*(np.append(*pair) for pair in zip(rises, (expected, daily), strict=True)), still]),
    )


def plan_today(
    minds: Sequence[Mind],
    horizon: Horizon,
    rng: Random,
    *,
    days_followed: int = PROBED_DAYS,
    answers: int = 0,
) -> Today:
    """Just today's cards, for planning again from what really happened. Arguments as for `make_plan`."""
    dice = _dice(minds, rng)
    solved = [_solve(mind, horizon) for mind in minds]
    runs = int(np.clip(RUN_CARD_DAYS // (4 * len(minds[0].cards) * max(horizon.days, 45)), 2, MOST_RUNS))
    choose, _ = _best(minds, solved, horizon, int(dice.integers(1 << 62)), runs)
    probes = draw_probes(minds, horizon, days_followed, answers, dice)
    return Today(*_today(minds, horizon, choose, probes), probes)


def _dice(minds: Sequence[Mind], rng: Random) -> np.random.Generator:
    if len(minds[0].cards) == 0:
        raise RecallError("there are no cards to plan", "load a deck, or choose another topic")
    return np.random.default_rng(rng.getrandbits(64))


@dataclass(frozen=True, eq=False)
class Solved:
    """One mind's problem on a fine and a rough grid, with the best prices found and what reviews are worth then."""

    given: Problem
    rough: Problem
    value: Worth
    prices: Floats

    def by_day(self, horizon: Horizon) -> Floats:
        """The price of a second on each day."""
        return self.prices[horizon.block(np.arange(horizon.days))]


def _solve(mind: Mind, horizon: Horizon, *, polish: bool = False) -> Solved:
    cards, model = mind.cards, mind.model
    given, rough = (
        problem(cards, model, horizon, classes(cards), Grid.over(horizon.days, *size)) for size in GRIDS
    )
    tried = [solve(rough, scaled(rough), ROUGH)]
    if polish:
        tried.append(solve(given, tried[0], POLISH))
    value, prices = min(((worth(given, some), some) for some in tried), key=lambda pair: pair[0].dual)
    return Solved(given, rough, value, prices)


def _played(minds: Sequence[Mind], horizon: Horizon, choose: Choice, luck: int, runs: int) -> list[Runs]:
    """What a way of choosing comes to for each mind; equal luck for all ways."""
    return [
        play(minds, true, horizon, choose, np.random.default_rng([luck, true]), runs)
        for true in range(len(minds))
    ]


def _best(
    minds: Sequence[Mind], solved: Sequence[Solved], horizon: Horizon, luck: int, runs: int
) -> tuple[Choice, list[Runs]]:
    """The way of choosing that does best over the minds, and what it comes to: by prices, or greedily."""
    ways = [by_worth(minds, [(one.given, one.value) for one in solved])]
    if len(minds) > 1:
        ways.append(greedy(minds, horizon.date))
    played = [(way, _played(minds, horizon, way, luck, runs)) for way in ways]
    return max(played, key=lambda pair: over(minds, [one.share(horizon.date) for one in pair[1]]))


def draw_probes(
    minds: Sequence[Mind], horizon: Horizon, days_followed: int, answers: int, dice: np.random.Generator
) -> Ints:
    """Asked cards drawn at random for today, for a small share of the time of the first days. Indices (k,)."""
    cards = minds[0].cards
    ready = np.flatnonzero(cards.asked & (cards.since >= 0.5))
    if days_followed >= PROBED_DAYS or not horizon.days or not len(ready):
        return np.empty(0, dtype=np.int64)
    drawn = dice.permutation(ready)
    cost = np.cumsum(expected_seconds(minds, drawn))
    share = PROBED_SHARE * max(1.0 - answers / ANSWERS_ENOUGH, 0.0)
    return np.asarray(drawn[cost <= share * horizon.seconds[0]])


def expected_seconds(minds: Sequence[Mind], chosen: Ints) -> Floats:
    """Expected seconds of asking these cards today, in their order. Shape (k,)."""
    cards, recall = minds[0].cards, over(minds, [mind.recall(0.0) for mind in minds])[chosen]
    known = cards.seconds_missed[chosen] + (cards.seconds - cards.seconds_missed)[chosen] * recall
    return np.where(cards.asked[chosen], known, cards.seconds_unasked[chosen])


def _today(minds: Sequence[Mind], horizon: Horizon, choose: Choice, probes: Ints) -> tuple[Ints, Ints]:
    if not horizon.days or horizon.seconds[0] == 0.0:
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    order = ranked(choose([Run.start(mind.cards) for mind in minds], 0)[0])
    order = order[~np.isin(order, probes)]
    left = horizon.seconds[0] - expected_seconds(minds, probes).sum()
    count = int(np.searchsorted(np.cumsum(expected_seconds(minds, order)), left, side="right"))
    return order[:count], order[count : 2 * count]


def _days(today: Ints, runs: Runs, minds: Sequence[Mind], horizon: Horizon) -> tuple[DayPlan, ...]:
    totals = zip(runs.minutes, runs.reviews, runs.unasked, strict=True)
    days = [DayPlan(chosen, *map(float, total)) for chosen, total in zip(runs.chosen, totals, strict=True)]
    if days:
        minutes = float(expected_seconds(minds, today).sum()) / 60.0
        fresh = int((~minds[0].cards.asked[today]).sum())
        days[0] = DayPlan(today, minutes, float(len(today) - fresh), float(fresh))
    return tuple(days)


def _with_more(mind: Mind, solved: Solved, minutes: float, dice: np.random.Generator, runs: int) -> float:
    horizon = solved.given.horizon.with_more(minutes)
    changed = replace(solved.rough, horizon=horizon, there_are=horizon.block_seconds)
    given = solved.given
    value = worth(given, solve(changed, scaled(changed, solved.prices), OTHER_MINUTES))
    alone = [replace(mind, weight=1.0)]
    return play(alone, 0, horizon, by_worth(alone, [(given, value)]), dice, runs).share(horizon.date)


def _share(cards: CardState, recall: Floats) -> float:
    return float(cards.weight @ recall / cards.weight.sum())


def _moments(horizon: Horizon) -> list[float]:
    return [*(float(day) for day in range(horizon.days)), horizon.date]
