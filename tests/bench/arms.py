"""Ways of choosing what to review, each from the log of answers alone, all with the same seconds a day.

An arm is a function (view) -> rounds: arrays of distinct cards, asked one after the other until the seconds are used.
"""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from recall.checkride.learner import Log, fits, remembered
from recall.checkride.model import Model
from recall.checkride.plan import PROBED_SHARE, draw_probes, plan_today
from recall.checkride.rollout import Run, daily_order, greedy, ranked
from recall.checkride.state import CardState, Horizon, Mind, used_share
from recall.schedule.model import CRITICAL_TARGET, TARGET

Ints = NDArray[np.int64]


@dataclass
class View:
    """What an arm may see on a day. card, when, mark: the log so far; day counts from the first day of the plan;
    guess: chance of guessing each card; used: seconds of the days so far; drawn: cards
    drawn at random, and when; targets: of the daily order."""

    count: int
    day: int
    days: int
    seconds: float
    weight: NDArray[np.float64]
    card: list[Ints]
    when: list[Ints]
    mark: list[Ints]
    dice: np.random.Generator
    guess: NDArray[np.float64]
    used: list[float] = field(default_factory=list)
    drawn: list[tuple[int, int]] = field(default_factory=list)
    targets: tuple[float, float] = (TARGET, CRITICAL_TARGET)
    kept: dict[str, Any] = field(default_factory=dict)

    def log(self) -> Log:
        """The answers so far."""
        columns = (
            np.concatenate([np.empty(0, np.int64), *part]) for part in (self.card, self.when, self.mark)
        )
        log = Log(*columns)
        return Log(log.card, log.day, log.mark, self.guess[log.card])

    def states(self, model: Model) -> CardState:
        """The cards' memories under a model."""
        holds, difficulty, since, asked = remembered(self.log(), model, self.count, self.day)
        return CardState.of(holds, difficulty, since, asked, weight=self.weight)


Arm = Callable[[View], list[Ints]]


def minds(view: View) -> tuple[Mind, ...]:
    """How the person may remember by the answers so far."""
    return tuple(Mind(view.states(one.model), one.model, one.weight) for one in fits(view.log()))


def horizon_of(view: View) -> Horizon:
    """The days left with the minutes that were really used."""
    share = used_share([(used, view.seconds) for used in view.used])
    return Horizon((view.seconds / 60.0,) * (view.days - view.day)).times(share * (1.0 - PROBED_SHARE))


def plan(view: View) -> list[Ints]:
    """The plan for the date, fitted to the answers each day."""
    today = plan_today(minds(view), horizon_of(view), Random(int(view.dice.integers(1 << 30))))
    view.drawn += [(card, view.day) for card in today.probes.tolist()]
    return [np.concatenate([today.probes, today.cards, today.reserve])]


def greedily(view: View) -> list[Ints]:
    """What one review adds by the date for each second, with the same fit and probes."""
    known, horizon = minds(view), horizon_of(view)
    probes = draw_probes(known, horizon, view.dice)
    view.drawn += [(card, view.day) for card in probes.tolist()]
    order = ranked(greedy(known, horizon)([Run.start(mind.cards) for mind in known], 0)[0])
    return [np.concatenate([probes, order[~np.isin(order, probes)]])]


def oracle(view: View) -> list[Ints]:
    """What nobody can do: the greedy choice by the learner's true memory, the limit of any lead. Under the
    scheduler's own form of memory the planner's prices for it, which look further than one review."""
    world, asked, date = view.kept["world"], view.kept["asked"], view.days + view.kept["hour"]
    if view.kept["model"] is not None:
        cards = CardState.of(
            np.where(asked, world.holds, 1.0), world.difficulty, np.where(asked, view.day - world.last, 0), asked,
            weight=view.weight,
        )  # fmt: skip
        today = plan_today(
            [Mind(cards, view.kept["model"])],
            Horizon((view.seconds / 60.0,) * (view.days - view.day)),
            Random(int(view.dice.integers(1 << 30))),
        )
        return [np.concatenate([today.cards, today.reserve])]
    at = np.arange(view.count)
    recall = np.where(asked, world.chance(at, view.day), world.first_chance(at))
    stays = np.where(asked, world.chance(at, date), 0.0)
    after = []
    for right in (True, False):
        other = deepcopy(world)
        other.answered(at, np.full(view.count, right), view.day)
        after.append(other.chance(at, date))
    gain = recall * after[0] + (1.0 - recall) * after[1] - stays
    cost = np.where(asked, 20.0 - 10.0 * recall, 20.0)
    return [ranked(np.where(gain > 0.0, view.weight * gain / cost, -np.inf))]


def daily(view: View, *, fill: bool = True) -> list[Ints]:
    """The daily order as the product has it. fill: where that ends before the time does, more unasked ones and
    what is recalled least."""
    mind = Mind(view.states(Model()), Model())
    choose = daily_order([mind], (view.seconds / 60.0,), *view.targets)
    order = ranked(choose([Run.start(mind.cards)], 0)[0])
    if not fill:
        return [order]
    cards = mind.cards
    rest = np.setdiff1d(np.flatnonzero(cards.asked & (cards.since >= 0.5)), order)
    weakest = rest[np.argsort(mind.recall(0.0)[rest], kind="stable")]
    unasked = np.setdiff1d(np.flatnonzero(~cards.asked), order)
    return [np.concatenate([order, unasked, weakest])]


def boxes(view: View) -> list[Ints]:
    """Leitner 1972: a right answer moves a card up a box, a miss back to the first; box k waits 2**(k - 1) days."""
    log = view.log()
    box, last = np.zeros(view.count, dtype=np.int64), np.full(view.count, -1_000_000)
    for card, when, mark in zip(log.card, log.day, log.mark, strict=True):
        if when > last[card]:
            box[card] = box[card] + 1 if mark > 1 else 1
        last[card] = when
    over = view.day - last - 2.0 ** np.maximum(box - 1, 0)
    ready = np.flatnonzero((box > 0) & (over >= 0) & (last < view.day))
    fresh = np.flatnonzero(box == 0)
    rest = np.flatnonzero((box > 0) & (over < 0) & (last < view.day))
    order = [
        ready[np.argsort(-over[ready], kind="stable")],
        fresh,
        rest[np.argsort(-over[rest], kind="stable")],
    ]
    return [np.concatenate(order)]


def massed(view: View) -> list[Ints]:
    """Each day its share of the deck, over and over."""
    share = np.array_split(np.arange(view.count), view.days)[view.day]
    return [share] * 40


def at_random(view: View) -> list[Ints]:
    """All cards in random order."""
    return [view.dice.permutation(view.count)]


def lowest(view: View) -> list[Ints]:
    """Lowest predicted recall first, unasked ones before all."""
    cards = view.states(Model())
    return [np.argsort(Mind(cards, Model()).recall(0.0), kind="stable")]


ARMS: dict[str, Arm] = {
    "plan": plan,
    "greedy": greedily,
    "daily": daily,
    "boxes": boxes,
    "massed": massed,
    "random": at_random,
    "lowest": lowest,
    "oracle": oracle,
}
