"""The points of two decks in pairs: the same, moved, renamed; and those that may have been renamed."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from recall.base.dataclass import dataclass, field
from recall.base.text import key_form
from recall.deck.model import Deck
from recall.kinds.model import Card, Point, digest

LIKENESS = 0.6
"""Subjects less alike than this aren't proposed as one."""
_WIDEST = 100_000
"""Pairs of subjects compared at most for one answer."""

Meaning = tuple[str, ...]
Part = tuple[str, str, str]
"""What tells the cards of one point apart: aspect, part or condition, aircraft."""


@dataclass(frozen=True, slots=True)
class Renamed:
    """Two points that may be one under a new subject. likeness: 0 to 1."""

    source: str
    target: str
    old_subject: str
    new_subject: str
    likeness: float


@dataclass(slots=True)
class Side:
    """A point of one deck with its cards."""

    point: Point
    cards: dict[Part, Card] = field(default_factory=dict)


def sense(card: Card) -> Meaning:
    """What stays equal when a card moves."""
    subject = key_form(card.subject, keep_case=card.kind == "abbreviation")
    return (card.kind, card.aspect, subject, key_form(card.condition), card.answer_hash)


def alone(
    old: Iterable[tuple[str, Meaning]], new: Iterable[tuple[str, Meaning]]
) -> Iterator[tuple[str, str]]:
    """Of things with their meanings, those of which exactly one of a meaning went and exactly one came."""
    groups: dict[Meaning, tuple[list[str], list[str]]] = defaultdict(lambda: ([], []))
    for at, side in enumerate((old, new)):
        for name, meaning in side:
            groups[meaning][at].append(name)
    return ((went[0], came[0]) for went, came in groups.values() if len(went) == len(came) == 1)


@dataclass(slots=True)
class Match:
    """The points of two decks, paired. pairs: new identity → old one; gone, come: those left over, with cards."""

    before: dict[str, Side]
    after: dict[str, Side]
    pairs: dict[str, str]
    gone: dict[str, list[Card]]
    come: dict[str, list[Card]]


def match(old: Deck, new: Deck) -> Match:
    """The points of two decks in pairs. Those with an error in the new one, and those of files that couldn't be read,
    pause: nothing is said of them."""
    before, after = _sides(old), _sides(new)
    paused = {_key(point.key("")) for point in new.points if point.faulty}
    gone = {
        key: side
        for key, side in before.items()
        if key not in after and key not in paused and side.point.place.file not in new.paused_files
    }
    come = {key: side for key, side in after.items() if key not in before}
    moves = _moves(gone, come)
    pairs = {key: key for key in before.keys() & after.keys()}
    pairs |= {target: source for source, target in moves.items()}
    left = {key: list(side.cards.values()) for key, side in gone.items() if key not in moves}
    free = {key: list(side.cards.values()) for key, side in come.items() if key not in pairs}
    return Match(before, after, pairs, left, free)


def alike_between(old: Deck, new: Deck) -> list[Renamed]:
    """Points withdrawn and new that may be one under a new subject: for the author to decide."""
    found = match(old, new)
    return renamings(found.gone, found.come)


def named_renaming(old: Deck, new: Deck, before: str, after: str) -> Renamed | None:
    """The renaming that an author names by both subjects; None where not exactly one point went under the first and
    one of its kind came under the second."""
    found = match(old, new)
    went, came = (
        [key for key, cards in sides.items() if key_form(cards[0].subject) == key_form(subject)]
        for sides, subject in ((found.gone, before), (found.come, after))
    )
    pairs = [
        Renamed(source, target, found.before[source].point.subject, found.after[target].point.subject, 1.0)
        for source in went
        for target in came
        if found.before[source].point.kind == found.after[target].point.kind
    ]
    return pairs[0] if len(pairs) == 1 else None


