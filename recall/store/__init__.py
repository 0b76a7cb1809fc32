"""One SQLite file a person: events are the truth, the rest is derived."""

from recall.store.model import (
    Confusion,
    DayAhead,
    DeckInForce,
    Entry,
    Known,
    LoadReport,
    Renamed,
    Review,
    Standing,
    Was,
)
from recall.store.store import Store

__all__ = [
    "Confusion",
    "DayAhead",
    "DeckInForce",
    "Entry",
    "Known",
    "LoadReport",
    "Renamed",
    "Review",
    "Standing",
    "Store",
    "Was",
]
