"""Which cards of a revision go on from which earlier ones under another key. Pure computation."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from operator import attrgetter
from typing import Any, TypeVar

from recall.base.text import key_form
from recall.deck.pairing import alone, sense
from recall.kinds.model import Card
from recall.store.revisions import Again, CardState, Listed

Look = Callable[[str], Card]
"""Wording by its hash."""
Seen = TypeVar("Seen", CardState, Listed)


def followed(
    states: Mapping[str, CardState],
    listed: Mapping[str, Listed],
    gone: Sequence[str],
    come: Sequence[str],
    look: Look,
    carried: Mapping[str, str],
    *,
    renamed: bool,
    again: Again,
) -> dict[str, tuple[str, ...]]:
    """Which old cards each coming card goes on from: as the person accepted; by what it asks; by what it was read
    from."""
    follows: dict[str, tuple[str, ...]] = {}
    for card in come:
        source = carried.get(card)
        if source is not None and source in states and card not in states and not states[source].moved:
            follows[card] = (source,)
    taken = {source for sources in follows.values() for source in sources}
    left = dict.fromkeys(card for card in gone if card not in taken)
    free = dict.fromkeys(card for card in come if card not in follows)

    def take(pairs: Mapping[str, str]) -> None:
        for old, new in pairs.items():
            follows[new] = (old,)
            del left[old], free[new]

    for by in (_whole, sense) if renamed else (sense,):
        if left and free:
            faces = {card: look(states[card].text) for card in left}
            faces |= {card: look(listed[card].text) for card in free}
            take(dict(alone(*([(card, by(faces[card])) for card in side] for side in (left, free)))))
    by_source, by_row = attrgetter("source"), attrgetter("row")
    for piece in (by_source, by_row) if again.same_notes else (by_source,) if again.otherwise else ():
        for exactly in (True, False):
            if left and free:
                present = {card: state for card, state in states.items() if state.present}
                take(_from_one_piece(present, listed, left, free, look, piece, exactly=exactly))
    return follows


def read_otherwise(
    states: Mapping[str, CardState],
    cards: Sequence[Listed],
    gone: Iterable[str],
    come: Iterable[str],
    again: Again,
) -> set[str]:
    """Of the cards that go and come those that no change of the notes explains: what they were read from was there
    before, and still is."""
    if again.same_notes:
        return {*gone, *come}
    if not again.otherwise:
        return set()
    now = {entry.id: entry.source for entry in cards}
    before = {state.source for state in states.values() if state.present and state.source}
    there = set(now.values()) & before
    return {card for card in gone if states[card].source in there} | {
        card for card in come if now[card] in there
    }


def _whole(card: Card) -> tuple[str, ...]:
    """What stays equal when a deck is renamed."""
    keep = card.kind == "abbreviation"
    return (
        card.kind,
        card.aspect,
        " / ".join(key_form(part) for part in card.topic),
        key_form(card.subject, keep_case=keep),
        key_form(card.condition),
        key_form(card.applies),
    )


def _from_one_piece(
    present: Mapping[str, CardState],
    listed: Mapping[str, Listed],
    left: Iterable[str],
    free: Iterable[str],
    look: Look,
    piece: Callable[[CardState | Listed], Any],
    *,
    exactly: bool,
) -> dict[str, str]:
    """Old id to new id of cards of one kind and aspect (and of one part, where `exactly`) that were read from one
    piece, in their order; only where all of that piece's cards of the sort go and as many come: which of several is
    which would else be a guess."""
    wanted = ({piece(present[card]) for card in left} & {piece(listed[card]) for card in free}) - {""}
    if not wanted:
        return {}
    old = _sorts(present, wanted, look, piece, exactly=exactly)
    new = _sorts(listed, wanted, look, piece, exactly=exactly)
    going, coming = set(left), set(free)
    return {
        one: two
        for sort, cards in old.items()
        if len(cards) == len(new.get(sort, ())) and going.issuperset(cards) and coming.issuperset(new[sort])
        for one, two in zip(cards, new[sort], strict=True)
    }


def _sorts(
    cards: Mapping[str, Seen], wanted: set[Any], look: Look, piece: Callable[[Seen], Any], *, exactly: bool
) -> dict[tuple[Any, ...], list[str]]:
    """Cards of some pieces by piece, file, kind, aspect and part, in their order."""
    found: dict[tuple[Any, ...], list[str]] = {}
    for card, seen in cards.items():
        where = piece(seen)
        if where in wanted:
            face = look(seen.text)
            part = key_form(face.condition) if exactly else ""
            found.setdefault((where, face.file, face.kind, face.aspect, part), []).append(card)
    return found
