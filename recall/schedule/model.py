"""The memory model in plain numbers: parameters, a card's memory, recall at a time, the day it is due.

Model: FSRS-6, as the `fsrs` library computes it. Days are day numbers (`date.toordinal()`).
"""

import math
from collections.abc import Sequence
from functools import cached_property

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError

LONGEST = 365
"""Longest interval, days."""
LONGEST_CRITICAL = 180
"""Longest interval of a critical card, days."""
TARGET, CRITICAL_TARGET = 0.90, 0.95
"""Recall aimed at, unless a person sets another."""
LOWEST_TARGET, HIGHEST_TARGET = 0.70, 0.99


@dataclass(frozen=True)
class Parameters:
    """The 21 weights of the memory model. Raises RecallError for any other number of finite numbers.

    bend: power of the time in the forgetting curve; 1, as the library has it, for all that is scheduled. Above 1 the
    curve is S-shaped; recall is 0.9 after as many days as a card holds, whatever the bend.
    """

    weights: tuple[float, ...]
    bend: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what no library would compute with."""
        if len(self.weights) != 21 or not all(math.isfinite(weight) for weight in self.weights):
            raise RecallError("the memory model takes 21 finite numbers", "use the defaults, or tune again")
        if self.weights[20] <= 0:
            raise RecallError("the memory model's last number must be above 0", "use the defaults")

    @classmethod
    def of(cls, weights: Sequence[float]) -> "Parameters":
        """From any sequence of 21 numbers."""
        return cls(tuple(float(weight) for weight in weights))

    @cached_property
    def decay(self) -> float:
        """Exponent of the forgetting curve, below 0."""
        return -self.weights[20]

    @cached_property
    def factor(self) -> float:
        """Scale of the forgetting curve: recall is 0.9 when as many days have passed as the card holds."""
        return float(0.9 ** (1 / self.decay)) - 1


DEFAULT = Parameters(
    (
        *(0.212, 1.2931, 2.3065, 8.2956, 6.4133, 0.8334, 3.0194),
        *(0.001, 1.8722, 0.1666, 0.796, 1.4835, 0.0614, 0.2629),
        *(1.6483, 0.6014, 1.8729, 0.5425, 0.0912, 0.0658, 0.1542),
    )
)
"""The library's defaults, written out: an upgrade of the library must not move anyone's due days."""


@dataclass(frozen=True, slots=True)
class Memory:
    """What is left of a card's answers. holds: days until recall has fallen to 0.9; difficulty: 1 to 10;
    last_day: number of the day of the last answer."""

    holds: float
    difficulty: float
    last_day: int


def recall_at(memory: Memory, elapsed: float, parameters: Parameters = DEFAULT) -> float:
    """Probability of a right answer, 0 to 1, `elapsed` days (with their fraction) after the last answer."""
    return float((1 + parameters.factor * max(elapsed, 0.0) / memory.holds) ** parameters.decay)


def check_target(target: float) -> float:
    """The target recall itself. Raises RecallError outside 0.70 to 0.99."""
    if not LOWEST_TARGET <= target <= HIGHEST_TARGET:
        raise RecallError(
            f"a target recall of {target:g} can't be planned for",
            f"use a number from {LOWEST_TARGET:.2f} to {HIGHEST_TARGET:.2f}",
        )
    return target


LIKELY = 0.8
"""Odds of missing no critical point of a checkride that are aimed at."""


def critical_aim(drawn: float) -> float:
    """Target recall of critical points where so many of a checkride's questions are of them and none may be missed:
    recall lies half-way between 1 and the target on average. The everyday target at least."""
    wanted = LIKELY ** (1.0 / drawn) if drawn > 0.0 else 0.0
    return min(max(2.0 * wanted - 1.0, CRITICAL_TARGET), HIGHEST_TARGET)


def interval(holds: float, target: float, critical: bool, parameters: Parameters = DEFAULT) -> int:
    """Whole days until recall has fallen to the target: at least 1, at most 365 (critical: 180).

    Halves go up, after rounding at six decimals: the same whichever way `holds` was computed.
    """
    days = float(holds / parameters.factor * (check_target(target) ** (1 / parameters.decay) - 1))
    longest = LONGEST_CRITICAL if critical else LONGEST
    return max(1, min(longest, math.floor(round(min(days, longest + 1.0), 6) + 0.5)))


def due_day(memory: Memory, target: float, critical: bool, parameters: Parameters = DEFAULT) -> int:
    """Number of the day on which a card should be asked again."""
    return memory.last_day + interval(memory.holds, target, critical, parameters)
