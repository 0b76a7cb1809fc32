"""The plan for a date: what to review today, what to expect on the date, and how far any plan is from the bound."""

from collections.abc import Sequence
from random import Random

import numpy as np

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.checkride.goal import ALL_POINTS, Goal
from recall.checkride.model import Bools, Floats, Ints
from recall.checkride.outlook import Outlook, aimed, later, other_minutes
from recall.checkride.rollout import Choice, Run, Runs, daily_order, ranked
from recall.checkride.state import Horizon, Mind, over, share
from recall.checkride.ways import best_way, bounds_of, played, runs_of, solved_all
from recall.schedule.model import CRITICAL_TARGET, TARGET

FORTNIGHT, LEARNED = 14, 0.5
PROBED_SHARE = 0.04
"""Share of each day's time for cards drawn at random."""


@dataclass(frozen=True, eq=False)
class DayPlan:
    """One day. Today's cards are to be asked; a later day's are those of one run of the model.

    cards: indices in the order of asking, those drawn at random first, then the best buys. minutes, reviews (of asked
    cards), unasked (first answers): expected for today, means over the runs for later days.
    """

    cards: Ints
    minutes: float
    reviews: float
    unasked: float


@dataclass(frozen=True, eq=False)
class Today:
    """Today's cards in the order of asking, the next best buys if there is time left, and before them all some asked
    cards drawn at random, for which they leave the time."""

    cards: Ints
    reserve: Ints
    probes: Ints


@dataclass(frozen=True, eq=False)
class Plan:
    """A plan. Shares are of full recall, by weight; arrays over cards have shape (n,).

    days: today first. expected, daily, nothing: share on the date with the plan, the daily order, no review.
    bound: no plan's expectation is above it (certified: the model passed the check that this needs).
    distance: (bound - expected) / (bound - nothing). grid_error: what the bound's grid adds to it.
    short: what a plan at the bound would have more of the share weighed by the goal. others: what other minutes a day
    come to, these ones among them, ascending (see `enough`); later: weeks more, and what they come to (see there).
    two_weeks_after: share two weeks after the date without a further review; keep_minutes: minutes a day that the
    daily order takes in those two weeks. on_date: recall of each card then, by mind; after: in the mean over them,
    two weeks later. out_of_reach: cards that can't be learned in the time: more likely missed than known on the date.
    rise: (3, days + 1) share at the start of each day and on the date, for plan, daily order, nothing.
    """

    days: tuple[DayPlan, ...]
    expected: float
    daily: float
    daily_value: float
    nothing: float
    bound: float
    certified: bool
    distance: float
    grid_error: float
    short: float
    others: tuple[Outlook, ...]
    later: tuple[int, float] | None
    two_weeks_after: float
    keep_minutes: float
    on_date: list[Floats]
    after: Floats
    out_of_reach: Bools
    rise: Floats


