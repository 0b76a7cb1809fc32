"""What is done with a whole deck, in the order in which it is done: points are combined and asked, then checked."""

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
from recall.deck.combine import combine
from recall.deck.material import Stage
from recall.deck.once import ask_once
from recall.deck.supply_cards import ask_supplies

_ORDER = (
    *(ids, unclosed_bold, units, supply_loop, unknown_supply, variants, elsewhere, abbreviations, citation),
    *(length, references, review_date, areas, look_alike),
)
STAGES: tuple[Stage, ...] = (combine, ask_supplies, ask_once, *(each.check for each in _ORDER))
