"""A rate over people who each answered several times, with an interval that knows how many people they
were."""

import math
from collections.abc import Mapping
from typing import Any

from recall.base.dataclass import dataclass
from recall.base.text import percent

STEPS = (0.05, 0.1, 0.2, 0.35, 0.5)
"""Shares missed at which a map grows darker."""


@dataclass(frozen=True, slots=True)
class Rate:
    """Right answers of a number of people. low, high: 95 % interval of the share."""

    people: int
    right: int
    answers: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """Share of right answers."""
        return self.right / self.answers

    @property
    def in_words(self) -> tuple[str, str, str]:
        """People, share missed and its interval."""
        return str(self.people), percent(self.missed), f"{percent(1 - self.high)} to {percent(1 - self.low)}"

    @property
    def missed(self) -> float:
        """Share of wrong ones."""
        return 1.0 - self.share

    @property
    def step(self) -> int:
        """How much is missed, as one of a few steps: how many of STEPS are reached."""
        return sum(self.missed >= one for one in STEPS)


def rate_of(sums: Mapping[str, Any]) -> Rate:
    """A rate from sums over people: `people`, `answers`, `right`, and of each one's right answers r and
    answers n `rr`, `rn`, `nn`.

    The share is a ratio of sums over clusters (the people); its variance is linearised, and the interval is
    that of Clopper and Pearson for as many independent answers as would be as sure (Korn and Graubard 1998,
    Survey Methodology 24:193, from memory).
    """
    from scipy.stats import beta, t  # type: ignore[import-untyped]

    people, n, right = int(sums["people"]), int(sums["answers"]), int(sums["right"])
    share = right / n
    scatter = sums["rr"] - 2 * share * sums["rn"] + share * share * sums["nn"]
    variance = people / (people - 1) * scatter / (n * n) if people > 1 else math.inf
    plain = share * (1 - share) / n
    if plain <= 0.0 or not math.isfinite(variance):
        effective = float(min(n, people))
    else:
        quantiles = t.ppf(0.975, n - 1) / t.ppf(0.975, people - 1) if n > 1 else 1.0
        effective = min(float(n), max(n * plain / max(variance, plain * 1e-9) * quantiles**2, 1.0))
    hits = share * effective
    low = float(beta.ppf(0.025, hits, effective - hits + 1)) if hits > 0 else 0.0
    high = float(beta.ppf(0.975, hits + 1, effective - hits)) if hits < effective else 1.0
    return Rate(people, right, n, low, high)
