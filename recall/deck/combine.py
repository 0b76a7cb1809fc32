"""Points of one key: joined where the answer is a set, one where they say the same, a conflict where they don't."""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence

from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.kinds.effectivity import overlap
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Point, digest, make_cards, named, where

Cards = Callable[[Kind, Point, str], list[Card]]
_CROWD = 200
"""Points of one name that are compared with one another, which takes time by their square."""


@dataclass(slots=True)
class Asked:
    """A point with the cards it would make."""

    point: Point
    cards: list[Card]

    @property
    def answers(self) -> dict[str, str]:
        """Aspect, and its part where it has several → answer hash, of the aspects that can contradict one another."""
        return {self._asks(card): card.answer_hash for card in self.cards if not card.answer.drawn}

    def differs(self, later: "Asked") -> list[str]:
        """The aspects that both answer, and not alike."""
        answers = later.answers
        return [aspect for aspect, said in self.answers.items() if answers.get(aspect, said) != said]

    def answer_shown(self, aspect: str) -> str:
        """What it answers on an aspect, for a message."""
        return next((shown(card.answer.text) for card in self.cards if self._asks(card) == aspect), "")

    def _asks(self, card: Card) -> str:
        return card.aspect if card.condition == self.point.condition else f"{card.aspect} of {card.condition}"


@dataclass(slots=True)
class Combined:
    """What became of a deck's points."""

    asked: list[Asked] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    sources: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """What the source of a joined point is made of."""


def cards_of(kind: Kind, point: Point, deck: str) -> list[Card]:
    """The cards that a point makes by itself."""
    return make_cards(point, kind.drafts(point), deck)


def combine(points: Sequence[Point], kinds: Sequence[Kind], deck: str, make: Cards = cards_of) -> Combined:
    """Join, compare and ask. Points that an error stands against are kept, faulty and without cards. make: gives a
    point's cards, in a list of its own."""
    by_name = {kind.name: kind for kind in kinds}
    groups: dict[tuple[str, ...], list[Point]] = defaultdict(list)
    asides = any("aside" in point.wording for point in points)
    said = {point.about()[::2] for point in points if "aside" not in point.wording} if asides else set()
    for point in points:
        if "aside" in point.wording:
            if (name := point.about()[::2]) in said:
                continue
            said.add(name)
        about = point.about()[2:] if point.id else ()
        groups[(*point.key(deck), *about)].append(point)
    combined = Combined()
    for group in groups.values():
        kind = by_name[group[0].kind]
        kept: list[Point] = []
        if not kind.adds_up and _crowded(group, combined.findings):
            combined.asked += (Asked(point, []) for point in group)
            continue
        for point in group:
            for at, earlier in enumerate(kept):
                joined = None if point.faulty or earlier.faulty else kind.joins(earlier, point)
                if joined is not None:
                    combined.findings += kind.join_findings(earlier, point)
                    both = earlier.source, point.source
                    joined.source = digest(both)
                    combined.sources[joined.source] = both
                    kept[at] = joined
                    break
            else:
                kept.append(point)
        asked = [Asked(point, [] if point.faulty else make(kind, point, deck)) for point in kept]
        combined.asked += _settle(asked, combined.findings) if len(asked) > 1 else asked
    _conflicts_by_aircraft(combined, by_name)
    return combined


def _crowded(group: Sequence[Point], findings: list[Finding]) -> bool:
    """Whether more points are of one name than can be compared with one another; then all are faulty."""
    if len(group) <= _CROWD:
        return False
    first = group[_CROWD]
    what = f"{named(first)} is said {len(group)} times: more than {_CROWD} aren't compared, and none is asked"
    help = "tell them apart by a condition, or put them under headings of their own"
    findings.append(finding("conflicting-points", first.place, what, help))
    for point in group:
        point.faulty = True
    return True


def _settle(group: list[Asked], findings: list[Finding]) -> list[Asked]:
    """Points of one key that can't be joined: doubles are dropped, contradictions are faulty."""
    kept: list[Asked] = []
    for asked in group:
        for earlier in kept:
            if asked.point.faulty or earlier.point.faulty:
                continue
            if earlier.differs(asked):
                conflict(earlier, asked, findings)
            elif asked.answers.keys() <= earlier.answers.keys():
                what = f"{named(asked.point)} is said again, the same as in {where(earlier.point)}"
                findings.append(finding("duplicate-point", asked.point.place, what, "keep one of them"))
                break
        else:
            have = {card.id for earlier in kept for card in earlier.cards}
            asked.cards = [card for card in asked.cards if card.id not in have]
            kept.append(asked)
    return kept


def apart(earlier: Asked, later: Asked, aspect: str) -> str:
    """What two points answer on an aspect, for a message."""
    return (
        f"{named(later.point)} {aspect} is `{later.answer_shown(aspect)}` here and "
        f"`{earlier.answer_shown(aspect)}` in {where(earlier.point)}"
    )


def conflict(earlier: Asked, later: Asked, findings: list[Finding]) -> None:
    """Two answers to one question: neither is asked until the notes agree."""
    what = apart(earlier, later, earlier.differs(later)[0])
    help = "correct the wrong one, or say under `Applies to` which aircraft each is for"
    findings.append(finding("conflicting-points", later.point.place, what, help))
    earlier.point.faulty = later.point.faulty = True


def _conflicts_by_aircraft(combined: Combined, kinds: Mapping[str, Kind]) -> None:
    """The same subject and condition for aircraft that overlap, with two answers that don't add up."""
    live = [one for one in combined.asked if not one.point.faulty and not kinds[one.point.kind].adds_up]
    if len({one.point.applies for one in live}) < 2 and not any(one.point.id for one in live):
        return
    groups: dict[tuple[str, ...], list[Asked]] = defaultdict(list)
    for asked in live:
        groups[asked.point.about()].append(asked)
    for group in groups.values():
        if _crowded([asked.point for asked in group], combined.findings):
            continue
        for at, later in enumerate(group):
            for earlier in group[:at]:
                if later.point.applies == earlier.point.applies and not later.point.id:
                    continue
                one, two = (
                    earlier.point.fits or earlier.point.applies,
                    later.point.fits or later.point.applies,
                )
                if overlap(one, two) and earlier.differs(later):
                    conflict(earlier, later, combined.findings)
                    break