def make_plan(
    minds: Sequence[Mind],
    horizon: Horizon,
    rng: Random,
    *,
    goal: Goal = ALL_POINTS,
    targets: tuple[float, float] = (TARGET, CRITICAL_TARGET),
) -> Plan:
    """Plan the days to the examination.

    minds: how the person may remember, the likeliest first. goal: what for. targets (ordinary, critical): of the
    daily order to compare with. RecallError without cards.
    """
    dice = _dice(minds, rng)
    luck, runs = int(dice.integers(1 << 62)), runs_of(minds, horizon)
    weighed = aimed(minds, horizon, goal, luck)
    values = solved_all(weighed, horizon)
    cards = minds[0].cards
    choose, ours = best_way(minds, weighed, values, horizon, luck, runs, goal)
    usual = played(minds, horizon, daily_order(minds, horizon.minutes, *targets), luck, runs)
    best = bounds_of(weighed, values, horizon)
    tops = best if weighed is minds else bounds_of(minds, solved_all(minds, horizon), horizon)
    top = over(minds, [one.value for one in tops])
    today = _today(minds, horizon, choose, dice)
    # Means over runs scatter, and may land a hair above what is possible.
    each = [min(one.share(horizon.date), own.value) for one, own in zip(ours, tops, strict=True)]
    expected = over(minds, each)
    daily = min(over(minds, [one.share(horizon.date) for one in usual]), top)
    on_date = [one.recall(horizon.date) for one in ours]
    after = over(minds, [one.recall(horizon.date + FORTNIGHT) for one in ours])
    others = other_minutes(minds, values, goal, on_date, luck, max(runs // 3, 2))
    moments = [*map(float, range(horizon.days)), horizon.date]
    still = [share(cards, over(minds, [mind.recall(day) for mind in minds])) for day in moments]
    rises = (over(minds, [one.rise for one in some]) for some in (ours, usual))
    return Plan(
        days=_days(today, ours[0], minds),
        expected=expected,
        daily=daily,
        daily_value=goal.value(minds, [one.recall(horizon.date) for one in usual]),
        nothing=still[-1],
        bound=top,
        certified=all(one.certified for one in tops),
        distance=(top - expected) / (top - still[-1]) if top - still[-1] > 1e-4 else 0.0,
        grid_error=abs(top - min(over(minds, [one.dual for one in values]), 1.0)),
        short=max(
            over(weighed, [one.value for one in best]) - share(weighed[0].cards, over(minds, on_date)), 0.0
        ),
        others=others,
        later=later(minds, weighed, horizon, goal, luck, others),
        two_weeks_after=share(cards, after),
        keep_minutes=ours[0].keep_minutes(FORTNIGHT, *targets),
        on_date=on_date,
        after=after,
        out_of_reach=over(minds, on_date) < LEARNED,
        rise=np.stack([*(np.append(*pair) for pair in zip(rises, (expected, daily), strict=True)), still]),
    )


def plan_today(minds: Sequence[Mind], horizon: Horizon, rng: Random, *, goal: Goal = ALL_POINTS) -> Today:
    """Just today's cards, for planning again from what really happened. Arguments as for `make_plan`."""
    dice = _dice(minds, rng)
    luck = int(dice.integers(1 << 62))
    weighed = aimed(minds, horizon, goal, luck)
    values = solved_all(weighed, horizon)
    runs = max(runs_of(minds, horizon) // 4, 2) if len(minds) > 1 else 1
    choose = best_way(minds, weighed, values, horizon, luck, runs, goal)[0]
    return _today(minds, horizon, choose, dice)


def _dice(minds: Sequence[Mind], rng: Random) -> np.random.Generator:
    if len(minds[0].cards) == 0:
        raise RecallError("there are no cards to plan", "load a deck, or choose another topic")
    return np.random.default_rng(rng.getrandbits(64))


def draw_probes(minds: Sequence[Mind], horizon: Horizon, dice: np.random.Generator) -> Ints:
    """Asked cards drawn at random for today, for a small share of its time: what was never due tells whether the odds
    flatter. Indices (k,)."""
    cards = minds[0].cards
    ready = np.flatnonzero(cards.asked & (cards.since >= 0.5))
    drawn = dice.permutation(ready)
    cost = np.cumsum(expected_seconds(minds, drawn))
    return np.asarray(drawn[cost <= PROBED_SHARE * horizon.seconds[:1].sum()])


def expected_seconds(minds: Sequence[Mind], chosen: Ints) -> Floats:
    """Expected seconds of asking these cards today, in their order. Shape (k,)."""
    cards, recall = minds[0].cards, over(minds, [mind.recall(0.0) for mind in minds])
    return cards.expected(cards.asked, recall)[chosen]


def _today(minds: Sequence[Mind], horizon: Horizon, choose: Choice, dice: np.random.Generator) -> Today:
    probes = draw_probes(minds, horizon, dice)
    if not horizon.days or horizon.seconds[0] == 0.0:
        return Today(probes, probes, probes)
    order = ranked(choose([Run.start(mind.cards) for mind in minds], 0)[0])
    order = order[~np.isin(order, probes)]
    left = horizon.seconds[0] - expected_seconds(minds, probes).sum()
    count = int(np.searchsorted(np.cumsum(expected_seconds(minds, order)), left, side="right"))
    return Today(order[:count], order[count : 2 * count], probes)


def _days(today: Today, runs: Runs, minds: Sequence[Mind]) -> tuple[DayPlan, ...]:
    totals = zip(runs.minutes, runs.reviews, runs.unasked, strict=True)
    days = [DayPlan(chosen, *map(float, total)) for chosen, total in zip(runs.chosen, totals, strict=True)]
    if days:
        cards = np.concatenate([today.probes, today.cards])
        fresh = int((~minds[0].cards.asked[cards]).sum())
        minutes = float(expected_seconds(minds, cards).sum()) / 60.0
        days[0] = DayPlan(cards, minutes, float(len(cards) - fresh), float(fresh))
    return tuple(days)
