"""Prices found for each mind, and ways of choosing played out over all of them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from recall.checkride.bound import Bound, bound
from recall.checkride.grid import Grid
from recall.checkride.model import Floats
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
from recall.checkride.rollout import Choice, Runs, by_worth, greedy, play
from recall.checkride.state import Horizon, Mind, classes, over, share

GRIDS = (60, 8), (32, 5)
RUN_CARD_DAYS, MOST_RUNS = 400_000, 1000


def runs_of(minds: Sequence[Mind], horizon: Horizon) -> int:
    """How many runs the time allows."""
    return int(np.clip(RUN_CARD_DAYS // (len(minds[0].cards) * max(horizon.days, 45)), 4, MOST_RUNS))


def grid_of(horizon: Horizon, which: int) -> Grid:
    """The fine grid (0) or the rough one (1)."""
    return Grid.over(horizon.days, *GRIDS[which])


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


def solved_for(mind: Mind, horizon: Horizon, *, near: Floats | None = None, polish: bool = False) -> Solved:
    """Prices and worth for one mind. near: prices that are nearly right; polish: prices made better on the fine grid,
    for the bound."""
    cards, model = mind.cards, mind.model
    given, rough = (
        problem(cards, model, horizon, classes(cards), grid_of(horizon, which)) for which in (0, 1)
    )
    tried = [solve(rough, scaled(rough, near), ROUGH if near is None else OTHER_MINUTES)]
    if polish:
        tried.append(solve(given, tried[0], POLISH))
    value, prices = min(((worth(given, some), some) for some in tried), key=lambda pair: pair[0].dual)
    return Solved(given, rough, value, prices)


def played(minds: Sequence[Mind], horizon: Horizon, choose: Choice, luck: int, runs: int) -> list[Runs]:
    """What a way of choosing comes to for each mind; equal luck for all ways."""
    return [
        play(minds, true, horizon, choose, np.random.default_rng([luck, true]), runs)
        for true in range(len(minds))
    ]


def best_way(
    minds: Sequence[Mind],
    weighed: Sequence[Mind],
    solved: Sequence[Solved],
    horizon: Horizon,
    luck: int,
    runs: int,
) -> tuple[Choice, list[Runs]]:
    """The way of choosing that does best over the minds, and what it comes to: by prices, or greedily. weighed: the
    minds with the weights that count."""
    ways = [by_worth(minds, [(one.given, one.value) for one in solved])]
    if len(minds) > 1:
        ways.append(greedy(weighed, horizon.date))
    tried = [(way, played(minds, horizon, way, luck, runs)) for way in ways]

    def reached(pair: tuple[Choice, list[Runs]]) -> float:
        return share(weighed[0].cards, over(minds, [one.recall(horizon.date) for one in pair[1]]))

    return max(tried, key=reached)


def bounds_of(minds: Sequence[Mind], solved: Sequence[Solved], horizon: Horizon) -> list[Bound]:
    """The bound for each mind."""
    return [
        bound(mind.cards, mind.model, horizon, one.given.groups, one.by_day(horizon))
        for mind, one in zip(minds, solved, strict=True)
    ]
