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

CHECKS: tuple[Check, ...] = (
    ids.check,
    unclosed_bold.check,
    units.check,
    supply_loop.check,
    unknown_supply.check,
    variants.check,
    elsewhere.check,
    abbreviations.check,
    citation.check,
    length.check,
    references.check,
    review_date.check,
    areas.check,
    look_alike.check,
)

__all__ = ["CHECKS", "Check", "Material"]
