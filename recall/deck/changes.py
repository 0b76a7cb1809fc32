"""The difference of two decks: what a student meets as new, withdrawn, changed, moved, renamed or reworded."""

from collections.abc import Iterable, Iterator
from typing import Literal

from recall.base.dataclass import dataclass
from recall.base.text import one_line
from recall.deck.model import Deck
from recall.deck.pairing import Part, Renamed, Side, match
from recall.kinds.model import Card, Point

What = Literal["changed", "new", "withdrawn", "moved", "renamed", "reworded"]
WHATS: tuple[What, ...] = ("changed", "new", "withdrawn", "renamed", "moved", "reworded")
"""In the order in which they are told."""
REAL: frozenset[What] = frozenset(("changed", "new", "withdrawn", "renamed"))
"""Those that a student must learn of; a move or a rewording is no change."""


@dataclass(frozen=True, slots=True)
class Change:
    """One point that isn't as it was. old, new: answers, of the aspects named in `aspect`; for a move where it stood
    and stands; for a rewording the words. file, line: in the new deck, of a withdrawn point in the old one.
    before: the old subject of a renaming."""

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
    before: str = ""


def changes_between(old: Deck, new: Deck, renamed: Iterable[Renamed] = ()) -> list[Change]:
    """All changes, in the order of the new notes within each sort; slugs don't matter. renamed: the renamings that
    were decided; any other point that went is withdrawn, any other that came is new."""
    matched = match(old, new)
    decided = {each.target: each for each in renamed}
    found: list[Change] = []
    for key, side in matched.after.items():
        if key in matched.pairs:
            source = matched.pairs[key]
            found += _compared(matched.before[source], side, new, moved=source != key)
        elif key in decided:
            one = decided[key]
            said = (_answers(each.cards.values()) for each in (matched.before[one.source], side))
            found.append(_change("renamed", side, new, *said, before=one.old_subject))
        else:
            found.append(_change("new", side, new, "", _answers(side.cards.values())))
    taken = {each.source for each in decided.values()}
    found += [
        _change("withdrawn", matched.before[key], old, _answers(cards), "")
        for key, cards in matched.gone.items()
        if key not in taken
    ]
    return sorted(found, key=lambda one: WHATS.index(one.change))


def _compared(old: Side, new: Side, deck: Deck, *, moved: bool) -> list[Change]:
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


def _without_aircraft(side: Side) -> dict[Part, Card]:
    return {(aspect, part, ""): card for (aspect, part, _), card in side.cards.items()}


def _places(old: Point, new: Point) -> tuple[str, str]:
    """Where a moved point stood and stands: its headings, or what else tells the two apart."""
    places = (
        (" / ".join(old.topic), " / ".join(new.topic)),
        (old.applies or "all aircraft", new.applies or "all aircraft"),
        (f"#{old.id}" if old.id else "no id", f"#{new.id}" if new.id else "no id"),
    )
    return _differing(places) or (old.place.file, new.place.file)


def _differing(pairs: Iterable[tuple[str, str]]) -> tuple[str, str] | None:
    return next(((one, two) for one, two in pairs if one != two), None)


def _reworded(old: Side, new: Side) -> tuple[str, str] | None:
    """The first words that differ where the answers don't."""
    both = ((old.cards[part], card) for part, card in new.cards.items() if part in old.cards)
    return _differing(pair for before, card in both for pair in zip(_said(before), _said(card), strict=True))


def _said(card: Card) -> Iterator[str]:
    """All that a card says, piece by piece."""
    yield from (card.answer.text, card.prompt)
    yield from (_labelled("source", card.cite), _labelled("why", card.why))
    yield "critical" if card.critical else ""
    yield "; ".join(f"{a}: {b}" for a, b in card.extra)


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
    what: What, side: Side, deck: Deck, old: str, new: str, *, aspect: str = "", before: str = ""
) -> Change:
    point = side.point
    about = (point.kind, point.topic, point.subject, point.condition)
    place = deck.source.named(point.place.file), point.place.line
    critical = any(card.critical for card in side.cards.values())
    return Change(what, *about, old, new, *place, aspect, critical, before)
