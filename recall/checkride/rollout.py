"""Days played out under the memory model: what a way of choosing cards comes to by the date."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from recall.checkride.model import Bools, Floats, Ints, Model
from recall.checkride.prices import Problem, Worth
from recall.checkride.state import CardState, Horizon

CRITICAL_WEIGHT = 2.0


@dataclass(eq=False)
class Run:
    """n cards on their way to the date. reviewed: day of the last review in this run, -1 before the first."""

    stability: Floats
    difficulty: Floats
    since: Floats
    asked: Bools
    reviewed: Ints

    @classmethod
    def start(cls, cards: CardState) -> "Run":
        """The cards as they are today."""
        first = np.full(len(cards), -1, dtype=np.int64)
        return cls(
            cards.stability.copy(), cards.difficulty.copy(), cards.since.copy(), cards.asked.copy(), first
        )

    def elapsed(self, day: float) -> Floats:
        """Days since the last review, at `day` (days after today)."""
        return np.where(self.reviewed < 0, self.since + day, day - self.reviewed)

    def recall(self, model: Model, day: float) -> Floats:
        """Recall at `day`; unasked: 0."""
        return np.where(self.asked, model.recall(self.elapsed(day), self.stability), 0.0)


@dataclass(frozen=True, eq=False)
class Day:
    """A played day: chosen cards in order (k,), their seconds (k,), which of them were unasked (k,)."""

    cards: Ints
    seconds: Floats
    unasked: Bools


# A way of choosing: (run, day) -> cards in order, all that may be asked that day.
Choice = Callable[[Run, int], Ints]


def play(
    cards: CardState,
    model: Model,
    horizon: Horizon,
    choose: Choice,
    rng: np.random.Generator,
    rise: Floats | None = None,
) -> tuple[Run, list[Day]]:
    """Play the days once. Cards are asked in the order chosen until the day's seconds are used.

    rise: (days,), filled with the weighted share of full recall at the start of each day.
    """
    run, played = Run.start(cards), []
    for day, budget in enumerate(horizon.seconds):
        if rise is not None:
            rise[day] = cards.weight @ run.recall(model, float(day)) / cards.weight.sum()
        if budget <= 0.0:
            played.append(Day(np.empty(0, dtype=np.int64), np.empty(0), np.empty(0, dtype=np.bool_)))
            continue
        order = choose(run, day)
        recall = np.where(
            run.asked[order], model.recall(run.elapsed(day)[order], run.stability[order]), model.first_right
        )
        right = rng.random(len(order)) < recall
        known = run.asked[order]
        seconds = np.where(
            known,
            np.where(right, cards.seconds[order], cards.seconds_missed[order]),
            cards.seconds_unasked[order],
        )
        fits = np.cumsum(seconds) <= budget
        order, right, known, seconds = order[fits], right[fits], known[fits], seconds[fits]
        played.append(Day(order, seconds, ~known))
        answer(run, model, order, right, recall[fits], day)
    return run, played


def answer(run: Run, model: Model, order: Ints, right: Bools, recall: Floats, day: int) -> None:
    """Move the memories of these cards on; a missed card is repeated until right on the same day."""
    stability, difficulty, known = run.stability[order], run.difficulty[order], run.asked[order]
    up, down = model.right(stability, difficulty, recall), model.missed(stability, difficulty, recall)
    new_up, new_down = model.first(), model.first_missed()
    run.stability[order] = np.where(
        known, np.where(right, up[0], down[0]), np.where(right, new_up[0], new_down[0])
    )
    run.difficulty[order] = np.where(
        known, np.where(right, up[1], down[1]), np.where(right, new_up[1], new_down[1])
    )
    run.asked[order] = True
    run.reviewed[order] = day


def by_worth(given: Problem, value: Worth, cards: CardState) -> Choice:
    """Best buys first: by break-even price per second, times weight; nothing that isn't worth its time at all."""
    groups, grid, horizon = given.groups.of, given.grid, given.horizon

    def choose(run: Run, day: int) -> Ints:
        block = int(horizon.block(day))
        price = value.item[block][given.items.of].copy()
        price[run.asked & (run.elapsed(day) < 0.5)] = -np.inf
        seen = np.flatnonzero(run.reviewed >= 0)
        if len(seen):
            gap = block - horizon.block(run.reviewed[seen]) - 1
            states, weights = grid.corners(run.stability[seen], run.difficulty[seen])
            table = value.later[block]
            early = gap < 0
            found = (
                table[groups[seen][:, None], np.where(early, 0, gap)[:, None], states] if block else weights
            )
            price[seen] = np.where(early, -np.inf, (found * weights).sum(axis=1))
        wanted = np.flatnonzero(price > 0.0)
        return wanted[np.argsort(-price[wanted], kind="stable")]

    return choose


