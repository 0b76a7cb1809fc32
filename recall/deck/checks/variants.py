"""`unknown-variant`: an `Applies to` that names a variant which the record doesn't declare."""

from collections.abc import Iterator

from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.kinds.effectivity import undeclared


def check(material: Material) -> Iterator[Finding]:
    """Each at the first point that it is said of; nothing where the record declares no aircraft."""
    declared = material.record.aircraft
    told: set[str] = set()
    for asked in material.asked if declared else ():
        for name in undeclared(asked.point.applies, declared):
            if name not in told:
                told.add(name)
                what = f"`Applies to` names `{shown(name)}`, which the record doesn't declare"
                help = (
                    f"name one of {', '.join(map(shown, declared))}, or add it to the record under `aircraft`"
                )
                yield finding("unknown-variant", asked.point.place, what, help)
