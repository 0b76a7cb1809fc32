"""`no-citation`: a critical point or a limit that names no source."""

from recall.base.finding import Finding, finding
from recall.deck.checks.material import Material
from recall.deck.combine import named


def check(material: Material) -> list[Finding]:
    """The record's authority cites the manual as a whole: enough for a limit, not for a critical point."""
    findings = []
    for asked in material.asked:
        point = asked.point
        if point.cite or point.faulty:
            continue
        if point.critical:
            findings.append(
                finding(
                    "no-citation",
                    point.place,
                    f"critical {point.kind} {named(point)} names no source",
                    "add a `Source` column, or a line `Source: …` under its heading",
                )
            )
        elif point.kind == "limit" and not material.record.authority:
            findings.append(
                finding(
                    "no-citation",
                    point.place,
                    f"limit {named(point)} names no source",
                    "add a `Source` column or line, or name the manual as `authority` in the record",
                )
            )
    return findings