def renaming_of(old: Deck, new: Deck, cards: Mapping[str, str]) -> list[Renamed]:
    """The renamings that `cards_renamed` told by the ids of cards."""
    found = match(old, new)
    went, came = (
        {card.id: (key, card.subject) for key, side in sides.items() for card in side.cards.values()}
        for sides in (found.before, found.after)
    )
    pairs = {
        (*went[source], *came[target])
        for target, source in cards.items()
        if target in came and source in went
    }
    return [Renamed(source, target, before, after, 1.0) for source, before, target, after in sorted(pairs)]


def cards_renamed(old: Deck, new: Deck, renamed: Iterable[Renamed]) -> dict[str, str]:
    """Which cards go on from which by renamings that were decided, aspect by aspect: new id → old id."""
    before, after = _sides(old), _sides(new)
    found: dict[str, str] = {}
    for each in renamed:
        sides = [
            {(aspect, part if part != key_form(side.point.condition) else ""): card.id
             for (aspect, part, _), card in side.cards.items()}
            for side in (before[each.source], after[each.target])
        ]  # fmt: skip
        found |= {sides[1][part]: sides[0][part] for part in sides[1] if part in sides[0]}
    return found


def renamings(gone: Mapping[str, Sequence[Card]], come: Mapping[str, Sequence[Card]]) -> list[Renamed]:
    """Points that went while one of the same kind and with an answer of theirs came under a like subject, the most
    alike first; each point in one pair at most. gone, come: cards by point."""
    from difflib import SequenceMatcher

    went: dict[tuple[str, str, str], dict[str, str]] = {}
    for source, cards in gone.items():
        for card in cards:
            went.setdefault((card.kind, card.aspect, card.answer_hash), {})[source] = card.subject
    alike: dict[tuple[str, str], Renamed] = {}
    for target, cards in come.items():
        for card in cards:
            sources = went.get((card.kind, card.aspect, card.answer_hash), {})
            if len(sources) * len(come) > _WIDEST and len(sources) > len(cards) * 50:
                continue
            matcher = SequenceMatcher(None, "", card.subject.casefold())
            for source, subject in sources.items():
                # One of an equal name stands elsewhere, or under another condition: no new name.
                if (source, target) in alike or key_form(subject) == key_form(card.subject):
                    continue
                matcher.set_seq1(subject.casefold())
                ratios = (matcher.real_quick_ratio, matcher.quick_ratio, matcher.ratio)
                if all(ratio() >= LIKENESS for ratio in ratios):
                    likeness = round(matcher.ratio(), 2)
                    alike[source, target] = Renamed(source, target, subject, card.subject, likeness)
    ranked = sorted(alike.values(), key=lambda each: (-each.likeness, each.source, each.target))
    found: dict[str, Renamed] = {}
    taken: set[str] = set()
    for each in ranked:
        if each.source not in taken and each.target not in found:
            found[each.target] = each
            taken.add(each.source)
    return list(found.values())


def _key(parts: Sequence[str]) -> str:
    """A point's identity whatever its deck is called. parts: its key."""
    return "\0".join(parts[1:])


def _sides(deck: Deck) -> dict[str, Side]:
    """Points that make cards, by identity, in order."""
    slug = deck.record.deck
    sides: dict[str, Side] = {}
    by_id: dict[str, Side] = {}
    for point in deck.points:
        if not point.faulty:
            parts = point.key(slug)
            by_id[digest(parts)] = sides.setdefault(_key(parts), Side(point))
    for card in deck.cards:
        part = (card.aspect, key_form(card.condition), key_form(card.applies))
        by_id[card.point].cards[part] = card
    return {key: side for key, side in sides.items() if side.cards}


def _moves(gone: Mapping[str, Side], come: Mapping[str, Side]) -> dict[str, str]:
    """Old identity to new one, where a card went and exactly one of the same sense came."""
    senses = (
        [(key, sense(card)) for key, side in sides.items() for card in side.cards.values()]
        for sides in (gone, come)
    )
    votes = Counter(alone(*senses))
    moves: dict[str, str] = {}
    for (source, target), _ in sorted(votes.items(), key=lambda vote: (-vote[1], vote[0])):
        if source not in moves and target not in moves.values():
            moves[source] = target
    return moves
