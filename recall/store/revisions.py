"""Revisions of a deck in their order, and what becomes of each card from one to the next. Pure computation.

A place is a text that sorts: the deck's rank in its chain of names, the revision number by number, and the id of
the event. Reviews have places too, so that a review answered under an old revision on another device finds its way.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from recall.base.text import key_form
from recall.deck.changes import sense
from recall.kinds.model import Card

_NUMBERS = re.compile(r"\d+")


def revision_key(revision: str) -> str:
    """Numbers between dots as a text that sorts number by number (`8.10` after `8.9`, `8.0` with `8`)."""
    numbers = [int(number) for number in _NUMBERS.findall(revision)]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return ".".join(f"{number:012d}" for number in numbers)


def place_of(rank: int, revision: str, placed_id: str) -> str:
    """The place of an event in the line of its deck."""
    return f"{rank:03d} {revision_key(revision)} {placed_id}"


@dataclass(frozen=True, slots=True)
class Listed:
    """A card as a revision lists it. text: hash of its wording; row: its line in the file."""

    id: str
    answer: str
    text: str
    row: int


@dataclass(frozen=True, slots=True)
class Load:
    """One loaded revision. day: number of the day of loading; effective: day number or None; paused: points and files
    that couldn't be read."""

    event: str
    place: str
    deck: str
    revision: str
    effective: int | None
    day: int
    cards: Sequence[Listed]
    paused_points: frozenset[str] = frozenset()
    paused_files: frozenset[str] = frozenset()

    @property
    def in_force(self) -> int:
        """Number of the first day on which it could be asked from."""
        return self.day if self.effective is None else max(self.day, self.effective)


@dataclass(slots=True)
class CardState:
    """A card after some revision; the names are those of the card table."""

    answer: str
    text: str
    row: int
    rank: int
    present: bool = True
    paused: bool = False
    epoch: str | None = None
    was: str | None = None
    since: str | None = None
    renewed: int | None = None
    moved: bool = False
    """Its history went to another card."""


@dataclass(slots=True)
class Step:
    """What one revision did: ids of cards. moved: from the old id to the new one."""

    new: set[str] = field(default_factory=set)
    changed: set[str] = field(default_factory=set)
    gone: set[str] = field(default_factory=set)
    back: set[str] = field(default_factory=set)
    moved: dict[str, str] = field(default_factory=dict)
    links: list[tuple[str, str, str]] = field(default_factory=list)
    """Source, place, target: history that follows."""
    before: int = 0
    """Cards in force before."""


Look = Callable[[str], Card]
"""Wording by its hash."""


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


def _matches(
    gone: Iterable[str], come: Iterable[str], faces: Mapping[str, Card], by: Callable[[Card], tuple[str, ...]]
) -> dict[str, str]:
    """Old id to new id where exactly one goes and exactly one comes."""
    old: dict[tuple[str, ...], list[str]] = {}
    for card in gone:
        old.setdefault(by(faces[card]), []).append(card)
    counts: Counter[tuple[str, ...]] = Counter()
    new: dict[tuple[str, ...], str] = {}
    for card in come:
        key = by(faces[card])
        counts[key] += 1
        new[key] = card
    return {cards[0]: new[key] for key, cards in old.items() if len(cards) == 1 and counts[key] == 1}


def fold(
    states: dict[str, CardState],
    load: Load,
    look: Look,
    carried: Mapping[str, str],
    *,
    renamed: bool = False,
) -> Step:
    """Take the states of all cards of a line on to the next revision, in place.

    carried: new id to old id, as the person accepted; renamed: the revision before was under another slug.
    """
    step = Step(before=sum(state.present for state in states.values()))
    listed = {entry.id: entry for entry in load.cards}
    gone = []
    for card, state in states.items():
        if not state.present or card in listed:
            continue
        if not renamed and (load.paused_points or load.paused_files):
            face = look(state.text)
            if face.point in load.paused_points or face.file in load.paused_files:
                state.paused = True
                continue
        gone.append(card)
    come = [card for card in listed if card not in states or not states[card].present]
    follows = _followed(states, listed, gone, come, look, carried, renamed=renamed)

    for card in gone:
        states[card].present = False
        states[card].paused = False
    for rank, entry in enumerate(load.cards):
        _take(states, load, entry, rank, follows.get(entry.id, ()), step)
    for card, sources in follows.items():
        for source in sources:
            if states[source].answer == listed[card].answer or renamed:
                states[source].moved = True
                step.links.append((source, load.place, card))
                if source in gone:
                    step.moved[source] = card
    step.gone = set(gone) - set(step.moved)
    return step


def _followed(
    states: Mapping[str, CardState],
    listed: Mapping[str, Listed],
    gone: Sequence[str],
    come: Sequence[str],
    look: Look,
    carried: Mapping[str, str],
    *,
    renamed: bool,
) -> dict[str, tuple[str, ...]]:
    """Which old cards each coming card goes on from."""
    follows: dict[str, tuple[str, ...]] = {}
    for card in come:
        source = carried.get(card)
        if source is not None and source in states and card not in states and not states[source].moved:
            follows[card] = (source,)
    if gone and come:
        taken = {source for sources in follows.values() for source in sources}
        left, free = (
            [card for card in gone if card not in taken],
            [card for card in come if card not in follows],
        )
        faces = {card: look(states[card].text) for card in left}
        faces |= {card: look(listed[card].text) for card in free}
        for by in (_whole, sense) if renamed else (sense,):
            for old, new in _matches(left, free, faces, by).items():
                follows[new] = (old,)
                left.remove(old)
                free.remove(new)
    return follows


def _take(
    states: dict[str, CardState],
    load: Load,
    entry: Listed,
    rank: int,
    sources: Sequence[str],
    step: Step,
) -> None:
    """One listed card."""
    own = states.get(entry.id)
    if own is not None and own.moved:
        own = None
    before = [state for state in (own, *(states[source] for source in sources)) if state is not None]
    same = [state for state in before if state.answer == entry.answer]
    after = CardState(entry.answer, entry.text, entry.row, rank)
    if same:
        latest = max(same, key=lambda state: state.epoch or "")
        after.epoch, after.was = latest.epoch, latest.was
        after.since, after.renewed = latest.since, latest.renewed
    elif before:
        after.was, after.since = before[0].text, load.revision
        after.renewed = load.in_force
        after.epoch = load.place
    if (own is None or not own.present) and not sources:
        (step.back if own is not None else step.new).add(entry.id)
    if before and not same:
        step.changed.add(entry.id)
    states[entry.id] = after
