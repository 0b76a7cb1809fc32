"""Points of one key: joined where the answer is a set, one where they say the same, a conflict where they don't."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from recall.base.finding import Finding, finding
from recall.base.text import key_form
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
    asides = [point for point in material.points if "aside" in point.wording]
    said = (
        {point.about()[::2] for point in material.points if "aside" not in point.wording} if asides else set()
    )
    for point in material.points:
        about = point.about()
        if "aside" in point.wording:
            if about[::2] in said:
                continue
            said.add(about[::2])
        groups[about].append(point)
    for group in groups.values():
        kind = by_name[group[0].kind]
        if not kind.adds_up and len(group) > _CROWD:
            yield _crowded(group)
        kept: list[Point] = []
        for point in group:
            alike = ((at, one) for at, one in enumerate(kept) if not point.faulty and _one_key(one, point))
            pairs = ((at, one, kind.joins(one, point)) for at, one in alike if not one.faulty)
            at, earlier, joined = next((pair for pair in pairs if pair[2]), (0, point, None))
            if joined is None:
                kept.append(point)
                continue
            yield from kind.join_findings(earlier, point)
            joined.source = material.source_of((earlier.source, point.source))
            kept[at] = joined
        asked = [Asked(point, material.cards_of(kind, point)) for point in kept]
        yield from _settle(asked, kind) if len(asked) > 1 else ()
        material.asked += asked


def _one_key(one: Point, two: Point) -> bool:
    """Whether two points that are about one thing are known by one key."""
    return one.id == two.id and (one.id != "" or key_form(one.applies) == key_form(two.applies))


def _crowded(group: Sequence[Point]) -> Finding:
    """More points are of one name than can be compared with one another: all are faulty."""
    first = group[_CROWD]
    what = f"{named(first)} is said {len(group)} times: more than {_CROWD} aren't compared, and none is asked"
    help = "tell them apart by a condition, or put them under headings of their own"
    for point in group:
        point.faulty = True
    return finding("conflicting-points", first.place, what, help)


def _settle(asked: list[Asked], kind: Kind) -> Iterator[Finding]:
    """Points about one thing that can't be joined: doubles are dropped; two answers for aircraft that overlap
    contradict each other."""
    kept: list[Asked] = []
    for later in asked:
        for earlier in kept:
            one, two = earlier.point, later.point
            if one.faulty or two.faulty:
                continue
            same = _one_key(one, two)
            if (same or (not kind.adds_up and overlap(one.fits, two.fits))) and earlier.differs(later):
                yield _conflict(earlier, later)
            elif same and later.answers.keys() <= earlier.answers.keys():
                what = f"{named(two)} is said again, the same as in {where(one)}"
                yield finding("duplicate-point", two.place, what, "keep one of them")
                break
        else:
            have = {card.id for earlier in kept for card in earlier.cards}
            later.cards = [card for card in later.cards if card.id not in have]
            kept.append(later)
    asked[:] = kept


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
