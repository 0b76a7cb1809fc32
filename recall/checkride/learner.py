"""The learner's own memory: a few numbers of the model fitted to the person's own answers, under a prior.

The shape of forgetting is unknown until cards have lain for weeks, so several shapes are fitted side by side and
weighed by how well they foretold the answers. Within a shape seven numbers move, each as a deviation from the
scheduler's parameters, pulled to 0 by a Cauchy prior (most people are near the scheduler's numbers, a few are far
from them): the first stabilities (after a right and after a missed answer), growth, its fall with stability, its
gain from waiting, what a miss leaves, and the steepness of the curve. A maximum a posteriori by Fisher scoring; days
of data are enough.
"""

import numpy as np

from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.checkride.form import Foretold, Form, form
from recall.checkride.model import FIRST_RIGHT, Bools, Floats, Ints, Model
from recall.schedule import batch
from recall.schedule.model import DEFAULT, Parameters

PRIOR = np.array([0.35, 0.35, 0.245, 0.07, 0.21, 0.245, 0.245])
"""Scales of the seven deviations: tuned on simulated learners, apart from those of the bench."""
CURVE = (0.05, 4.0)
FIRST_WORTH = 5.0
STEPS, STEP, CLOSE = 12, 1e-4, 0.01
MOST_ANSWERS = 20_000


