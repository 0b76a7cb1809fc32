"""A grid of memories (log stability by ln(11 - difficulty)) and what reviews do on it, as sparse matrices."""

from typing import Any

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.model import Floats, Ints, Model

LOWEST, DAYS_AT_TOP = 0.01, 150.0


@dataclass(frozen=True, eq=False)
class Grid:
    """Axes: log_stability (a,), ascending; ease = ln(11 - difficulty) (b,), ascending. State = i * b + j."""

    log_stability: Floats
    ease: Floats

    @classmethod
    def over(cls, days: float, stabilities: int, difficulties: int) -> "Grid":
        """A grid for a horizon of so many days."""
        high = DAYS_AT_TOP * max(days, 7.0)
        return cls(
            np.linspace(np.log(LOWEST), np.log(high), stabilities),
            np.linspace(0.0, np.log(10.0), difficulties),
        )

    @property
    def size(self) -> int:
        """Number of states."""
        return len(self.log_stability) * len(self.ease)

    @property
    def stability(self) -> Floats:
        """Stability of each state, shape (size,)."""
        return np.repeat(np.exp(self.log_stability), len(self.ease))

    def corners(self, stability: Floats, difficulty: Floats) -> tuple[Ints, Floats]:
        """The four states round each memory and their bilinear weights, shapes (..., 4); clamped to the grid."""
        i, x = _cell(self.log_stability, np.log(stability))
        j, y = _cell(self.ease, np.log(11.0 - difficulty))
        wide = len(self.ease)
        low = i * wide + j
        states = np.stack([low, low + 1, low + wide, low + wide + 1], axis=-1)
        weights = np.stack([(1 - x) * (1 - y), (1 - x) * y, x * (1 - y), x * y], axis=-1)
        return states, weights

    def above(self, stability: Floats, difficulty: Floats) -> Ints:
        """The state with the next higher stability and the next lower difficulty; `size` beyond the top.

        A memory exactly on the grid stays where it is.
        """
        i = np.ceil(_place(self.log_stability, np.log(stability)) - 1e-9).astype(np.int64)
        j = np.ceil(_place(self.ease, np.log(11.0 - difficulty)) - 1e-9).astype(np.int64)
        j = np.minimum(j, len(self.ease) - 1)
        state = np.maximum(i, 0) * len(self.ease) + np.maximum(j, 0)
        return np.where(i >= len(self.log_stability), self.size, state)


def _place(axis: Floats, value: Floats) -> Floats:
    return np.asarray((value - axis[0]) / (axis[1] - axis[0]))


def _cell(axis: Floats, value: Floats) -> tuple[Ints, Floats]:
    place = np.clip(_place(axis, value), 0.0, len(axis) - 1.0)
    low = np.minimum(place.astype(np.int64), len(axis) - 2)
    return low, place - low


def transition(grid: Grid, model: Model, stability: Floats, difficulty: Floats, recall: Floats) -> Any:
    """Sparse chances (recall.size, grid.size) of the next states after a review of memories at this recall."""
    from scipy.sparse import csr_array  # type: ignore[import-untyped]

    right_states, right_weights = grid.corners(*model.right(stability, difficulty, recall))
    missed_states, missed_weights = grid.corners(*model.missed(stability, difficulty, recall))
    right_states, missed_states = np.broadcast_arrays(right_states, missed_states)
    states = np.concatenate([right_states, missed_states], axis=-1).reshape(-1)
    weights = np.concatenate(
        [right_weights * recall[..., None], missed_weights * (1.0 - recall[..., None])], axis=-1
    ).reshape(-1)
    starts = np.arange(0, len(states) + 1, 8, dtype=np.int32)
    return csr_array((weights, states.astype(np.int32), starts), shape=(recall.size, grid.size))


def first_review(grid: Grid, model: Model) -> Floats:
    """Chances of the states after a first answer, shape (size,)."""
    chances = np.zeros(grid.size)
    right = model.first_right
    for chance, memory in ((right, model.first()), (1.0 - right, model.first_missed())):
        states, weights = grid.corners(*memory)
        np.add.at(chances, states[0], weights[0] * chance)
    return chances
