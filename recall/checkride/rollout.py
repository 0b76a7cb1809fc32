"""Days played out under the memory model, several runs at once: what a way of choosing cards comes to by the date."""

from collections.abc import Callable, Sequence

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.model import Bools, Floats, Ints, Model
from recall.checkride.prices import Worth
from recall.checkride.state import CardState, Horizon, Mind, over, share
from recall.schedule.batch import intervals
from recall.schedule.load import LOOK, first_after, room
from recall.schedule.model import CRITICAL_TARGET, TARGET

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


# A way of choosing: (the same runs as each mind has them, day) -> how much each card is wanted, (r, n); -inf: not to
# be asked that day.
Choice = Callable[[Sequence[Run], int], Floats]


def ranked(wanted: Floats) -> Ints:
    """Cards in the order of asking, all that are wanted at all. wanted: (n,)."""
    order = np.argsort(-wanted, kind="stable")
    return np.asarray(order[: int((wanted > -np.inf).sum())])


def by_worth(minds: Sequence[Mind], values: Sequence[Worth]) -> Choice:
    """Best buys first, by break-even price per second, the mean over the minds; nothing that isn't worth the time."""

    def choose(runs: Sequence[Run], day: int) -> Floats:
        with np.errstate(invalid="ignore"):
            price = over(minds, [_price(value, run, day) for value, run in zip(values, runs, strict=True)])
        return np.where(price > values[0].given.horizon.own_time(day), price, -np.inf)

    return choose


def _price(value: Worth, run: Run, day: int) -> Floats:
    given = value.given
    groups, grid, horizon = given.groups.of, given.grid, given.horizon
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
    return price


def greedy(minds: Sequence[Mind], horizon: Horizon) -> Choice:
    """What one review today, and none after it, adds by the date for each second, the mean over the minds."""

    def choose(runs: Sequence[Run], day: int) -> Floats:
        gain = over(
            minds, [_gain(mind, run, day, horizon.date) for mind, run in zip(minds, runs, strict=True)]
        )
        asked_today = runs[0].asked & (runs[0].elapsed(day) < 0.5)
        return np.where(~asked_today & (gain > horizon.own_time(day)), gain, -np.inf)

    return choose


def _gain(mind: Mind, run: Run, day: int, date: float) -> Floats:
    cards, model = mind.cards, mind.model
    recall = run.recall(model, day)
    (up, _), (down, _) = model.reviewed(run.asked, run.stability, run.difficulty, recall)
    chance = np.where(run.asked, recall, model.first_right)
    after = chance * model.recall(date - day, up) + (1.0 - chance) * model.recall(date - day, down)
    return np.asarray(cards.weight * (after - run.recall(model, date)) / cards.expected(run.asked, recall))


