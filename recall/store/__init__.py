"""One SQLite file a person: events are the truth, the rest is derived."""

from typing import TYPE_CHECKING

from recall.store.model import Confusion, DayAhead, DeckInForce, Known, Review, Standing, Was
from recall.store.store import Store

if TYPE_CHECKING:
    from recall.deck.pairing import Renamed
    from recall.store.reports import (
        Diagnosis,
        Entry,
        LoadReport,
        MergeReport,
        Tuning,
        WrongClock,
    )

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


def __getattr__(name: str) -> object:
    """What the rarer requests give back is imported when it is named: a start is felt."""
    if name in __all__:
        from recall.store import reports

        return getattr(reports, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
