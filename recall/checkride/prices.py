"""The price of a second on each day, by Lagrangian relaxation of the days' minutes.

Each card is valued by dynamic programming over its memory: after a review on day t in memory s,

    W_t(s) = best of: stop at recall on the date; or, for a later day u, -price_u * seconds + E[W_u(next memory)].

The dual (sum of card values plus price times seconds of the days) is smoothed by a soft maximum, so that it has an
exact gradient: seconds there are minus seconds that the relaxed plan spends. Values are per unit of weight.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from recall.base.dataclass import dataclass
from recall.checkride.grid import Grid, transition
from recall.checkride.model import Bools, Floats, Ints, Model
from recall.checkride.state import CardState, Classes, Horizon, Mind, classes

SIZE = (40, 5)
"""Stabilities and difficulties on the plan's grid."""
# Softness of the maximum and evaluations of the dual, stage by stage.
FULLY: tuple[tuple[float, int], ...] = ((0.02, 18), (0.004, 14), (0.001, 18), (0.0003, 16))
QUICKLY: tuple[tuple[float, int], ...] = ((0.004, 10), (0.001, 8))
MOST, LEAST = 600.0, -60.0


@dataclass(frozen=True, eq=False)
class Items:
    """Equal beginnings put together: unasked cards of one class are one item; m items.

    weight: total weight (m,). stop: recall on the date (m,). next: sparse (days * m, days * size * classes) chances
    of memories after a review on each day. seconds: (days, m) per weight. closed: (days, m) it can't be asked. of:
    item of each card (n,).
    """

    weight: Floats
    stop: Floats
    next: Any
    seconds: Floats
    closed: Bools
    of: Ints


@dataclass(frozen=True, eq=False)
class Problem:
    """All that stays the same while prices change. A day is one block of the horizon: one day, but for a far date.

    next[u]: sparse (u * size, size) chances of the next memories for a review on day u, one to u days after the last.
    stop: (days, size, 1) recall on the date. seconds: (days, size, classes) per weight, by days since the last review
    less one. there_are: seconds of each day, (days,).
    """

    grid: Grid
    model: Model
    horizon: Horizon
    groups: Classes
    items: Items
    next: list[Any]
    stop: Floats
    seconds: Floats
    there_are: Floats

    @property
    def days(self) -> int:
        """Days (blocks) before the examination."""
        return self.horizon.blocks

    @property
    def least(self) -> Floats:
        """Least prices: of what the person's own time is worth on each day, (days,)."""
        return self.horizon.own_time(self.horizon.block_days)

    @property
    def dear(self) -> float:
        """A price at which nothing is bought: for days off."""
        return 10.0 / float(self.groups.least.min())


def problem(mind: Mind, horizon: Horizon, grid: Grid | None = None) -> Problem:
    """Set up the relaxed problem on a grid."""
    grid = grid or Grid.over(horizon.days, *SIZE)
    cards, model, groups = mind.cards, mind.model, classes(mind.cards)
    days, moments = np.arange(horizon.blocks), horizon.block_days
    recall = model.recall((days + 1.0)[:, None] * horizon.step, np.exp(grid.log_stability))[:, :, None]
    difficulty = np.tile(11.0 - np.exp(grid.ease), len(grid.log_stability))
    chance = np.repeat(recall[:-1, :, 0], len(grid.ease), axis=1)
    outcomes = (review(grid.stability, difficulty, chance) for review in (model.right, model.missed))
    stacked = transition(grid, outcomes, chance)
    next_ = [stacked[: day * grid.size] for day in days.tolist()]
    stop = model.recall(horizon.date - moments[:, None], grid.stability)[:, :, None]
    right, missed = groups.seconds[:, 0], groups.seconds[:, 2]
    seconds = missed + (right - missed) * np.repeat(recall, len(grid.ease), axis=1)
    items = _items(cards, model, horizon, groups, grid)
    return Problem(grid, model, horizon, groups, items, next_, stop, seconds, horizon.block_seconds)


