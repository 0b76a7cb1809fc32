"""`bad-id`: an id that is malformed, or given twice in a deck."""

from collections.abc import Iterator

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.kinds.model import Point, where

_ID = re.compile(r"[A-Za-z0-9_-]+")


def check(material: Material) -> Iterator[Finding]:
    """Both points of a doubled id are faulty: nobody can tell whose history is whose."""
    first: dict[str, Point] = {}
    for asked in material.asked:
        point = asked.point
        if not point.id:
            continue
        if not _ID.fullmatch(point.id):
            message = f"id `{shown(point.id)}` is malformed"
            yield finding("bad-id", point.place, message, "use letters, digits, `-` and `_` only")
            point.faulty = True
        elif point.id in first:
            message = f"id `{point.id}` is given twice, first in {where(first[point.id])}"
            yield finding("bad-id", point.place, message, "give each point an id of its own")
            point.faulty = first[point.id].faulty = True
        else:
            first[point.id] = point