@dataclass(frozen=True, eq=False)
class Log:
    """Answers of one person, a card's in the order given. card: index (n,). day: day number (n,). mark: 1..4 (n,).
    guess: chance of a right answer by guessing, 0.5 for one of two choices (n,); None where nothing can be
    guessed."""

    card: Ints
    day: Ints
    mark: Ints
    guess: Floats | None = None

    def __post_init__(self) -> None:
        """Refuse columns of different lengths and marks that are none: RecallError."""
        if not len(self.card) == len(self.day) == len(self.mark) == len(self.guessed):
            raise RecallError("cards, days and marks differ in number")
        if len(self.mark) and not (self.mark.min() >= 1 and self.mark.max() <= 4):
            raise RecallError("a mark is 1 to 4")

    @property
    def right(self) -> Bools:
        """Whether each answer was right: any mark but `missed`."""
        return np.asarray(self.mark > 1)

    @property
    def guessed(self) -> Floats:
        """Chance of guessing each answer."""
        return np.zeros(len(self.mark)) if self.guess is None else self.guess

    def chances(self, recall: Floats) -> Floats:
        """Chance of each right answer, known or guessed, from the recall before it (n,)."""
        return np.asarray(self.guessed + (1.0 - self.guessed) * recall)

    def thinned(self, most: int) -> "Log":
        """Whole histories of every second, third … card, so that about `most` answers are left."""
        every = -(-len(self.card) // most)
        kept = self.card % max(every, 1) == 0
        return Log(self.card[kept], self.day[kept], self.mark[kept], self.guessed[kept])


@dataclass(frozen=True)
class Shape:
    """A shape of forgetting. curve, bend: exponents of the curve (curve None: the person's own parameters'). waiting:
    how much of the scheduler's gain from waiting. prior: its weight before any answer."""

    prior: float
    curve: float | None = None
    bend: float = 1.0
    waiting: float = 1.0

    def of(self, base: Parameters) -> Parameters:
        """The parameters with this shape."""
        w = list(base.weights)
        w[10] *= self.waiting
        w[20] = self.curve or w[20]
        return Parameters(tuple(w), self.bend)


SHAPES = (
    Shape(0.6),  # a long tail
    Shape(0.2, 1.5, 1.0, 0.7),  # nearly exponential
    Shape(0.2, 1.0, 1.8, 0.5),  # S-shaped
)
LIGHT = 0.04
"""A shape of less weight is left out."""


@dataclass(frozen=True, eq=False)
class Fit:
    """model: the fitted memory. evidence: log of how likely the answers are under its shape, but for a constant.
    weight: among the shapes."""

    model: Model
    evidence: float = 0.0
    weight: float = 1.0


def fits(log: Log, base: Parameters = DEFAULT) -> tuple[Fit, ...]:
    """The shapes that count, each fitted to the log, the likeliest first; their weights add up to 1."""
    found = [fit(log, shape.of(base)) for shape in SHAPES]
    logs = np.array([one.evidence + np.log(shape.prior) for one, shape in zip(found, SHAPES, strict=True)])
    weight = np.exp(logs - logs.max())
    weight = np.where(weight >= LIGHT * weight.sum(), weight, 0.0)
    weight /= weight.sum()
    order = [at for at in np.argsort(-weight, kind="stable").tolist() if weight[at] > 0.0]
    return tuple(replace(found[at], weight=float(weight[at])) for at in order)


def fit(log: Log, base: Parameters = DEFAULT) -> Fit:
    """Fit the model to a log. base: where the prior is centred."""
    first_right = _first_right(log)
    thin = log.thinned(MOST_ANSWERS)
    predicted = predictions(thin, Model(base, first_right))
    telling = np.isfinite(predicted) & (predicted < 1.0)
    right = thin.right[telling]
    if not telling.any():
        return Fit(Model(base, first_right))

    def near(at: Floats) -> tuple[Floats, Floats, float]:
        """Chance of each answer, its slopes by the deviations, and the loss with the prior's."""
        sets = [moved(base, at), *(moved(base, one) for one in at + np.eye(len(PRIOR)) * STEP)]
        recall = batch.replay(thin.card, thin.day, thin.mark, batch.Several.at_once(sets)).recall_before
        found = np.clip(thin.chances(recall)[:, telling], 1e-4, 1.0 - 1e-4)
        loss = float(
            np.log1p((at / PRIOR) ** 2).sum() - np.log(np.where(right, found[0], 1.0 - found[0])).sum()
        )
        return found[0], (found[1:] - found[0]) / STEP, loss

    at = np.zeros(len(PRIOR))
    chance, slopes, now = near(at)
    for _ in range(STEPS):
        noise = chance * (1.0 - chance)
        curvature = (slopes / noise) @ slopes.T + np.diag(_pull(at))
        gradient = slopes @ ((right - chance) / noise) - at * _pull(at)
        move = np.clip(np.linalg.solve(curvature, gradient), -4.0 * PRIOR, 4.0 * PRIOR)
        for shrink in (1.0, 0.5, 0.25, 0.1, 0.02):
            then = near(at + shrink * move)
            if then[2] < now:
                break
        else:
            break
        done = now - then[2] < CLOSE
        at, (chance, slopes, now) = at + shrink * move, then
        if done:
            break
    evidence = -now - 0.5 * float(np.linalg.slogdet(curvature)[1])  # Laplace's approximation
    return Fit(Model(moved(base, at), first_right), evidence)


def moved(base: Parameters, deviations: Floats) -> Parameters:
    """The parameters with the seven deviations applied."""
    w = np.array(base.weights)
    w[0] *= np.exp(deviations[1])
    w[1:4] *= np.exp(deviations[0])
    w[8] += deviations[2]
    w[9] = np.clip(w[9] + deviations[3], 0.0, 0.9)
    w[10] *= np.exp(deviations[4])
    w[11] *= np.exp(deviations[5])
    w[20] = np.clip(w[20] * np.exp(deviations[6]), *CURVE)
    return Parameters(tuple(w.tolist()), base.bend)


def predictions(log: Log, model: Model) -> Floats:
    """Recall before each answer (n,); NaN for a card's first, 1 for another on the same day."""
    return batch.replay(log.card, log.day, log.mark, model.parameters).recall_before


def form_of(log: Log, model: Model, drawn: Bools) -> Form:
    """The person's form, from the first answers of each day to cards asked on an earlier day, as the model foretold
    them. drawn: answers to cards drawn at random (n,)."""
    before = predictions(log, model)
    told, chances = np.isfinite(before) & (before < 1.0), log.chances(before)
    chosen, at_random = (
        Foretold.of(log.day[which], chances[which], log.right[which].astype(np.float64))
        for which in (told & ~drawn, told & drawn)
    )
    return form(chosen, at_random)


def remembered(log: Log, model: Model, count: int, today: int) -> tuple[Floats, Floats, Floats, Bools]:
    """Stability, difficulty, days since the last answer and whether asked, of cards 0..count - 1, shapes (count,)."""
    found = batch.replay(log.card, log.day, log.mark, model.parameters, count)
    asked = np.isfinite(found.holds)
    since = np.where(asked, today - found.last_day, 0).astype(np.float64)
    return np.where(asked, found.holds, 1.0), np.where(asked, found.difficulty, 5.0), since, asked


def _pull(at: Floats) -> Floats:
    """Precision of the normal prior that pulls as hard at these deviations as the Cauchy one."""
    return np.asarray(2.0 / (PRIOR**2 + at**2))


def _first_right(log: Log) -> float:
    """Share of cards that were known at first sight: what was guessed right tells so much less."""
    _, first = np.unique(log.card, return_index=True)
    guess = log.guessed[first]
    known = float((log.right[first] - guess).sum()) + FIRST_WORTH * FIRST_RIGHT
    return min(max(known / (float((1.0 - guess).sum()) + FIRST_WORTH), 0.0), 1.0)
