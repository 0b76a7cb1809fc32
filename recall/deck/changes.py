"""The difference of two decks: what a student meets as new, withdrawn, changed, moved, renamed or reworded."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from recall.base.text import key_form, one_line
from recall.deck.model import Deck
from recall.kinds.model import Card, Point, digest

What = Literal["changed", "new", "withdrawn", "moved", "renamed", "reworded"]
WHATS: tuple[What, ...] = ("changed", "new", "withdrawn", "renamed", "moved", "reworded")
"""In the order in which they are told."""
REAL: frozenset[What] = frozenset(("changed", "new", "withdrawn", "renamed"))
"""Those that a student must learn of; a move or a rewording is no change."""
LIKENESS = 0.6
"""Subjects less alike than this aren't proposed as one."""
_WIDEST = 100_000
"""Pairs of subjects compared at most for one answer."""

Part = tuple[str, str, str]
"""What tells the cards of one point apart: aspect, part or condition, aircraft."""


@dataclass(frozen=True, slots=True)
class Change:
    """One point that isn't as it was. old, new: answers, of the aspects named in `aspect`; for a move where it stood
    and stands; for a rewording the words. file, line: in the new deck, of a withdrawn point in the old one.
    likeness: of the subjects of a renaming, 0 to 1; `before`: its old subject."""

    change: What
    kind: str
    topic: tuple[str, ...]
    subject: str
    condition: str
    old: str
    new: str
    file: str
    line: int
    aspect: str = ""
    critical: bool = False
    likeness: float | None = None
    before: str = ""


@dataclass(frozen=True, slots=True)
class Renamed:
    """Two points that may be one under a new subject. likeness: 0 to 1."""

    source: str
    target: str
    old_subject: str
    new_subject: str
    likeness: float


@dataclass(slots=True)
class _Side:
    """A point of one deck with its cards."""

    point: Point
    cards: dict[Part, Card] = field(default_factory=dict)


def sense(card: Card) -> tuple[str, ...]:
    """What stays equal when a card moves."""
    subject = key_form(card.subject, keep_case=card.kind == "abbreviation")
    return (card.kind, card.aspect, subject, key_form(card.condition), card.answer_hash)


def changes_between(old: Deck, new: Deck) -> list[Change]:
    """All changes, in the order of the new notes within each sort; slugs don't matter.

    Points of the new deck with an error, and those of files that couldn't be read, pause: nothing is said of them.
    """
    before, after = _sides(old), _sides(new)
    paused = {_key(point.key("")) for point in new.points if point.faulty}
    gone = {
        key: side
        for key, side in before.items()
        if key not in after and key not in paused and side.point.place.file not in new.paused_files
    }
    come = {key: side for key, side in after.items() if key not in before}
    pairs = {key: key for key in before.keys() & after.keys()}
    moves = _moves(gone, come)
    pairs |= {target: source for source, target in moves.items()}
    left = {key: list(side.cards.values()) for key, side in gone.items() if key not in moves}
    free = {key: list(side.cards.values()) for key, side in come.items() if key not in pairs}
    renamed = {each.target: each for each in renamings(left, free)}
    found: list[Change] = []
    for key, side in after.items():
        if key in pairs:
            found += _compared(before[pairs[key]], side, new, moved=pairs[key] != key)
        elif key in renamed:
            one = renamed[key]
            was = _answers(before[one.source].cards.values())
            found.append(_change("renamed", side, new, was, _answers(side.cards.values()), renaming=one))
        else:
            found.append(_change("new", side, new, "", _answers(side.cards.values())))
    taken = {each.source for each in renamed.values()}
    found += [
        _change("withdrawn", gone[key], old, _answers(gone[key].cards.values()), "")
        for key in left
        if key not in taken
    ]
    return sorted(found, key=lambda one: WHATS.index(one.change))


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
                if (source, target) in alike:
                    continue
                matcher.set_seq1(subject.casefold())
                if matcher.real_quick_ratio() >= LIKENESS and matcher.quick_ratio() >= LIKENESS:
                    ratio = matcher.ratio()
                    if ratio >= LIKENESS:
                        alike[source, target] = Renamed(
                            source, target, subject, card.subject, round(ratio, 2)
                        )
    ranked = sorted(alike.values(), key=lambda each: (-each.likeness, each.source, each.target))
    found: list[Renamed] = []
    sources_taken: set[str] = set()
    targets_taken: set[str] = set()
    for each in ranked:
        if each.source not in sources_taken and each.target not in targets_taken:
            found.append(each)
            sources_taken.add(each.source)
            targets_taken.add(each.target)
    return found


def _key(parts: Sequence[str]) -> str:
    """A point's identity whatever its deck is called. parts: its key."""
    return "\0".join(parts[1:])


def _sides(deck: Deck) -> dict[str, _Side]:
    """Points that make cards, by identity, in order."""
    slug = deck.record.deck
    sides: dict[str, _Side] = {}
    by_id: dict[str, _Side] = {}
    for point in deck.points:
        if not point.faulty:
            parts = point.key(slug)
            by_id[digest(parts)] = sides.setdefault(_key(parts), _Side(point))
    for card in deck.cards:
        part = (card.aspect, key_form(card.condition), key_form(card.applies))
        by_id[card.point].cards[part] = card
    return {key: side for key, side in sides.items() if side.cards}


