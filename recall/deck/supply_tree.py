"""A deck's supplies as a tree in plain lines, and what one failure comes to for each of its aircraft."""

from collections.abc import Iterator, Sequence

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.deck.supply import Feed, Outcome, Supplies
from recall.deck.supply_aircraft import Aircraft, aircraft_of, alike
from recall.kinds.model import Point


@dataclass(frozen=True, slots=True)
class Branch:
    """One line of the tree. last: for each stage above it and itself, whether it is the last there; notes: what
    holds of it, such as `backup: Bus 2`."""

    key: str
    name: str
    last: tuple[bool, ...]
    notes: tuple[str, ...] = ()


def outcomes(points: Sequence[Point], *failed: str) -> list[tuple[tuple[Aircraft, ...], Outcome]]:
    """What follows when things of these names fail together, once for all aircraft that are alike in it.

    No aircraft stand beside an outcome where the notes tell none apart. Raises RecallError for an unknown name.
    """
    supplied = [point for point in points if point.kind == "supply"]
    whole = Supplies(supplied)
    keys = [whole.find(name) for name in failed]
    found: list[tuple[Aircraft, Outcome]] = []
    for aircraft in aircraft_of(point.applies for point in supplied):
        supplies = Supplies(supplied, aircraft.applies)
        here = [name for name, key in zip(failed, keys, strict=True) if key in supplies.names]
        if here:
            found.append((aircraft, supplies.lost(*here)))
    groups = alike(found)
    if len(groups) == 1:
        return [((), groups[0][1])]
    return groups or [((), whole.lost(*failed))]


def branches(supplies: Supplies) -> Iterator[Branch]:
    """The tree from everything that nothing feeds; what several sources feed is opened out once."""
    loads: dict[str, list[Feed]] = {}
    for feed in supplies.feeds:
        loads.setdefault(feed.source, []).append(feed)
    shown: set[str] = set()

    def under(key: str, last: tuple[bool, ...]) -> Iterator[Branch]:
        stack = [(key, last, iter(_unlike(loads.get(key, ()))))]
        while stack:
            source, above, rows = stack[-1]
            row = next(rows, None)
            if row is None:
                stack.pop()
                continue
            feed, ends = row
            here = (*above, ends)
            known = feed.load in shown
            shown.add(feed.load)
            yield Branch(feed.load, supplies.names[feed.load], here, _notes(supplies, feed, source, known))
            if not known:
                stack.append((feed.load, here, iter(_unlike(loads.get(feed.load, ())))))

    roots = [source for source in supplies.sources if source not in supplies.feeding]
    for source in (*roots, *supplies.sources):
        if source not in shown:
            shown.add(source)
            yield Branch(source, supplies.names[source], (), () if source in roots else ("feeds itself",))
            yield from under(source, ())


def _unlike(feeds: Sequence[Feed]) -> list[tuple[Feed, bool]]:
    """Each load once, with whether it is the last."""
    once = list({feed.load: feed for feed in reversed(feeds)}.values())[::-1]
    return [(feed, feed is once[-1]) for feed in once]


def _notes(supplies: Supplies, feed: Feed, source: str, known: bool) -> tuple[str, ...]:
    names = supplies.names
    rows = [row for row in supplies.feeding[feed.load] if row.source == source]
    others = dict.fromkeys(names[row.source] for row in supplies.feeding[feed.load] if row.source != source)
    notes = []
    if others:
        notes.append("also from " + ", ".join(others))
    for row in rows:
        if row.needs:
            notes.append(
                "needs " + ", ".join(" or ".join(names[key] for key in group) for group in row.needs)
            )
        if row.automatic:
            notes.append("backup " + ", ".join(names[key] for key in row.automatic))
        for backup in row.backups:
            if backup.manual:
                how = f" ({backup.how})" if backup.how else ""
                notes.append(f"by hand {names[backup.name]}{how}" if backup.name else f"by hand{how}")
    if known:
        notes.append("loads shown above" if feed.load in supplies.sources else "shown above")
    return tuple(dict.fromkeys(notes))


def no_supplies(path: object) -> RecallError:
    """For a path whose notes hold no supply."""
    return RecallError(
        f"there is no supply in `{path}`",
        "write a table with the columns `From` and `Feeds`, then run it again",
    )
