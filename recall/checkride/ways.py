"""Prices found for each mind, and ways of choosing played out over all of them."""

from collections.abc import Sequence

import numpy as np

from recall.checkride.bound import Bound, bound
from recall.checkride.goal import Goal
from recall.checkride.model import Floats
from recall.checkride.prices import Worth, problem, solved
from recall.checkride.rollout import Choice, Run, Runs, by_worth, greedy, play
from recall.checkride.state import Horizon, Mind, over

RUN_CARD_DAYS, MOST_RUNS = 400_000, 1000
CAUTION = 0.015
"""What a way that trusts the minds less may fall behind by their own count, and still be taken."""


def runs_of(minds: Sequence[Mind], horizon: Horizon) -> int:
    """How many runs the time allows."""
    least = 4 if len(minds) == 1 else 2
    return int(np.clip(RUN_CARD_DAYS // (len(minds[0].cards) * max(horizon.days, 45)), least, MOST_RUNS))


def solved_all(minds: Sequence[Mind], horizon: Horizon) -> list[Worth]:
    """What reviews are worth to each mind; prices of less likely ones lie near those of the likeliest."""
    first = solved(problem(minds[0], horizon))
    return [first, *(solved(problem(mind, horizon), first.prices, quickly=True) for mind in minds[1:])]


def played(minds: Sequence[Mind], horizon: Horizon, choose: Choice, luck: int, runs: int) -> list[Runs]:
    """What a way of choosing comes to for each mind; equal luck for all ways."""
    return [
        play(minds, true, horizon, choose, np.random.default_rng([luck, true]), runs)
        for true in range(len(minds))
    ]


def best_way(
    minds: Sequence[Mind],
    weighed: Sequence[Mind],
    values: Sequence[Worth],
    horizon: Horizon,
    luck: int,
    runs: int,
    goal: Goal,
) -> tuple[Choice, list[Runs]]:
    """A way of choosing, and what it comes to for each mind. weighed: the minds with the weights that count.

    By what a review is worth with the best that may follow; or by that and what it is worth with nothing after it,
    which hangs less on how the person learns: that one where little is known, unless it comes to clearly less, the
    worth of its time taken off.
    """
    by_price = by_worth(minds, values)
    alone = greedy(weighed, horizon)

    def priced(runs: Sequence[Run], day: int) -> Floats:
        # Where days share a price, it can't tell the last of them apart; hardly anything follows there.
        last = horizon.step > 1 and horizon.block(day) >= horizon.blocks - 2
        return alone(runs, day) if last else by_price(runs, day)

    def both(runs: Sequence[Run], day: int) -> Floats:
        value = (np.maximum(priced(runs, day), 0.0) + np.maximum(alone(runs, day), 0.0)) / 2.0
        return np.where(value > horizon.own_time(day), value, -np.inf)

    def reached(done: list[Runs]) -> float:
        seconds = 60.0 * over(minds, [one.minutes for one in done])
        own = seconds @ horizon.own_time(np.arange(0.0, horizon.days)) / minds[0].cards.weight.sum()
        return goal.value(minds, [one.recall(horizon.date) for one in done]) - float(own)

    bold = played(minds, horizon, priced, luck, runs)
    if len(minds) == 1:
        return priced, bold
    careful = played(minds, horizon, both, luck, runs)
    return (priced, bold) if reached(bold) > reached(careful) + CAUTION else (both, careful)


def bounds_of(minds: Sequence[Mind], values: Sequence[Worth], horizon: Horizon) -> list[Bound]:
    """The bound for each mind."""
    block = horizon.block(np.arange(horizon.days))
    return [
        bound(
            mind.cards,
            mind.model,
            horizon,
            one.given.groups,
            np.where(one.prices > 1.01 * one.given.least, one.prices, 0.0)[block],
        )
        for mind, one in zip(minds, values, strict=True)
    ]
