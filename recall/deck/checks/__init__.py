"""Checks of a whole deck, one a file, in the order in which they run."""

from recall.deck.checks import (
    abbreviations,
    areas,
    citation,
    elsewhere,
    ids,
    length,
    look_alike,
    references,
    review_date,
    supply_loop,
    unclosed_bold,
    units,
    unknown_supply,
    variants,
)
from recall.deck.checks.material import Check, Material

_ORDER = (
    *(ids, unclosed_bold, units, supply_loop, unknown_supply, variants, elsewhere, abbreviations, citation),
    *(length, references, review_date, areas, look_alike),
)
CHECKS: tuple[Check, ...] = tuple(each.check for each in _ORDER)

__all__ = ["CHECKS", "Check", "Material"]