def _items(cards: CardState, model: Model, horizon: Horizon, groups: Classes, grid: Grid) -> Items:
    from scipy.sparse import csr_array  # type: ignore[import-untyped]

    days = horizon.block_days
    asked = np.flatnonzero(cards.asked)
    fresh, first = np.unique(np.where(cards.asked, -1, groups.of), return_index=True)
    one = np.concatenate([asked, first[fresh >= 0]])
    of = np.empty(len(cards), dtype=np.int64)
    of[asked] = np.arange(len(asked))
    of[~cards.asked] = len(asked) + np.searchsorted(fresh[fresh >= 0], groups.of[~cards.asked])
    cost_class, known, since = groups.of[one], cards.asked[one], cards.since[one]
    stability, difficulty = cards.stability[one], cards.difficulty[one]
    weight = np.asarray(np.bincount(of, weights=cards.weight), dtype=np.float64)
    recall = model.recall(since + days[:, None], stability)
    stop = np.where(known, model.recall(since + horizon.date, stability), 0.0)
    right, begun, missed = groups.seconds[cost_class].T
    seconds = np.where(known, missed + (right - missed) * recall, begun)
    closed = np.zeros(seconds.shape, dtype=np.bool_)
    if horizon.step == 1:
        closed[:1] = known & (since < 0.5)
    after = transition(
        grid,
        model.reviewed(known, stability, difficulty, recall),
        np.where(known, recall, model.first_right),
    )
    kinds, entries = len(groups.seconds), len(one) * 8
    states = after.indices * kinds + np.tile(np.repeat(cost_class, 8), len(days))
    states += np.repeat(np.arange(len(days)) * (grid.size * kinds), entries)
    shape = (after.shape[0], len(days) * grid.size * kinds)
    next_ = csr_array((after.data, states.astype(np.int32), after.indptr), shape=shape)
    return Items(weight, stop, next_, seconds, closed, of)


def soft_dual(given: Problem, prices: Floats, soft: float, base: "Worth") -> tuple[float, Floats]:
    """The smoothed dual at these prices (days,), and its gradient by the prices.

    base: at prices near these, from whose values exponents are counted (against overflow).
    """
    days, items = given.days, given.items
    kinds = len(given.groups.seconds)
    odds = np.exp(_within((given.stop - base.after) / soft))
    after = np.empty(odds.shape)
    chosen: list[Floats] = [np.empty(0)] * days
    for day in range(days - 1, -1, -1):
        after[day] = base.after[day] + soft * np.log(odds[day])
        if day:
            value = (given.next[day] @ after[day]).reshape(day, -1, kinds)
            value -= prices[day] * given.seconds[:day]
            value -= base.after[day - 1 :: -1]
            value /= soft
            chosen[day] = np.exp(_within(value), out=value)
            odds[day - 1 :: -1] += value
    gain = (items.next @ after.reshape(-1)).reshape(items.seconds.shape) - prices[:, None] * items.seconds
    begun = np.where(items.closed, 0.0, np.exp(_within((gain - base.start) / soft)))
    item_odds = np.exp(_within((items.stop - base.start) / soft)) + begun.sum(axis=0)
    total = float(items.weight @ (base.start + soft * np.log(item_odds)) + prices @ given.there_are)
    begun *= items.weight / item_odds
    gradient = given.there_are - (begun * items.seconds).sum(axis=1)
    flow = (items.next.T @ begun.reshape(-1)).reshape(odds.shape)
    for day in range(days):
        if day:
            again = chosen[day]
            again *= flow[day - 1 :: -1]
            gradient[day] -= np.einsum("gsk,gsk->", again, given.seconds[:day])
            flow[day] += given.next[day].T @ again.reshape(-1, kinds)
        flow[day] /= odds[day]
    return total, gradient


def _within(exponent: Floats) -> Floats:
    return np.clip(exponent, LEAST, MOST, out=exponent)