def _moves(gone: Mapping[str, _Side], come: Mapping[str, _Side]) -> dict[str, str]:
    """Old identity to new one, where a card went and exactly one of the same sense came."""
    went, came = _by_sense(gone), _by_sense(come)
    votes: Counter[tuple[str, str]] = Counter()
    for meaning, sources in went.items():
        targets = came.get(meaning, ())
        if len(sources) == 1 and len(targets) == 1:
            votes[sources[0], targets[0]] += 1
    moves: dict[str, str] = {}
    for (source, target), _ in sorted(votes.items(), key=lambda vote: (-vote[1], vote[0])):
        if source not in moves and target not in moves.values():
            moves[source] = target
    return moves


def _by_sense(sides: Mapping[str, _Side]) -> dict[tuple[str, ...], list[str]]:
    found: dict[tuple[str, ...], list[str]] = {}
    for key, side in sides.items():
        for card in side.cards.values():
            found.setdefault(sense(card), []).append(key)
    return found


def _compared(old: _Side, new: _Side, deck: Deck, *, moved: bool) -> list[Change]:
    """What is to be said of one point in two decks; nothing where all is as it was."""
    other = _without_aircraft(old) if moved else old.cards
    own = _without_aircraft(new) if moved else new.cards
    parts = [
        part
        for part in dict.fromkeys((*own, *other))
        if part not in own or part not in other or own[part].answer_hash != other[part].answer_hash
    ]
    if any(part[0] != "reading" for part in parts):
        before = [other[part] for part in parts if part in other]
        now = [own[part] for part in parts if part in own]
        kept = _telling([*before, *now])
        aspects = list(dict.fromkeys(card.aspect for card in (*before, *now) if card.aspect in kept))
        label = len(aspects) > 1
        texts = [
            _answers((card for card in cards if card.aspect in kept), label=label) for cards in (before, now)
        ]
        return [_change("changed", new, deck, *texts, aspect=", ".join(aspects))]
    if moved:
        return [_change("moved", new, deck, *_places(old.point, new.point))]
    words = _reworded(old, new)
    return [] if words is None else [_change("reworded", new, deck, *words)]


def _without_aircraft(side: _Side) -> dict[Part, Card]:
    return {(aspect, part, ""): card for (aspect, part, _), card in side.cards.items()}


def _places(old: Point, new: Point) -> tuple[str, str]:
    """Where a moved point stood and stands: its headings, or what else tells the two apart."""
    for one, two in (
        (" / ".join(old.topic), " / ".join(new.topic)),
        (old.applies or "all aircraft", new.applies or "all aircraft"),
        (f"#{old.id}" if old.id else "no id", f"#{new.id}" if new.id else "no id"),
    ):
        if one != two:
            return one, two
    return old.place.file, new.place.file


def _reworded(old: _Side, new: _Side) -> tuple[str, str] | None:
    """The first words that differ where the answers don't."""
    for part, card in new.cards.items():
        before = old.cards.get(part)
        if before is None:
            continue
        if _words(before) == _words(card):
            continue
        for one, two in (
            (before.answer.text, card.answer.text),
            (before.prompt, card.prompt),
            (_labelled("source", before.cite), _labelled("source", card.cite)),
            (_labelled("why", before.why), _labelled("why", card.why)),
            ("critical" if before.critical else "", "critical" if card.critical else ""),
            ("; ".join(f"{a}: {b}" for a, b in before.extra), "; ".join(f"{a}: {b}" for a, b in card.extra)),
        ):
            if one != two:
                return one, two
    return None


def _words(card: Card) -> tuple[object, ...]:
    return (card.answer.texts, card.prompt, card.cite, card.why, card.critical, card.extra)


def _labelled(label: str, text: str) -> str:
    return f"{label}: {text}" if text else ""


def _telling(cards: Iterable[Card]) -> frozenset[str]:
    """The aspects that tell a point's answers: readings follow its limits, each next step the order of all."""
    aspects = {card.aspect for card in cards}
    for whole, follows in (("order", {"next"}), ("feeds", {"fed-by"}), ("meaning", {"abbreviation"})):
        if whole in aspects:
            aspects -= follows
    return frozenset(aspects - {"reading"} or aspects)


def _answers(cards: Iterable[Card], *, label: bool | None = None) -> str:
    """The answers of some cards of one point as one text, by aspect where there are several."""
    cards = list(cards)
    kept = _telling(cards)
    cards = [card for card in cards if card.aspect in kept and card.answer.texts]
    if label is None:
        label = len({card.aspect for card in cards}) > 1
    said = (f"{card.aspect}: {card.answer.text}" if label else card.answer.text for card in cards)
    return one_line("; ".join(dict.fromkeys(said)))


def _change(
    what: What,
    side: _Side,
    deck: Deck,
    old: str,
    new: str,
    *,
    aspect: str = "",
    renaming: Renamed | None = None,
) -> Change:
    point = side.point
    return Change(
        change=what,
        kind=point.kind,
        topic=point.topic,
        subject=point.subject,
        condition=point.condition,
        old=old,
        new=new,
        file=deck.source.named(point.place.file),
        line=point.place.line,
        aspect=aspect,
        critical=any(card.critical for card in side.cards.values()),
        likeness=renaming.likeness if renaming else None,
        before=renaming.old_subject if renaming else "",
    )
