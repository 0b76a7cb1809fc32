"""How to reach a goal: cards weighed by what they add to it, the minutes that would be enough, a later date."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from recall.base.dataclass import dataclass, replace
from recall.checkride.goal import Goal, Recall
from recall.checkride.model import Floats
from recall.checkride.prices import Worth, problem, scaled, solved, worth
from recall.checkride.rollout import by_worth
from recall.checkride.state import FARTHEST, Horizon, Mind
from recall.checkride.ways import played, runs_of

AIMED = 4
WEEK = 7
HARDLY = 0.05
LADDER, MOST_MINUTES, LEAST_MINUTES = 1.8, 300.0, 1.0
"""Other minutes a day that are tried: each so many times the last, within what anybody keeps up."""


@dataclass(frozen=True, eq=False)
class Outlook:
    """What so many times the minutes a day come to. value: of the goal; recalls: on the date, by mind."""

    times: float
    value: float
    recalls: list[Floats]


def aimed(minds: Sequence[Mind], horizon: Horizon, goal: Goal, luck: int) -> Sequence[Mind]:
    """The minds with cards weighed by what they add to the goal, as the likeliest reaches it by a plan so weighed;
    by their own weights, where no others bring more."""
    alone = [replace(minds[0], weight=1.0)]
    best = tried = minds
    most, weight = -1.0, minds[0].cards.weight
    if isinstance(goal, Recall):
        return minds
    for _ in range(AIMED):
        recalls = roughly(alone, tried[:1], horizon, luck)
        if (value := goal.value(alone, recalls)) > most:
            best, most = tried, value
        # Half way in logarithms: the whole way would swing between what is safe and what isn't.
        weight = np.sqrt(weight * goal.weights(alone, recalls))
        tried = [replace(mind, cards=replace(mind.cards, weight=weight)) for mind in minds]
    return best


def roughly(minds: Sequence[Mind], weighed: Sequence[Mind], horizon: Horizon, luck: int) -> list[Floats]:
    """Recall of each card on the date for each mind, by rough prices and in few runs."""
    choose = by_worth(minds, [solved(problem(mind, horizon), quickly=True) for mind in weighed])
    runs = max(runs_of(minds, horizon) // 3, 4)
    return [one.recall(horizon.date) for one in played(minds, horizon, choose, luck, runs)]


def other_minutes(
    minds: Sequence[Mind], values: Sequence[Worth], goal: Goal, on_date: list[Floats], luck: int, runs: int
) -> tuple[Outlook, ...]:
    """Other minutes a day, ascending, until both ends of the goal's levels are passed or nobody could keep them up.
    on_date: recall with these minutes."""
    horizon, found = values[0].given.horizon, [Outlook(1.0, goal.value(minds, on_date), on_date)]
    if not any(horizon.minutes):
        return tuple(found)
    most, least = (minutes / max(horizon.minutes) for minutes in (MOST_MINUTES, LEAST_MINUTES))

    def at(times: float) -> Outlook:
        changed = horizon.times(times, today=True)
        others = []
        for one in values:
            given = replace(one.given, horizon=changed, there_are=changed.block_seconds)
            others.append(worth(given, scaled(given, one.prices)))
        done = played(minds, changed, by_worth(minds, others), luck, runs)
        recalls = [one.recall(horizon.date) for one in done]
        return Outlook(times, goal.value(minds, recalls), recalls)

    while found[-1].value < goal.levels[-1] and found[-1].times * LADDER <= most:
        found.append(at(found[-1].times * LADDER))
    while found[0].value > goal.levels[0] and found[0].times / LADDER >= least:
        found.insert(0, at(found[0].times / LADDER))
    return tuple(found)


def enough(others: Sequence[Outlook], level: float) -> float | None:
    """Times the minutes with which a goal is reached, in proportion between two that were tried; None where no tried
    ones reach it, the fewest where all do."""
    if others[0].value >= level:
        return others[0].times
    for few, many in pairwise(others):
        if few.value < level <= many.value:
            part = (level - few.value) / (many.value - few.value)
            return float(few.times * (many.times / few.times) ** part)
    return None


def later(
    minds: Sequence[Mind],
    weighed: Sequence[Mind],
    horizon: Horizon,
    goal: Goal,
    luck: int,
    others: Sequence[Outlook],
) -> tuple[int, float] | None:
    """How many weeks more like the last would help, and what the goal comes to then, roughly: a week, or as many as
    add up to the minutes that would be enough for the goal's first level, doubled while that is HARDLY anything. None
    where there is no need or no such date. others: other minutes a day."""
    times, last = enough(others, goal.levels[0]) or others[-1].times, horizon.minutes[-WEEK:]
    hopeful = all(one.value >= HARDLY for one in others if one.times == 1.0)
    if not any(last) or (hopeful and others[-1].value >= goal.levels[-1]):
        return None
    weeks, found = max(1, round((times - 1.0) * horizon.days / WEEK)), None
    while horizon.days + weeks * WEEK <= FARTHEST and (found is None or found[1] < HARDLY):
        longer = replace(horizon, minutes=horizon.minutes + (last * (weeks * WEEK))[: weeks * WEEK])
        found = weeks, goal.value(minds, roughly(minds, weighed, longer, luck))
        weeks *= 2
    return found
