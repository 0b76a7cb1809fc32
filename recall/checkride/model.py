"""A person's memory model: the scheduler's parameters, and what an unasked card is worth at first sight.

A missed card comes back in the same session until it is right, so "missed" here is the missed answer and the right
one within the day that follows it. A right answer is taken as `sure`.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.schedule import batch
from recall.schedule.model import DEFAULT, Parameters

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MISSED, SURE = 1, 3
FIRST_RIGHT = 0.4


@dataclass(frozen=True)
class Model:
    """Memory model. first_right: chance that an unasked card is answered right at first sight, 0..1."""

    parameters: Parameters = DEFAULT
    first_right: float = FIRST_RIGHT

    def __post_init__(self) -> None:
        """Refuse a chance that is none: RecallError."""
        if not 0.0 <= self.first_right <= 1.0:
            raise RecallError("the chance of a right first answer lies in 0..1")

    def recall(self, elapsed: Any, stability: Floats) -> Floats:
        """Chance of a right answer `elapsed` days after a review; broadcasts."""
        return batch.recall_curve(stability, elapsed, self.parameters)

    def first(self) -> tuple[Floats, Floats]:
        """Stability and difficulty after a right first answer, shapes (1,)."""
        return batch.first_memory([SURE], self.parameters)

    def first_missed(self) -> tuple[Floats, Floats]:
        """Stability and difficulty after a missed first answer and its repeat, shapes (1,)."""
        return self._repeated(*batch.first_memory([MISSED], self.parameters))

    def right(self, stability: Floats, difficulty: Floats, recall: Floats) -> tuple[Floats, Floats]:
        """Stability and difficulty after a right answer on a later day; recall: just before it."""
        after = batch.after_recall(stability, difficulty, recall, SURE, self.parameters)
        return after, batch.next_difficulty(difficulty, SURE, self.parameters)

    def missed(self, stability: Floats, difficulty: Floats, recall: Floats) -> tuple[Floats, Floats]:
        """Stability and difficulty after a missed answer on a later day and its repeat; recall: just before it."""
        after = batch.after_miss(stability, difficulty, recall, self.parameters)
        return self._repeated(after, batch.next_difficulty(difficulty, MISSED, self.parameters))

    def reviewed(
        self, asked: Bools, stability: Floats, difficulty: Floats, recall: Floats
    ) -> tuple[tuple[Floats, Floats], ...]:
        """Memories after a right and after a missed answer on a later day, or after a first one where nothing was
        `asked`."""
        later = (self.right(stability, difficulty, recall), self.missed(stability, difficulty, recall))
        return tuple(
            (np.where(asked, known[0], begun[0]), np.where(asked, known[1], begun[1]))
            for known, begun in zip(later, (self.first(), self.first_missed()), strict=True)
        )

    def _repeated(self, stability: Floats, difficulty: Floats) -> tuple[Floats, Floats]:
        after = batch.within_day(stability, SURE, self.parameters)
        return after, batch.next_difficulty(difficulty, SURE, self.parameters)
