"""A grid of memories (log stability by ln(11 - difficulty)) and what reviews do on it, as sparse matrices."""

from collections.abc import Iterable
from typing import Any

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.model import Floats, Ints

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
        cells = []
        for axis, place in zip(
            (self.log_stability, self.ease), self._places(stability, difficulty), strict=True
        ):
            inside = np.clip(place, 0.0, len(axis) - 1.0)
            low = np.minimum(inside.astype(np.int64), len(axis) - 2)
            cells.append((low, inside - low))
        (i, x), (j, y) = cells
        wide = len(self.ease)
        low = i * wide + j
        states = np.stack([low, low + 1, low + wide, low + wide + 1], axis=-1)
        weights = np.stack([(1 - x) * (1 - y), (1 - x) * y, x * (1 - y), x * y], axis=-1)
        return states, weights

    def above(self, stability: Floats, difficulty: Floats) -> Ints:
        """The state with the next higher stability and the next lower difficulty; `size` beyond the top.

        A memory exactly on the grid stays where it is.
        """
        i, j = (np.ceil(place - 1e-9).astype(np.int64) for place in self._places(stability, difficulty))
        j = np.minimum(j, len(self.ease) - 1)
        state = np.maximum(i, 0) * len(self.ease) + np.maximum(j, 0)
        return np.where(i >= len(self.log_stability), self.size, state)

    def _places(self, stability: Floats, difficulty: Floats) -> list[Floats]:
        """Where memories lie on each axis, in steps from its first value."""
        pairs = ((self.log_stability, np.log(stability)), (self.ease, np.log(11.0 - difficulty)))
        return [(value - axis[0]) / (axis[1] - axis[0]) for axis, value in pairs]


def transition(grid: Grid, outcomes: Iterable[tuple[Floats, Floats]], chance: Floats) -> Any:
    """Sparse chances (chance.size, grid.size) of the next states, eight entries a row. outcomes: memories after a
    right and after a missed answer; chance: of the right one."""
    from scipy.sparse import csr_array  # type: ignore[import-untyped]

    (right, right_weights), (missed, missed_weights) = (grid.corners(*memory) for memory in outcomes)
    states = np.concatenate(np.broadcast_arrays(right, missed), axis=-1).reshape(-1)
    weights = np.concatenate(
        [right_weights * chance[..., None], missed_weights * (1.0 - chance[..., None])], axis=-1
    ).reshape(-1)
    starts = np.arange(0, len(states) + 1, 8, dtype=np.int32)
    return csr_array((weights, states.astype(np.int32), starts), shape=(chance.size, grid.size))
