"""An upper bound on what any plan can reach, certified at given prices.

At any prices the dual is at least the best plan's value. It stays so on a grid when every memory is moved to one
that is worth at least as much: higher stability, lower difficulty. That is so while the model is monotone (a better
memory before a review is a better one after it), which is checked for the model at hand; a right answer is made to
leave a memory at least as good as a missed one.
"""

from itertools import pairwise
from typing import Any

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.grid import Grid
from recall.checkride.model import Floats, Ints, Model
from recall.checkride.state import FARTHEST, CardState, Classes, Horizon

FINE = ((30, (2160, 40)), (60, (1080, 40)), (120, (600, 32)), (FARTHEST, (80, 12)))
"""Stabilities and difficulties up to so many days: what rounding stabilities up adds is most of the grid's error."""
SLACK = 5e-5
AT_ONCE = 8
"""Gaps in one step: what fits the processor's cache."""


@dataclass(frozen=True)
class Bound:
    """value: no plan's expected weighted share of full recall is above it. certified: the model is monotone."""

    value: float
    certified: bool


def bound(
    cards: CardState,
    model: Model,
    horizon: Horizon,
    groups: Classes,
    prices: Floats,
    fine: tuple[int, int] | None = None,
) -> Bound:
    """The dual at these prices (days,) with memories rounded up on a grid of so many stabilities and difficulties."""
    days = horizon.days
    grid = Grid.over(days, *(fine or next(size for most, size in FINE if days <= most)))
    ups, downs, certified = _steps(grid, model, max(days - 1, 0))
    stability, wide = np.exp(grid.log_stability), len(grid.ease)
    recalls = np.repeat(model.recall(np.arange(1, max(days, 1))[:, None], stability), wide, axis=1)
    recalls = recalls.astype(np.float32)  # SLACK is above what that rounds off
    begun = [int(grid.above(*memory)[0]) for memory in (model.first(), model.first_missed())]
    first_chances = np.array([model.first_right, 1.0 - model.first_right])
    there_are = horizon.seconds
    total = float(prices @ there_are)
    for kind, (right, first, missed) in enumerate(groups.least):
        here = np.flatnonzero(groups.of == kind)
        best: Any = np.ones((days, grid.size + 1), dtype=np.float32)
        for day in range(days):
            best[day, :-1] = np.repeat(model.recall(horizon.date - day, stability), wide)
        for day in range(days - 1, 0, -1):
            after = best[day]
            if there_are[day] == 0.0:
                continue
            for low, high in pairwise([*range(0, day, AT_ONCE), day]):
                value, up = (after.take(states[low:high], mode="clip") for states in (downs, ups))
                up -= value
                up -= float(prices[day] * (right - missed))
                up *= recalls[low:high]
                value += up
                value -= float(prices[day] * missed)
                earlier = best[day - high : day - low, :-1][::-1]
                np.maximum(earlier, value, out=earlier)
        holds, difficulty, since = cards.stability[here], cards.difficulty[here], cards.since[here]
        value = np.where(cards.asked[here], model.recall(since + horizon.date, holds), 0.0)
        for day in np.flatnonzero(there_are).tolist():
            recall = model.recall(since + day, holds)
            outcomes = _outcomes(model, holds, difficulty, recall)
            up, down = (best[day, grid.above(*after)] for after in outcomes)
            known = down + recall * (up - down) - prices[day] * (missed + (right - missed) * recall)
            if day == 0:
                known = np.where(since < 0.5, -np.inf, known)
            fresh = first_chances @ best[day, begun] - prices[day] * first
            value = np.maximum(value, np.where(cards.asked[here], known, fresh))
        total += float(cards.weight[here] @ value)
    return Bound(min(total / float(cards.weight.sum()) + SLACK, 1.0), certified)


def _outcomes(
    model: Model, stability: Floats, difficulty: Floats, recall: Floats
) -> tuple[tuple[Floats, Floats], ...]:
    """Memories after a right and after a missed answer, the right one made at least as good as the missed."""
    right, missed = model.right(stability, difficulty, recall), model.missed(stability, difficulty, recall)
    return (np.maximum(right[0], missed[0]), np.minimum(right[1], missed[1])), missed


def _steps(grid: Grid, model: Model, gaps: int) -> tuple[Ints, Ints, bool]:
    """Rounded-up states after a right and after a missed answer (gaps, size), and whether the model is monotone."""
    certified = True
    steps = np.empty((2, gaps, grid.size), dtype=np.int64)
    stability, difficulty = np.exp(grid.log_stability)[:, None], 11.0 - np.exp(grid.ease)[None, :]
    for gap in range(gaps):
        both = _outcomes(model, stability, difficulty, model.recall(gap + 1.0, stability))
        certified = certified and all(_monotone(*memory) for memory in both)
        steps[:, gap] = [grid.above(*memory).reshape(-1) for memory in both]
    return steps[0], steps[1], certified


def _monotone(stability: Floats, hard: Floats) -> bool:
    """Whether memories after a review (a grid of them) rise with stability before it and fall with difficulty."""
    holds = np.log(stability)
    falls = min(np.diff(holds, axis=0).min(), np.diff(holds, axis=1).min(), -np.diff(hard, axis=1).max())
    return bool(falls >= -1e-9)
