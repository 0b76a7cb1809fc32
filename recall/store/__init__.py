"""One SQLite file a person: events are the truth, the rest is derived."""

from recall.store.model import DayAhead, DeckInForce, Known, Review
from recall.store.store import Store

__all__ = ["DayAhead", "DeckInForce", "Known", "Review", "Store"]
