"""What a plan is for: recall of all points, or the odds of passing."""

from collections.abc import Sequence

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.form import Form
from recall.checkride.model import Floats
from recall.checkride.odds import Examination, Odds, odds, views
from recall.checkride.state import Mind, over, share

LEAST = 1e-3
"""Least weight of a card, of the mean: one that nothing asks is still the person's."""


@dataclass(frozen=True)
class Recall:
    """Recall of all points by their own weights. levels: what is worth reaching, ascending, 0..1."""

    levels: tuple[float, ...] = (0.80, 0.90, 0.95)

    def value(self, minds: Sequence[Mind], recalls: Sequence[Floats]) -> float:
        """The share of full recall, where the minds recall each card so on the date."""
        return share(minds[0].cards, over(minds, recalls))


ALL_POINTS = Recall()


@dataclass(frozen=True, eq=False)
class Passing:
    """The odds of passing an examination. forms: what past days tell, as each mind foretold them, the likeliest
    first."""

    examination: Examination
    forms: Sequence[Form]
    levels: tuple[float, ...] = (0.50, 0.80, 0.95)

    def odds(self, minds: Sequence[Mind], recalls: Sequence[Floats]) -> Odds:
        """The odds where the minds recall each card so at its hour."""
        return odds(self.examination, views(minds, self.forms, recalls))

    def value(self, minds: Sequence[Mind], recalls: Sequence[Floats]) -> float:
        """The odds."""
        return self.odds(minds, recalls).passed

    def weights(self, minds: Sequence[Mind], recalls: Sequence[Floats]) -> Floats:
        """By area, what its answers cost the odds for each unit of recall that they lack; for a critical card
        besides, what misses of critical ones cost. As often as a card is drawn, where the odds can't tell."""
        found, mean = self.odds(minds, recalls), over(minds, recalls)
        critical, drawn, gain = (
            self.examination.without_fail,
            self.examination.drawn(len(mean)),
            np.zeros(len(mean)),
        )
        for area, one in zip(self.examination.areas, found.areas, strict=True):
            gain[area.cards] = one.cost / max(float((1.0 - mean[area.cards]).sum()), LEAST)
        if critical is not None:
            often = np.where(critical, drawn, 0.0)
            lacking = max(float(often @ (1.0 - mean)), LEAST)
            gain += often * max(found.with_areas - found.passed, 0.0) / lacking
        if gain.sum() <= 1e-9:
            gain = drawn * (1.0 if critical is None else np.where(critical, 3.0, 1.0))
        return np.asarray(np.maximum(gain / gain.mean(), LEAST))


Goal = Recall | Passing
