"""The form of the day: how far a person's days rise and fall together, and lie above or below the prediction."""

import numpy as np

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.checkride.model import Floats, Ints

FEW_DAYS = 10
"""Under so many days of history the odds are mostly prior; a reader should be told."""

SPREADS = np.linspace(0.0, 1.5, 31)
BIASES = np.linspace(-2.0, 2.0, 41)
USUAL_SPREAD, USUAL_BIAS = 0.35, 0.35
SELECTION = 0.35
LEAST_VARIANCE = 0.3


@dataclass(frozen=True, eq=False)
class Days:
    """Past days, one value a day (d,): answers predicted, the sum of their predicted variances, and right ones.

    Only first answers of a day to cards asked on an earlier day count. predicted: sum of recall before each answer;
    variance: sum of recall * (1 - recall); right: number right.
    """

    predicted: Floats
    variance: Floats
    right: Floats

    @property
    def count(self) -> int:
        """Days with answers."""
        return int((self.variance > 0.0).sum())

    @classmethod
    def none(cls) -> "Days":
        """A person without history."""
        return cls(np.empty(0), np.empty(0), np.empty(0))

    @classmethod
    def of(cls, day: Ints, recall: Floats, right: Floats) -> "Days":
        """Gather answers (n,): day number, recall predicted just before it, and whether it was right (0 or 1)."""
        if not len(day) == len(recall) == len(right):
            raise RecallError("days, recalls and answers differ in number")
        _, at = np.unique(day, return_inverse=True)
        sums = [np.bincount(at, weights=values) for values in (recall, recall * (1.0 - recall), right)]
        return cls(*(np.asarray(values, dtype=np.float64) for values in sums))


@dataclass(frozen=True, eq=False)
class Form:
    """What is known of a person's form: possible biases and spreads (log odds), with their weights, shapes (k,).

    spread: the mean spread.
    """

    bias: Floats
    spreads: Floats
    weight: Floats
    spread: float


def form(days: Days, drawn: Days | None = None) -> Form:
    """Posterior of bias and spread on a grid. drawn: of cards drawn at random, also among `days`; None where no plan
    is followed.

    A day's surplus of right answers over the prediction, in log odds (surplus / variance), scatters about the bias
    with variance spread**2 + 1 / variance. Priors (own judgement: a day moves a pupil's log odds by less than people
    differ, about 0.75 in LSAT-6): bias normal with standard deviation 0.35, spread half normal with mean 0.35. A plan
    asks what it believes to be weak, so its answers lie off the bias of all cards by an unknown selection, normal
    with standard deviation 0.35; drawn cards don't, and count by their number, all days together.
    """
    bias, spread = (mesh.reshape(-1) for mesh in np.meshgrid(BIASES, SPREADS, indexing="ij"))
    # Half normal with mean m has scale m * sqrt(pi / 2).
    logs = -0.5 * (bias / USUAL_BIAS) ** 2 - 0.5 * (spread / (USUAL_SPREAD * np.sqrt(np.pi / 2))) ** 2
    logs += _likelihood(days, bias, spread, 0.0 if drawn is None else SELECTION)
    if drawn is not None:
        logs += _likelihood(drawn, bias, spread, 0.0)
    weight = np.exp(logs - logs.max())
    weight /= weight.sum()
    kept = weight > 1e-7
    weight = weight[kept] / weight[kept].sum()
    return Form(bias[kept], spread[kept], weight, float(weight @ spread[kept]))


def _likelihood(days: Days, bias: Floats, spread: Floats, selection: float) -> Floats:
    """Log likelihood of the days' surplus at each bias and spread: of their scatter about their own mean, and of that
    mean about the bias, with the standard deviation of what selection adds to it."""
    enough = days.variance > 0.0
    if not enough.any():
        return np.zeros(len(bias))
    variance = np.maximum(days.variance[enough], LEAST_VARIANCE)
    surplus = (days.right[enough] - days.predicted[enough]) / variance
    scatter = spread[:, None] ** 2 + 1.0 / variance
    precision = (1.0 / scatter).sum(axis=1)
    mean = (surplus / scatter).sum(axis=1) / precision
    about = (
        ((surplus - mean[:, None]) ** 2 / scatter).sum(axis=1)
        + np.log(scatter).sum(axis=1)
        + np.log(precision)
    )
    off = 1.0 / precision + selection**2
    return np.asarray(-0.5 * (about + np.log(off) + (mean - bias) ** 2 / off))
