"""What is done with a whole deck, in the order in which it is done: points are combined and asked, then checked."""

from recall.deck.checks import (
    abbreviations,
    elsewhere,
    look_alike,
    points,
    record,
    references,
    supplies,
    unclosed_bold,
    units,
)
from recall.deck.combine import combine
from recall.deck.material import Stage
from recall.deck.once import ask_once

STAGES: tuple[Stage, ...] = (
    *(combine, supplies.cards, ask_once),
    *(points.ids, unclosed_bold.check, units.check, supplies.feeds_itself, supplies.unknown),
    *(record.variants, elsewhere.check, abbreviations.check, points.sources, points.length),
    *(references.check, record.review_date, record.areas, look_alike.check),
)
