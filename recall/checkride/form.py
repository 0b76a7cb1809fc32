"""How a person's answers lie beside what their memory model foretold, and how far their days rise and fall together.

Log odds of a right answer are what the model foretold, plus a bias, a slope for how far they lie from HOME, the form
of the day, and for cards that a plan or the daily order chose an unknown selection: it asks what it believes to be
weak. Cards drawn at random have none, so all of them together tell the bias, the more the more there are.
"""

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.model import Floats, Ints

FEW_DAYS = 10
"""Under so many days of history the odds are mostly prior; a reader should be told."""

HOME = 2.0
"""Log odds of a recall of 0.88."""
BIAS, SLOPE, SELECTION = 0.35, 0.30, 0.35
"""Standard deviations of the prior, all about 0."""
UNTOLD, FARTHER = 0.15, 0.15
"""Standard deviation of what past answers don't tell of those on the date, and how it grows with each unit of log
odds that those lie off from what was answered: chosen with learners drawn at random, none of them of the bench."""
SPREADS = np.linspace(0.0, 1.5, 31)
USUAL_SPREAD = 0.35
"""Mean of the spread's prior, half normal: a day moves a pupil's log odds by less than people differ, about 0.75 in
LSAT-6 (own judgement, as are the others; checked against the learners of the bench)."""
LEAST_VARIANCE = 0.3
MOST_SHIFT, STEPS = 3.0, 5
NEVER = 1e-4


def log_odds(recall: Floats) -> Floats:
    """Of a recall, held off 0 and 1."""
    inside = np.clip(recall, NEVER, 1.0 - NEVER)
    return np.asarray(np.log(inside / (1.0 - inside)))


def beside(recall: Floats) -> Floats:
    """What bias and slope count for, (n, 2)."""
    return np.stack([np.ones(len(recall)), log_odds(recall) - HOME], axis=-1)


@dataclass(frozen=True, eq=False)
class Foretold:
    """Past answers with what was foretold of them: first answers of a day to cards asked on an earlier day.

    A row (n,) is one answer, or several of a day taken together. day: its number; recall: foretold just before;
    right: number right; count: number of answers.
    """

    day: Ints
    recall: Floats
    right: Floats
    count: Floats

    @classmethod
    def of(cls, day: Ints, recall: Floats, right: Floats) -> "Foretold":
        """Single answers (n,), right or not (1 or 0)."""
        return cls(day, recall, right, np.ones(len(day)))

    @classmethod
    def of_days(cls, predicted: Floats, variance: Floats, right: Floats) -> "Foretold":
        """Of which just the sums by day are known (d,): of recall, of recall * (1 - recall), and of right answers."""
        recall = 1.0 - variance / np.maximum(predicted, NEVER)
        return cls(np.arange(len(right)), recall, right, predicted / np.maximum(recall, NEVER))


NOTHING = Foretold(np.empty(0, dtype=np.int64), *(np.empty(0),) * 3)


@dataclass(frozen=True, eq=False)
class Form:
    """What is known of a person's form. shift: bias and slope expected (2,); covariance: of what is expected (2, 2);
    spread: standard deviation of a day's log odds; days: of history that it comes from; centre: mean log odds of
    what was answered, as foretold."""

    shift: Floats
    covariance: Floats
    spread: float
    days: int
    centre: float = HOME

    def trued(self, recall: Floats) -> Floats:
        """Recall (n,) with what is expected; what was never asked stays at 0."""
        moved = log_odds(recall) + beside(recall) @ self.shift
        return np.where(recall <= 0.0, 0.0, 1.0 / (1.0 + np.exp(-moved)))

    def unsure(self, recall: Floats, drawn: Floats) -> float:
        """Standard deviation of the bias of an examination. drawn: how often it asks each card (n,)."""
        counts = drawn * recall * (1.0 - recall)
        if counts.sum() <= 0.0:
            return UNTOLD
        mean = counts @ beside(recall) / counts.sum()
        off = mean[1] + HOME - self.centre
        return float(np.sqrt(mean @ self.covariance @ mean + UNTOLD**2 + (FARTHER * off) ** 2))


def form(chosen: Foretold, drawn: Foretold = NOTHING) -> Form:
    """What past answers tell. chosen: to cards that were chosen; drawn: to cards drawn at random."""
    # Half normal with mean m has scale m * sqrt(pi / 2).
    logs = -0.5 * (SPREADS / (USUAL_SPREAD * np.sqrt(np.pi / 2))) ** 2 + _scatter(chosen) + _scatter(drawn)
    weight = np.exp(logs - logs.max())
    spread = float(weight @ SPREADS / weight.sum())
    recall, right, count = (
        np.concatenate(pair)
        for pair in ((chosen.recall, drawn.recall), (chosen.right, drawn.right), (chosen.count, drawn.count))
    )
    selected = np.arange(len(recall)) < len(chosen.recall)
    counts_for = np.column_stack([beside(recall), selected])
    _, day = np.unique(np.concatenate([2 * chosen.day, 2 * drawn.day + 1]), return_inverse=True)
    at, prior = np.zeros(3), np.diag([BIAS**-2, SLOPE**-2, SELECTION**-2])
    for _ in range(STEPS):
        chance = 1.0 / (1.0 + np.exp(-log_odds(recall) - counts_for @ at))
        variance = count * chance * (1.0 - chance)
        # A day's answers share its form: together they tell no more than 1 / spread**2.
        share = 1.0 / (1.0 + spread**2 * np.bincount(day, weights=variance))[day]
        precision = prior + (counts_for.T * (variance * share)) @ counts_for
        gradient = counts_for.T @ (share * (right - count * chance)) - prior @ at
        at = np.clip(at + np.linalg.solve(precision, gradient), -MOST_SHIFT, MOST_SHIFT)
    days = len(np.unique(np.concatenate([chosen.day, drawn.day])))
    telling = count * recall * (1.0 - recall)
    centre = float(telling @ log_odds(recall) / telling.sum()) if telling.any() else HOME
    return Form(at[:2], np.linalg.inv(precision)[:2, :2], spread, days, centre)


def _scatter(told: Foretold) -> Floats:
    """Log likelihood of each spread: of the days' surplus in log odds about its own mean."""
    if not len(told.day):
        return np.zeros(len(SPREADS))
    day, foretold = np.unique(told.day, return_inverse=True)[1], told.count * told.recall
    variance = np.maximum(np.bincount(day, weights=foretold * (1.0 - told.recall)), LEAST_VARIANCE)
    surplus = np.bincount(day, weights=told.right - foretold) / variance
    scatter = SPREADS[:, None] ** 2 + 1.0 / variance
    precision = (1.0 / scatter).sum(axis=1)
    mean = (surplus / scatter).sum(axis=1) / precision
    off = ((surplus - mean[:, None]) ** 2 / scatter).sum(axis=1)
    return np.asarray(-0.5 * (off + np.log(scatter).sum(axis=1) + np.log(precision)))
