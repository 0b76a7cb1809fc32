"""A rate over people who each answered several times, with an interval that knows how many people they
were."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

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


def rates_of(sums: Sequence[Mapping[str, Any]]) -> list[Rate]:
    """Rates, each from sums over people: `people`, `answers`, `right`, and of each one's right answers r and
    answers n `rr`, `rn`, `nn`.

    The share is a ratio of sums over clusters (the people); its variance is linearised, and the interval is
    that of Clopper and Pearson for as many independent answers as would be as sure (Korn and Graubard 1998,
    Survey Methodology 24:193, from memory).
    """
    from scipy.special import betaincinv, stdtrit  # type: ignore[import-untyped]

    names = ("people", "answers", "right", "rr", "rn", "nn")
    people, n, right, rr, rn, nn = (np.array([float(one[name]) for one in sums]) for name in names)
    share = right / n
    scatter = rr - 2 * share * rn + share**2 * nn
    others = np.maximum(people - 1, 1)
    variance = people / others * scatter / n**2
    plain = share * (1 - share) / n
    quantiles = stdtrit(np.maximum(n - 1, 1), 0.975) / stdtrit(others, 0.975)
    as_sure = n * plain / np.maximum(variance, np.maximum(plain, 1e-300) * 1e-9) * quantiles**2
    varied = (plain > 0) & (people > 1)
    effective = np.where(varied, np.minimum(n, np.maximum(as_sure, 1.0)), np.minimum(n, people))
    hits = share * effective
    rest = effective - hits
    low = np.where(hits > 0, betaincinv(np.maximum(hits, 1e-9), rest + 1, 0.025), 0.0)
    high = np.where(rest > 0, betaincinv(hits + 1, np.maximum(rest, 1e-9), 0.975), 1.0)
    told = ([int(one[name]) for one in sums] for name in ("people", "right", "answers"))
    return list(map(Rate, *told, low.tolist(), high.tolist()))
