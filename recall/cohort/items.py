"""How hard points are, and whether those who know the rest know them: a two-parameter logistic model with
pooled priors.

Log odds of a right answer: what was foretold of it (so learning within the data is accounted for), plus the
point's ease, plus its discrimination times the person's strength. Strengths are standard normal and
integrated out on a grid about each person's own (marginal maximum likelihood by expectation and maximisation,
Bock and Aitkin 1981); ease and discrimination of all points share a normal prior each, whose mean and spread
are estimated with them.
"""

import numpy as np
from numpy.typing import NDArray

from recall.base.dataclass import dataclass

Floats = NDArray[np.float64]
_GRID = 9
_NARROWEST = 1e-6
_ROUNDS = 200
STILL = 2e-3
"""An estimate that moves by less has come to rest; its standard error is a hundred times that."""
_LEAST_SPREAD = 0.05
_DOUBT, _NORMAL, _FAR, _ONE_SIDED = 3.0, 1.4826, 3.0, 1.645
"""Points that a group of twins must hold to count as much as all; see `suspects`."""
_SURE = 0.02
"""A foretold recall counts from here to as far below 1."""


@dataclass(frozen=True, eq=False)
class Items:
    """Of each point (n,): ease (log odds over what was foretold), discrimination (a strong person's over a
    usual one's), their standard errors, and answers. mean, spread: of ease and of discrimination over all
    points."""

    ease: Floats
    discrimination: Floats
    ease_error: Floats
    discrimination_error: Floats
    answers: NDArray[np.int64]
    mean: tuple[float, float]
    spread: tuple[float, float]


def log_odds(recall: Floats) -> Floats:
    """Log odds of a foretold recall, held off the ends."""
    inside = np.clip(recall, _SURE, 1.0 - _SURE)
    return np.log(inside / (1.0 - inside))


def fit(
    person: NDArray[np.int64],
    point: NDArray[np.int64],
    right: NDArray[np.int64],
    of: NDArray[np.int64],
    foretold: Floats,
    *,
    pooled: bool = True,
    still: float = STILL,
) -> Items:
    """Fit the model to tallies (m,), each of a person's answers to a point. person, point: indices; right: how
    many `of` them are; foretold: log odds before the answer; pooled: with priors (without: plain marginal maximum
    likelihood); still: when the estimates have come to rest."""
    people, points = int(person.max(initial=-1)) + 1, int(point.max(initial=-1)) + 1
    steps, weights = np.polynomial.hermite_e.hermegauss(_GRID)
    weigh = np.log(weights / weights.sum()) + steps**2 / 2
    middle, width = np.zeros(people), np.ones(people)
    ease, slope = np.zeros(points), np.ones(points)
    mean, spread = np.array([0.0, 1.0]), np.array([1.0, 0.5])
    hits, misses = right[:, None].astype(float), (of - right)[:, None].astype(float)
    inverse = np.zeros((3, points))
    for _ in range(_ROUNDS):
        strength = middle[:, None] + width[:, None] * steps
        nodes = strength[person]
        level = foretold[:, None] + ease[point][:, None] + slope[point][:, None] * nodes
        logs = hits * level - (hits + misses) * np.logaddexp(0.0, level)
        reached = np.stack([np.bincount(person, logs[:, k], people) for k in range(_GRID)], axis=1)
        reached += weigh - strength**2 / 2
        weight = np.exp(reached - reached.max(axis=1, keepdims=True))
        weight /= weight.sum(axis=1, keepdims=True)
        chance = 1.0 / (1.0 + np.exp(-level))
        middle = (weight * strength).sum(axis=1)
        width = np.sqrt(np.maximum((weight * strength**2).sum(axis=1) - middle**2, _NARROWEST))
        own = weight[person]
        miss = own * (hits - (hits + misses) * chance)
        sure = own * (hits + misses) * chance * (1.0 - chance)
        first = [np.bincount(point, (miss * nodes**power).sum(axis=1), points) for power in (0, 1)]
        second = [np.bincount(point, (sure * nodes**power).sum(axis=1), points) for power in (0, 1, 2)]
        held = 1.0 / spread**2 if pooled else np.zeros(2)
        first[0] += held[0] * (mean[0] - ease)
        first[1] += held[1] * (mean[1] - slope)
        bb, ab, aa = second[0] + held[0] + 1e-9, second[1], second[2] + held[1] + 1e-9
        area = bb * aa - ab * ab
        step = (aa * first[0] - ab * first[1]) / area, (bb * first[1] - ab * first[0]) / area
        inverse = np.stack([aa / area, -ab / area, bb / area])
        before = ease, slope
        ease, slope = ease + np.clip(step[0], -1.0, 1.0), slope + np.clip(step[1], -1.0, 1.0)
        at, scale = middle.mean(), np.sqrt((width**2 + (middle - middle.mean()) ** 2).mean())
        ease, slope = ease + slope * at, slope * scale  # strengths stay standard; without it they creep there
        middle, width = (middle - at) / scale, width / scale
        if pooled:
            mean = np.array([ease.mean(), slope.mean()])
            scatter = [
                (each - at) ** 2 + error
                for each, at, error in ((ease, mean[0], inverse[0]), (slope, mean[1], inverse[2]))
            ]
            spread = np.maximum(np.sqrt([each.mean() for each in scatter]), _LEAST_SPREAD)
        if (
            max(np.abs(now - then).max(initial=0.0) for now, then in zip((ease, slope), before, strict=True))
            < still
        ):
            break
    if slope.sum() < 0:
        slope, mean = -slope, mean * [1.0, -1.0]
    return Items(
        ease, slope, np.sqrt(inverse[0]), np.sqrt(inverse[2]), np.bincount(point, of, points).astype(np.int64),
        (float(mean[0]), float(mean[1])), (float(spread[0]), float(spread[1])),
    )  # fmt: skip


def suspects(items: Items, twins: NDArray[np.int64]) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Points whose note is to be suspected: those missed far more than their twins, and those missed by
    people who know the rest. twins: of each point the index of its group (n,).

    Far is more than three spreads of points about their twins, the doubt of the estimate counted, whatever a
    few odd ones do to the spread (by medians: a normal spread is 1.4826 of the median distance). Missed by
    those who know the rest: the discrimination lies below nought at 95 %.
    """
    middle = float(np.median(items.ease))
    level = np.full(len(items.ease), middle)
    for group in np.unique(twins):
        at = np.flatnonzero(twins == group)
        level[at] = (_DOUBT * middle + len(at) * np.median(items.ease[at])) / (_DOUBT + len(at))
    below = level - items.ease
    spread = _NORMAL * float(np.median(np.abs(below)))
    far = below > _FAR * np.sqrt(spread**2 + items.ease_error**2)
    turned = items.discrimination + _ONE_SIDED * items.discrimination_error < 0
    return far, turned
