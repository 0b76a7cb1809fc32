"""The difference of two decks: what a student meets as new, withdrawn, changed, moved, renamed or reworded. It is
what a load of the one after the other does, told point by point."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Literal

from recall.base.dataclass import dataclass, replace
from recall.base.text import digest, key_form, one_line
from recall.deck.model import Deck
from recall.deck.pairing import Renamed, renamings
from recall.kinds.model import Card, Point
from recall.store.fold import fold
from recall.store.revisions import CardState, Listed, Load, Loaded, Points, Step, by_point

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


Cards = dict[str, list[Card]]
"""The cards of points, by the points' ids, in the order of the notes."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Two decks, and the step from one to the other. before, now: their cards, as if the old deck had the new one's
    name, so that slugs don't matter."""

    old: Deck
    new: Deck
    before: Cards
    now: Cards
    step: Step
    points: Points

    @classmethod
    def between(cls, old: Deck, new: Deck, renamed: Mapping[str, str] | None = None) -> "Difference":
        """renamed: ids of cards that go on from others by a renaming that was decided (new → old)."""
        went, own, slug = old.cards, old.record.deck, new.record.deck
        if own != slug:
            names = {point.digest(own): point.digest(slug) for point in old.points}
            went = tuple(replace(one, id=digest((slug, *one.key)), point=names[one.point]) for one in went)
        here = {own.id: card.id for own, card in zip(old.cards, went, strict=True)}
        looks = {f"{at} {card.id}": card for at, cards in enumerate((went, new.cards)) for card in cards}
        states = {
            card.id: CardState(card.answer_hash, f"0 {card.id}", card.line, 0, also=" ".join(card.also))
            for card in went
        }
        listed = [
            Listed(card.id, card.answer_hash, f"1 {card.id}", card.line, "", card.also) for card in new.cards
        ]
        step = fold(
            states,
            Loaded("", "", slug, new.record.revision, None, 0),
            Load(listed, new.paused_points, new.paused_files),
            looks.__getitem__,
            {target: here.get(source, source) for target, source in (renamed or {}).items()},
        )
        point_of = {card.id: card.point for card in went}
        points = by_point(step, {card.id: card.point for card in new.cards}, point_of.__getitem__)
        return cls(old, new, _by_point(went), _by_point(new.cards), step, points)

    @property
    def went(self) -> Cards:
        """Of the points withdrawn."""
        return {id: cards for id, cards in self.before.items() if id in self.points.withdrawn}

    @property
    def came(self) -> Cards:
        """Of the new points."""
        return {id: cards for id, cards in self.now.items() if id in self.points.new}

    def alike(self) -> list[Renamed]:
        """Points withdrawn and new that may be one under a new subject: for the author to decide."""
        return renamings(self.went, self.came)

    def cards_renamed(self, renamed: Iterable[Renamed]) -> dict[str, str]:
        """Which cards go on from which by renamings that were decided, aspect by aspect: new id → old id."""
        found: dict[str, str] = {}
        for each in renamed:
            before, now = _by_part(self.before[each.source]), _by_part(self.now[each.target])
            own = self.old.record.deck
            found |= {now[part].id: digest((own, *before[part].key)) for part in now.keys() & before.keys()}
        return found

    def changes(self) -> list[Change]:
        """All changes, in the order of the new notes within each sort."""
        slug = self.new.record.deck
        old, new = ({point.digest(slug): point for point in deck.points} for deck in (self.old, self.new))
        found = [change for id in self.now if (change := self._change(id, old, new[id])) is not None]
        for id, cards in self.went.items():
            found.append(_told(old[id], cards, self.old, "withdrawn", _answers(cards), ""))
        return sorted(found, key=lambda one: WHATS.index(one.change))

    def _change(self, id: str, old: Mapping[str, Point], point: Point) -> Change | None:
        """What is to be said of a point of the new deck, where anything is; old: points of the old one."""
        cards, points, step = self.now[id], self.points, self.step
        told = partial(_told, point, cards, self.new)
        if id in points.new:
            return told("new", "", _answers(cards))
        source = id if id in self.before else points.sources[id]
        before = self.before[source]
        if id in points.renamed:
            return told("renamed", _answers(before), _answers(cards), before=old[source].subject)
        if id in points.changed:
            other = [
                card for card in before if {card.id, step.moved.get(card.id)} & (step.gone | step.changed)
            ]
            own = [card for card in cards if card.id in step.anew]
            if any(card.aspect != "reading" for card in (*other, *own)):
                kept = _telling([*other, *own])
                aspects = list(dict.fromkeys(card.aspect for card in (*other, *own) if card.aspect in kept))
                label = len(aspects) > 1
                texts = (
                    _answers((card for card in some if card.aspect in kept), label=label)
                    for some in (other, own)
                )
                return told("changed", *texts, aspect=", ".join(aspects))
        if source != id:
            return told("moved", *_places(old[source], point))
        words = _reworded(before, cards)
        return None if words is None else told("reworded", *words)


def _by_point(cards: Iterable[Card]) -> Cards:
    found: Cards = {}
    for card in cards:
        found.setdefault(card.point, []).append(card)
    return found


def _by_part(cards: Sequence[Card]) -> dict[tuple[str, str], Card]:
    """The cards of a point by aspect, and by condition where its parts have several."""
    several = len({key_form(card.condition) for card in cards}) > 1
    return {(card.aspect, key_form(card.condition) if several else ""): card for card in cards}


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


def _reworded(old: Sequence[Card], new: Sequence[Card]) -> tuple[str, str] | None:
    """The first words that differ where the answers don't."""
    before = {card.id: card for card in old}
    both = ((before[card.id], card) for card in new if card.id in before)
    return _differing(pair for one, two in both for pair in zip(_said(one), _said(two), strict=True))


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


def _told(
    point: Point,
    cards: Iterable[Card],
    deck: Deck,
    what: What,
    old: str,
    new: str,
    *,
    aspect: str = "",
    before: str = "",
) -> Change:
    about = (point.kind, point.topic, point.subject, point.condition)
    place = deck.source.named(point.place.file), point.place.line
    return Change(what, *about, old, new, *place, aspect, any(card.critical for card in cards), before)
