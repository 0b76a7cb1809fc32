"""`unknown-supply`: a backup that the deck names nowhere else."""

import difflib

from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.checks.material import Material
from recall.deck.supply import Supplies

_ALIKE = 0.8


def check(material: Material) -> list[Finding]:
    """One finding a name, at its first row: nothing can be computed of what feeds it, so it counts as alive."""
    supplies = Supplies(asked.point for asked in material.asked)
    known = {feed.load for feed in supplies.feeds} | set(supplies.sources)
    known |= {key for feed in supplies.feeds for group in feed.needs for key in group}
    findings: dict[str, Finding] = {}
    for feed in supplies.feeds:
        for backup in feed.backups:
            if backup.name and backup.name not in known and backup.name not in findings:
                near = difflib.get_close_matches(backup.name, known, 1, _ALIKE)
                meant = f"write `{shown(supplies.names[near[0]])}` if it is that, else " if near else ""
                findings[backup.name] = finding(
                    "unknown-supply",
                    feed.place,
                    f"backup `{shown(supplies.names[backup.name])}` of `{shown(supplies.names[feed.load])}` "
                    "is named nowhere else: it is taken to be alive always",
                    f"{meant}say in a row of its own what feeds it",
                )
    return list(findings.values())
