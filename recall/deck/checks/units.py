"""`unit-mismatch` across the deck: one parameter, under all its conditions, in units of two dimensions."""

from collections.abc import Iterator

from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.checks.elsewhere import is_bare, unit_of
from recall.deck.material import Material
from recall.kinds.effectivity import overlap
from recall.kinds.limits.words import says_quantity
from recall.kinds.model import Point, where
from recall.quantity import Unit

_BESIDE = frozenset(("speed", "mach"))
"""A speed limit is given in both."""


def check(material: Material) -> Iterator[Finding]:
    """Compares a parameter with its first appearance, under its own topic before others; columns of a matrix name
    themselves and stand aside, and so do bare quantity words, and things, under another topic. Both are faulty:
    nobody knows which is right."""
    first: dict[tuple[str, ...], tuple[Unit, Point]] = {}
    for asked in material.asked:
        point = asked.point
        if point.kind != "limit" or point.matrix:
            continue
        unit = unit_of(point)
        if unit is None or unit.dimension in ("unknown", "count"):
            continue
        _, topic, subject, _ = point.about()
        for key in ((topic, subject), (subject,)):
            known, before = first.setdefault(key, (unit, point))
            apart = known.dimension != unit.dimension and {known.dimension, unit.dimension} != _BESIDE
            sure = apart and (len(key) == 2 or (says_quantity(subject) and not is_bare(subject)))
            if sure and overlap(before.fits, point.fits):
                point.faulty = before.faulty = True
                yield finding(
                    "unit-mismatch",
                    point.place,
                    f"`{shown(point.subject)}` is in `{unit.name}` here, in `{known.name}` in {where(before)}",
                    "give one parameter one kind of unit, or name the two parameters apart",
                )
                break
