"""One SQLite file a person: events are the truth, the rest is derived."""

from recall.deck.changes import Renamed
from recall.store.model import (
    Confusion,
    DayAhead,
    DeckInForce,
    Diagnosis,
    Entry,
    Known,
    LoadReport,
    MergeReport,
    Review,
    Standing,
    Tuning,
    Was,
    WrongClock,
)
from recall.store.store import Store

__all__ = [
    "Confusion",
    "DayAhead",
    "DeckInForce",
    "Diagnosis",
    "Entry",
    "Known",
    "LoadReport",
    "MergeReport",
    "Renamed",
    "Review",
    "Standing",
    "Store",
    "Tuning",
    "Was",
    "WrongClock",
]
