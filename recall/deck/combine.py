"""Points of one key: joined where the answer is a set, one where they say the same, a conflict where they don't."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from recall.base.finding import Finding, finding
from recall.deck.material import Asked, Material
from recall.kinds.effectivity import overlap
from recall.kinds.kind import Kind
from recall.kinds.model import Point, named, where

_CROWD = 200
"""Points of one name that are compared with one another, which takes time by their square."""


def combine(material: Material) -> Iterator[Finding]:
    """Join, compare and ask. Points that an error stands against are kept, faulty and without cards."""
    by_name = {kind.name: kind for kind in material.kinds}
    groups: dict[tuple[str, ...], list[Point]] = defaultdict(list)
    asides = any("aside" in point.wording for point in material.points)
    said = (
        {point.about()[::2] for point in material.points if "aside" not in point.wording} if asides else set()
    )
    for point in material.points:
        if "aside" in point.wording:
            if (name := point.about()[::2]) in said:
                continue
            said.add(name)
        about = point.about()[2:] if point.id else ()
        groups[(*point.key(""), *about)].append(point)
    for group in groups.values():
        kind = by_name[group[0].kind]
        kept: list[Point] = []
        if not kind.adds_up and len(group) > _CROWD:
            material.asked += (Asked(point, []) for point in group)
            yield _crowded(group)
            continue
        for point in group:
            for at, earlier in enumerate(kept):
                joined = None if point.faulty or earlier.faulty else kind.joins(earlier, point)
                if joined is not None:
                    yield from kind.join_findings(earlier, point)
                    joined.source = material.source_of((earlier.source, point.source))
                    kept[at] = joined
                    break
            else:
                kept.append(point)
        asked = [Asked(point, material.cards_of(kind, point)) for point in kept]
        if len(asked) > 1:
            yield from _settle(asked)
        material.asked += asked
    yield from _conflicts_by_aircraft(material.live, by_name)


def _crowded(group: Sequence[Point]) -> Finding:
    """More points are of one name than can be compared with one another: all are faulty."""
    first = group[_CROWD]
    what = f"{named(first)} is said {len(group)} times: more than {_CROWD} aren't compared, and none is asked"
    help = "tell them apart by a condition, or put them under headings of their own"
    for point in group:
        point.faulty = True
    return finding("conflicting-points", first.place, what, help)


def _settle(group: list[Asked]) -> Iterator[Finding]:
    """Points of one key that can't be joined: doubles are dropped, contradictions are faulty."""
    kept: list[Asked] = []
    for asked in group:
        for earlier in kept:
            if asked.point.faulty or earlier.point.faulty:
                continue
            if earlier.differs(asked):
                yield _conflict(earlier, asked)
            elif asked.answers.keys() <= earlier.answers.keys():
                what = f"{named(asked.point)} is said again, the same as in {where(earlier.point)}"
                yield finding("duplicate-point", asked.point.place, what, "keep one of them")
                break
        else:
            have = {card.id for earlier in kept for card in earlier.cards}
            asked.cards = [card for card in asked.cards if card.id not in have]
            kept.append(asked)
    group[:] = kept


def apart(earlier: Asked, later: Asked, aspect: str) -> str:
    """What two points answer on an aspect, for a message."""
    return (
        f"{named(later.point)} {aspect} is `{later.answer_shown(aspect)}` here and "
        f"`{earlier.answer_shown(aspect)}` in {where(earlier.point)}"
    )


def _conflict(earlier: Asked, later: Asked) -> Finding:
    """Two answers to one question: neither is asked until the notes agree."""
    what = apart(earlier, later, earlier.differs(later)[0])
    help = "correct the wrong one, or say under `Applies to` which aircraft each is for"
    earlier.point.faulty = later.point.faulty = True
    return finding("conflicting-points", later.point.place, what, help)


def _conflicts_by_aircraft(live: Sequence[Asked], kinds: Mapping[str, Kind]) -> Iterator[Finding]:
    """The same subject and condition for aircraft that overlap, with two answers that don't add up."""
    live = [one for one in live if not kinds[one.point.kind].adds_up]
    if len({one.point.applies for one in live}) < 2 and not any(one.point.id for one in live):
        return
    groups: dict[tuple[str, ...], list[Asked]] = defaultdict(list)
    for asked in live:
        groups[asked.point.about()].append(asked)
    for group in groups.values():
        if len(group) > _CROWD:
            yield _crowded([asked.point for asked in group])
            continue
        for at, later in enumerate(group):
            for earlier in group[:at]:
                if later.point.applies == earlier.point.applies and not later.point.id:
                    continue
                if overlap(earlier.point.fits, later.point.fits) and earlier.differs(later):
                    yield _conflict(earlier, later)
                    break
