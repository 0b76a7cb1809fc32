"""Days played out under the memory model, several runs at once: what a way of choosing cards comes to by the date."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from recall.checkride.model import Bools, Floats, Ints, Model
from recall.checkride.prices import Problem, Worth
from recall.checkride.state import CardState, Horizon

CRITICAL_WEIGHT = 2.0


@dataclass(eq=False)
class Run:
    """n cards on their way to the date in r runs, shapes (r, n). reviewed: day of the last review, -1 before."""

    stability: Floats
    difficulty: Floats
    since: Floats
    asked: Bools
    reviewed: Ints

    @classmethod
    def start(cls, cards: CardState, runs: int = 1) -> "Run":
        """The cards as they are today."""
        return cls(
            np.tile(cards.stability, (runs, 1)),
            np.tile(cards.difficulty, (runs, 1)),
            np.tile(cards.since, (runs, 1)),
            np.tile(cards.asked, (runs, 1)),
            np.full((runs, len(cards)), -1, dtype=np.int64),
        )

    def elapsed(self, day: float) -> Floats:
        """Days since the last review, at `day` (days after today)."""
        return np.where(self.reviewed < 0, self.since + day, day - self.reviewed)

    def recall(self, model: Model, day: float) -> Floats:
        """Recall at `day`; unasked: 0."""
        return np.where(self.asked, model.recall(self.elapsed(day), self.stability), 0.0)


# A way of choosing: (run, day) -> how much each card is wanted, (r, n); -inf: not to be asked that day.
Choice = Callable[[Run, int], Floats]


def ranked(wanted: Floats) -> Ints:
    """Cards in the order of asking, all that are wanted at all. wanted: (n,)."""
    order = np.argsort(-wanted, kind="stable")
    return np.asarray(order[: int((wanted > -np.inf).sum())])


def by_worth(given: Problem, value: Worth, cards: CardState) -> Choice:
    """Best buys first: by break-even price per second and weight; nothing that isn't worth its time at all."""
    groups, grid, horizon = given.groups.of, given.grid, given.horizon

    def choose(run: Run, day: int) -> Floats:
        block = int(horizon.block(day))
        price = np.repeat(value.item[block][given.items.of][None], len(run.asked), axis=0)
        price[run.asked & (run.elapsed(day) < 0.5)] = -np.inf
        seen = np.nonzero(run.reviewed >= 0)
        price[seen] = -np.inf
        if block and len(seen[0]):
            gap = block - horizon.block(run.reviewed[seen]) - 1
            states, weights = grid.corners(run.stability[seen], run.difficulty[seen])
            found = value.later[block][np.maximum(gap, 0)[:, None], states, groups[seen[1]][:, None]]
            price[seen] = np.where(gap < 0, -np.inf, (found * weights).sum(axis=1))
        return np.where(price > 0.0, price, -np.inf)

    return choose


def daily_order(
    cards: CardState, model: Model, unasked: int = 20, target: float = 0.90, critical: float = 0.95
) -> Choice:
    """The ordinary daily order: due cards, longest due first, then so many unasked ones a day, critical first."""
    aim = np.where(cards.weight > CRITICAL_WEIGHT, critical, target)
    fresh_order = np.argsort(-cards.weight, kind="stable")

    def choose(run: Run, day: int) -> Floats:
        over = run.elapsed(day) - model.interval(run.stability, aim)
        due = run.asked & (over >= 0.0) & (run.elapsed(day) >= 0.5)
        place = np.empty(run.asked.shape)
        place[:, fresh_order] = np.cumsum(~run.asked[:, fresh_order], axis=1)
        fresh = ~run.asked & (place <= unasked)
        return np.where(due, 2.0 + over, np.where(fresh, 1.0 / (1.0 + place), -np.inf))

    return choose


@dataclass(frozen=True, eq=False)
class Runs:
    """Runs of one way of choosing. rise: mean weighted share of full recall at the start of each day (days,).

    chosen: the first run's cards of each day in their order. minutes, reviews, unasked: means of each day (days,).
    """

    cards: CardState
    model: Model
    end: Run
    rise: Floats
    chosen: list[Ints]
    minutes: Floats
    reviews: Floats
    unasked: Floats

    @property
    def asked(self) -> Floats:
        """How often each card has been asked by the end, 0..1, shape (n,)."""
        return np.asarray(self.end.asked.mean(axis=0))

    def recall(self, day: float) -> Floats:
        """Mean recall of each card at `day`, shape (n,)."""
        return np.asarray(self.end.recall(self.model, day).mean(axis=0))

    def share(self, day: float) -> float:
        """Weighted share of full recall at `day`."""
        return float(self.cards.weight @ self.recall(day) / self.cards.weight.sum())

    def keep_minutes(self, days: int, target: float, critical: float) -> float:
        """Minutes a day of the reviews that come due at these targets in so many days after the last day."""
        aim = np.where(self.cards.weight > CRITICAL_WEIGHT, critical, target)
        cost = self.cards.seconds_missed + (self.cards.seconds - self.cards.seconds_missed) * aim
        until = len(self.minutes) + days
        due = self.end.asked & (self.end.elapsed(until) >= self.model.interval(self.end.stability, aim))
        return float((due @ cost).mean()) / 60.0 / days


def play(
    cards: CardState, model: Model, horizon: Horizon, choose: Choice, rng: np.random.Generator, runs: int
) -> Runs:
    """Play the days. Cards are asked in the order chosen until the day's seconds are used, none after that."""
    run, days = Run.start(cards, runs), horizon.days
    rise, chosen, totals = np.zeros(days), [], np.zeros((3, days))
    for day, budget in enumerate(horizon.seconds):
        recall = run.recall(model, float(day))
        rise[day] = (recall @ cards.weight).mean() / cards.weight.sum()
        wanted = choose(run, day) if budget > 0.0 else np.full(recall.shape, -np.inf)
        order = np.argsort(-wanted, axis=1, kind="stable")
        chance = np.where(run.asked, recall, model.first_right)
        right = rng.random(chance.shape) < chance
        cost = np.where(
            run.asked, np.where(right, cards.seconds, cards.seconds_missed), cards.seconds_unasked
        )
        spent = np.cumsum(np.take_along_axis(cost, order, axis=1), axis=1)
        fits = (spent <= budget) & (np.take_along_axis(wanted, order, axis=1) > -np.inf)
        done = np.zeros(fits.shape, dtype=np.bool_)
        np.put_along_axis(done, order, fits, axis=1)
        chosen.append(order[0][fits[0]])
        fresh = done & ~run.asked
        totals[:, day] = [(cost * done).sum() / 60.0, (done & run.asked).sum(), fresh.sum()]
        _answer(run, model, np.nonzero(done), right[done], chance[done], day)
    minutes, reviews, unasked = totals / runs
    return Runs(cards, model, run, rise, chosen, minutes, reviews, unasked)


def _answer(run: Run, model: Model, at: tuple[Ints, ...], right: Bools, recall: Floats, day: int) -> None:
    """Move these memories on; a missed card is repeated until right on the same day."""
    known = run.asked[at]
    up, down = (move(run.stability[at], run.difficulty[at], recall) for move in (model.right, model.missed))
    new_up, new_down = model.first(), model.first_missed()
    for column, part in ((run.stability, 0), (run.difficulty, 1)):
        later, begun = np.where(right, up[part], down[part]), np.where(right, new_up[part], new_down[part])
        column[at] = np.where(known, later, begun)
    run.asked[at] = True
    run.reviewed[at] = day
