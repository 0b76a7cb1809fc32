"""`unknown-supply`: a backup that the deck names nowhere else."""

import difflib
from collections.abc import Iterator

from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.deck.supply import Supplies

_ALIKE = 0.8


def check(material: Material) -> Iterator[Finding]:
    """One finding a name, at its first row: nothing can be computed of what feeds it, so it counts as alive."""
    supplies = Supplies(asked.point for asked in material.asked)
    known = {feed.load for feed in supplies.feeds} | set(supplies.sources)
    known |= {key for feed in supplies.feeds for group in feed.needs for key in group}
    told: set[str] = set()
    for feed in supplies.feeds:
        for backup in feed.backups:
            if backup.name and backup.name not in known and backup.name not in told:
                near = difflib.get_close_matches(backup.name, known, 1, _ALIKE)
                meant = f"write `{shown(supplies.names[near[0]])}` if it is that, else " if near else ""
                named = f"`{shown(supplies.names[backup.name])}` of `{shown(supplies.names[feed.load])}`"
                what = f"backup {named} is named nowhere else: it is taken to be alive always"
                told.add(backup.name)
                yield finding(
                    "unknown-supply", feed.place, what, f"{meant}say in a row of its own what feeds it"
                )
