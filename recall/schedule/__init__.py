"""From a memory and a mark to the next memory; the only importer of `fsrs`.

`recall.schedule.batch` holds the same for many cards at once; it isn't imported here, since numpy costs a start.
"""

from recall.schedule.model import (
    DEFAULT,
    Memory,
    Parameters,
    due_day,
    interval,
    recall_at,
)
from recall.schedule.single import answered, check

__all__ = [
    "DEFAULT",
    "Memory",
    "Parameters",
    "answered",
    "check",
    "due_day",
    "interval",
    "recall_at",
]
