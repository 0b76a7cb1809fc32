"""What is told of supplies: a thing that feeds itself through other things, a backup that nobody knows."""

from collections.abc import Iterable, Iterator

from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.deck.source import file_shown

_ALIKE = 0.8


def cards(material: Material) -> Iterable[Finding]:
    """The computed cards of a deck that has supplies."""
    if not any(asked.point.kind == "supply" for asked in material.live):
        return ()
    from recall.deck.supply_cards import ask_supplies

    return ask_supplies(material)


def feeds_itself(material: Material) -> Iterator[Finding]:
    """`supply-loop`: one finding a loop, at its last row; every row that lies in a loop makes its point faulty."""
    supplied = [asked for asked in material.asked if asked.point.kind == "supply"]
    if not supplied:
        return
    from recall.deck.supply import Supplies
    from recall.deck.supply_aircraft import aircraft_of
    from recall.deck.supply_loops import looped, loops

    points = [asked.point for asked in supplied]
    order = {file_shown(file): at for at, file in enumerate(material.source.files)}
    told: set[frozenset[str]] = set()
    for aircraft in aircraft_of(point.applies for point in points):
        supplies = Supplies(points, aircraft.applies)
        inside = looped(supplies)
        for feed in supplies.feeds:
            if feed.source in inside and feed.load in inside:
                feed.point.faulty = True
        fed = {supplies.names[name] for name in inside}
        for asked in supplied:
            asked.cards = [
                card for card in asked.cards if card.aspect != "fed-by" or not fed & {*card.answer.texts}
            ]
        for loop in loops(supplies):
            rows = sorted(loop, key=lambda feed: (order.get(feed.place.file, 0), feed.place.line))
            first, last = rows[0], rows[-1]
            at = loop.index(first)
            names = [shown(supplies.names[feed.source]) for feed in (*loop[at:], *loop[:at])]
            way = " → ".join((*names, names[0]))
            begun = f", from {shown(first.place.file)} line {first.place.line}" if last is not first else ""
            if (knot := frozenset(feed.source for feed in loop)) not in told:
                told.add(knot)
                what = f"`{names[0]}` feeds itself: `{way}`{begun}"
                help = "take the wrong row out; if one feeds the other only when it fails, write it under `Backup`"
                yield finding("supply-loop", last.place, what, help)


def unknown(material: Material) -> Iterator[Finding]:
    """`unknown-supply`: a backup that the deck names nowhere else. One finding a name, at its first row: nothing can
    be computed of what feeds it, so it counts as alive."""
    if not any(asked.point.kind == "supply" for asked in material.asked):
        return
    import difflib

    from recall.deck.supply import Supplies

    supplies = Supplies(asked.point for asked in material.asked)
    known = {feed.load for feed in supplies.feeds} | set(supplies.sources)
    known |= {key for feed in supplies.feeds for group in feed.needs for key in group}
    told = {""}
    backed = [(feed, backup.name) for feed in supplies.feeds for backup in feed.backups]
    for row, name in backed:
        if name not in known and name not in told:
            told.add(name)
            near = difflib.get_close_matches(name, known, 1, _ALIKE)
            meant = f"write `{shown(supplies.names[near[0]])}` if it is that, else " if near else ""
            named = f"`{shown(supplies.names[name])}` of `{shown(supplies.names[row.load])}`"
            what = f"backup {named} is named nowhere else: it is taken to be alive always"
            help = f"{meant}say in a row of its own what feeds it"
            yield finding("unknown-supply", row.place, what, help)