def daily_order(
    minds: Sequence[Mind], minutes: Sequence[float], target: float = TARGET, critical: float = CRITICAL_TARGET
) -> Choice:
    """The ordinary daily order: due cards, critical and longest due first, and as many unasked ones as the minutes of
    the days have room for, topic after topic, critical ones of a topic first; while there are such, what is due comes
    behind them until it is as likely lost as kept. minutes: of each day."""
    cards = minds[0].cards
    strict = cards.weight > CRITICAL_WEIGHT
    aim = np.where(strict, critical, target)
    in_turn = np.lexsort((~strict, cards.topic))
    each, late = float(np.mean(cards.seconds)), np.where(strict, first_after(True), first_after(False))

    def choose(runs: Sequence[Run], day: int) -> Floats:
        run = runs[0]
        elapsed = run.elapsed(day)
        due_in = intervals(run.stability, aim, strict) - elapsed
        first_in = np.maximum(np.floor(run.stability * late) + 1.0 - elapsed, due_in)
        in_days = np.where(run.asked, np.clip(first_in, 0.0, LOOK + 1.0), LOOK + 1.0).astype(np.int64)
        begin = np.array(
            [
                room(minutes[day], each, np.bincount(own, minlength=LOOK + 2)[: LOOK + 1].tolist())
                for own in in_days
            ]
        )
        place = np.empty(run.asked.shape)
        place[:, in_turn] = np.cumsum(~run.asked[:, in_turn], axis=1)
        fresh = ~run.asked & (place <= begin[:, None])
        waits = run.asked & (elapsed >= 0.5)
        due = waits & (due_in <= 0.0)
        first = due & ((first_in <= 0.0) | ~fresh.any(axis=1, keepdims=True))
        # Of what is due critical cards first, then the longest due: 1 for the first of them.
        urgent = np.where(due, 1e4 * strict - due_in, -np.inf)
        turn = np.argsort(np.argsort(-urgent, axis=1, kind="stable"), axis=1, kind="stable") + 1.0
        begun = np.where(fresh, 1.0 + 1.0 / (1.0 + place), -np.inf)
        return np.where(due, np.where(first, 2.0, 0.0) + 1.0 / turn, begun)

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

    def recall(self, day: float) -> Floats:
        """Mean recall of each card at `day`, shape (n,)."""
        return np.asarray(self.end.recall(self.model, day).mean(axis=0))

    def share(self, day: float) -> float:
        """Weighted share of full recall at `day`."""
        return share(self.cards, self.recall(day))

    def keep_minutes(self, days: int, target: float, critical: float) -> float:
        """Minutes a day of the reviews that come due at these targets in so many days after the last day."""
        strict = self.cards.weight > CRITICAL_WEIGHT
        aim, until = np.where(strict, critical, target), len(self.minutes) + days
        waits = intervals(self.end.stability, aim, strict, self.model.parameters)
        due = self.end.asked & (self.end.elapsed(until) >= waits)
        return float((due @ self.cards.expected(True, aim)).mean()) / 60.0 / days


def play(
    minds: Sequence[Mind], true: int, horizon: Horizon, choose: Choice, rng: np.random.Generator, runs: int
) -> Runs:
    """Play the days for a person who remembers as `minds[true]`, while the choice knows all minds but not which.

    Cards are asked in the order chosen until one might not fit into the day's seconds, none after that.
    """
    states = [Run.start(mind.cards, runs) for mind in minds]
    run, (cards, model), days = states[true], (minds[true].cards, minds[true].model), horizon.days
    rise, chosen, totals = np.zeros(days), [], np.zeros((3, days))
    for day, budget in enumerate(horizon.seconds):
        recall = run.recall(model, float(day))
        rise[day] = (recall @ cards.weight).mean() / cards.weight.sum()
        wanted = choose(states, day) if budget > 0.0 else np.full(recall.shape, -np.inf)
        order = np.argsort(-wanted, axis=1, kind="stable")
        chance = np.where(run.asked, recall, model.first_right)
        right = rng.random(chance.shape) < chance
        dearest = np.where(run.asked, np.maximum(cards.seconds, cards.seconds_missed), cards.seconds_unasked)
        cost = np.where(
            run.asked, np.where(right, cards.seconds, cards.seconds_missed), cards.seconds_unasked
        )
        cost, dearest = (np.take_along_axis(column, order, axis=1) for column in (cost, dearest))
        fits = np.cumsum(cost, axis=1) - cost + dearest <= budget + 1e-9
        fits &= np.take_along_axis(wanted, order, axis=1) > -np.inf
        fits = np.logical_and.accumulate(fits, axis=1)
        done = np.zeros(fits.shape, dtype=np.bool_)
        np.put_along_axis(done, order, fits, axis=1)
        chosen.append(order[0][fits[0]])
        fresh = done & ~run.asked
        totals[:, day] = [(cost * fits).sum() / 60.0, (done & run.asked).sum(), fresh.sum()]
        for mind, state in zip(minds, states, strict=True):
            _answer(
                state, mind.model, np.nonzero(done), right[done], state.recall(mind.model, day)[done], day
            )
    return Runs(cards, model, run, rise, chosen, *totals / runs)


def _answer(run: Run, model: Model, at: tuple[Ints, ...], right: Bools, recall: Floats, day: int) -> None:
    """Move these memories on; a missed card is repeated until right on the same day."""
    up, down = model.reviewed(run.asked[at], run.stability[at], run.difficulty[at], recall)
    run.stability[at], run.difficulty[at] = (np.where(right, *pair) for pair in zip(up, down, strict=True))
    run.asked[at] = True
    run.reviewed[at] = day