def solved(given: Problem, near: Floats | None = None, *, quickly: bool = False) -> "Worth":
    """What reviews are worth at the best prices: the minimum of the smoothed dual, by L-BFGS. near: prices that are
    nearly right."""
    from scipy.optimize import minimize  # type: ignore[import-untyped]

    if given.days == 0:
        return worth(given, np.zeros(0))
    total = float(given.items.weight.sum())
    unit = 1.0 / float(given.groups.seconds.mean())
    prices = scaled(given, near)
    lowest = np.where(given.there_are == 0.0, given.dear, given.least)
    limits = [(low / unit, given.dear / unit) for low in lowest.tolist()]
    for soft, most in QUICKLY if quickly else FULLY:
        base = worth(given, prices)

        def dual(scaled: Floats, soft: float = soft, base: Worth = base) -> tuple[float, Floats]:
            value, gradient = soft_dual(given, scaled * unit, soft, base)
            return value / total, gradient * unit / total

        found = minimize(
            dual, prices / unit, jac=True, method="L-BFGS-B", bounds=limits,
            options={"maxfun": most, "maxiter": most, "ftol": 1e-7, "gtol": 1e-7, "maxcor": 20},
        )  # fmt: skip
        prices = np.asarray(found.x) * unit
    return worth(given, prices)


def scaled(given: Problem, start: Floats | None = None) -> Floats:
    """The best multiple of some prices (flat ones without `start`), by the hard dual."""
    from scipy.optimize import minimize_scalar

    off = given.there_are == 0.0
    prices = np.full(given.days, 0.1 / float(given.groups.seconds.mean())) if start is None else start

    def at(power: float) -> Floats:
        return np.where(off, given.dear, np.clip(prices * 2.0**power, given.least, given.dear))

    if off.all():
        return at(0.0)
    found = minimize_scalar(
        lambda power: worth(given, at(power)).dual,
        bounds=(-6.0, 6.0),
        method="bounded",
        options={"maxiter": 11},
    )
    return at(found.x)


@dataclass(frozen=True, eq=False)
class Worth:
    """Break-even prices per second at the prices of the days: a card is bought while its own is above the day's.

    prices: per second and unit of weight (days,). item: (days, m), -inf where it can't be asked. later[u]: (u, size,
    classes) for a card last reviewed one to u days before day u. dual: the hard dual, over total weight.
    after, start: values per weight of going on best, (days, size, classes) after a review on a day, (m,) from now.
    """

    given: Problem
    prices: Floats
    item: Floats
    later: list[NDArray[np.float32]]
    dual: float
    after: Floats
    start: Floats


def worth(given: Problem, prices: Floats) -> Worth:
    """Value all cards at these prices and give what each review is worth on each day."""
    days, items = given.days, given.items
    kinds = len(given.groups.seconds)
    best = np.repeat(given.stop, kinds, axis=2)
    later = [np.empty((0, given.grid.size, kinds), dtype=np.float32)] * days
    for day in range(days - 1, 0, -1):
        value = (given.next[day] @ best[day]).reshape(day, -1, kinds)
        before = best[day - 1 :: -1]
        value -= before
        later[day] = (value / given.seconds[:day]).astype(np.float32)
        value -= prices[day] * given.seconds[:day]
        before += np.maximum(value, 0.0, out=value)
    gain = (items.next @ best.reshape(-1)).reshape(items.seconds.shape)
    item = np.empty(gain.shape)
    item_best = items.stop.copy()
    for day in range(days - 1, -1, -1):
        item[day] = np.where(items.closed[day], -np.inf, (gain[day] - item_best) / items.seconds[day])
        now = np.where(items.closed[day], 0.0, gain[day] - prices[day] * items.seconds[day] - item_best)
        item_best = item_best + np.maximum(now, 0.0)
    total = float(items.weight @ item_best + prices @ given.there_are)
    return Worth(given, prices, item, later, total / float(items.weight.sum()), best, item_best)
