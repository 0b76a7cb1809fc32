"""`no-citation`: a critical point or a limit that names no source."""

from collections.abc import Iterator

from recall.base.finding import Finding, finding
from recall.deck.material import Material
from recall.kinds.model import named


def check(material: Material) -> Iterator[Finding]:
    """The record's authority cites the manual as a whole: enough for a limit, not for a critical point."""
    for asked in material.asked:
        point = asked.point
        if point.cite or point.faulty:
            continue
        if point.critical:
            what = f"critical {point.kind} {named(point)} names no source"
            help = "add a `Source` column, or a line `Source: …` under its heading"
            yield finding("no-citation", point.place, what, help)
        elif point.kind == "limit" and not material.record.authority:
            help = "add a `Source` column or line, or name the manual as `authority` in the record"
            yield finding("no-citation", point.place, f"limit {named(point)} names no source", help)