def daily_order(
    cards: CardState, model: Model, unasked: int = 20, target: float = 0.90, critical: float = 0.95
) -> Choice:
    """The ordinary daily order: due cards, longest due first, then so many unasked ones a day, critical first."""
    aim = np.where(cards.weight > CRITICAL_WEIGHT, critical, target)
    fresh_order = np.argsort(-cards.weight, kind="stable")

    def choose(run: Run, day: int) -> Ints:
        over = run.elapsed(day) - model.interval(run.stability, aim)
        due = np.flatnonzero(run.asked & (over >= -1e-9))
        due = due[np.argsort(-over[due], kind="stable")]
        fresh = fresh_order[~run.asked[fresh_order]][:unasked]
        return np.concatenate([due, fresh])

    return choose


@dataclass(frozen=True, eq=False)
class Runs:
    """Several runs of one way of choosing, r runs of n cards. rise: mean share at the start of each day (days,).

    chosen: the first run's cards of each day. minutes, reviews, unasked: means of each day. asked: how often each
    card has been asked by the end, 0..1, shape (n,).
    """

    cards: CardState
    model: Model
    days: int
    ends: list[Run]
    rise: Floats
    chosen: list[Ints]
    minutes: list[float]
    reviews: list[float]
    unasked: list[float]
    asked: Floats

    def recall(self, day: float) -> Floats:
        """Mean recall of each card at `day`, shape (n,)."""
        return np.asarray(np.mean([run.recall(self.model, day) for run in self.ends], axis=0))

    def share(self, day: float) -> float:
        """Weighted share of full recall at `day`."""
        return float(self.cards.weight @ self.recall(day) / self.cards.weight.sum())

    def keep_minutes(self, days: int, target: float, critical: float) -> float:
        """Minutes a day of the reviews that come due at these targets in so many days after the last day."""
        aim = np.where(self.cards.weight > CRITICAL_WEIGHT, critical, target)
        cost = self.cards.seconds_missed + (self.cards.seconds - self.cards.seconds_missed) * aim
        due = [
            run.asked & (run.elapsed(self.days + days) >= self.model.interval(run.stability, aim))
            for run in self.ends
        ]
        return float(np.mean([cost[late].sum() for late in due])) / 60.0 / days


def play_often(
    cards: CardState, model: Model, horizon: Horizon, choose: Choice, rng: np.random.Generator, runs: int
) -> Runs:
    """Play the days several times and keep the means."""
    rise = np.zeros((runs, horizon.days))
    ends, played = [], []
    for number in range(runs):
        end, days = play(cards, model, horizon, choose, rng, rise[number])
        ends.append(end)
        played.append(days)

    def mean(of: Callable[[Day], float]) -> list[float]:
        return [float(np.mean([of(days[day]) for days in played])) for day in range(horizon.days)]

    return Runs(
        cards,
        model,
        horizon.days,
        ends,
        rise.mean(axis=0),
        [day.cards for day in played[0]],
        mean(lambda day: float(day.seconds.sum()) / 60.0),
        mean(lambda day: float((~day.unasked).sum())),
        mean(lambda day: float(day.unasked.sum())),
        np.mean([end.asked for end in ends], axis=0),
    )
