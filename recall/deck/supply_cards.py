"""Questions that only a whole deck can answer: what feeds a load, what is lost with a source, what a backup keeps."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

from recall.answers import MembersAnswer
from recall.base.text import key_form, words_of
from recall.deck.combine import Asked
from recall.deck.supply import Outcome, Supplies
from recall.deck.supply_aircraft import Aircraft, aircraft_of, alike
from recall.deck.supply_loops import looped
from recall.kinds.each.supply import fed_by, loads_of
from recall.kinds.model import Card, Draft, Point, digest, make_card
from recall.kinds.prose.lexicon import QUANTITIES

Value = TypeVar("Value")

MOST_MEMBERS = 9
"""Of a computed answer. A list that runs through several stages and is longer than this can't be recalled as one; the
student learns it stage by stage, by what each source feeds."""

MOST_TOUCHED = 200
"""Loads that a failure may touch. Beyond it the answer would be too long anyway, and so would the computing."""


@dataclass(frozen=True, slots=True)
class _Graph:
    aircraft: Aircraft
    supplies: Supplies
    unsure: frozenset[str]
    """What lies in a loop, or hangs on something that is never alive: no failure that touches it is asked."""


def ask_supplies(asked: Sequence[Asked], deck: str) -> dict[str, tuple[str, ...]]:
    """Give the points of a deck's supplies their computed cards, and make one card of what several points tell.

    asked: all points of the deck with their cards, changed in place. A failure that runs into a loop isn't asked.
    What is computed has one source, made of those of all supplies: it is given with them.
    """
    supplied = [one for one in asked if one.point.kind == "supply" and not one.point.faulty]
    if not supplied:
        return {}
    sources = tuple(dict.fromkeys(one.point.source for one in supplied))
    whole = digest(sources)
    pieces = aircraft_of(one.point.applies for one in supplied)
    points = [one.point for one in asked]
    graphs = [_Graph(piece, graph := Supplies(points, piece.applies), _unsure(graph)) for piece in pieces]
    by_source: dict[str, list[Asked]] = defaultdict(list)
    for one in supplied:
        by_source[key_form(one.point.subject)].append(one)
    _Merge(deck, graphs, supplied, whole).all()
    for source, owners in by_source.items():
        for owner, applies, outcome in _spread(graphs, owners, partial(_outcome, source)):
            if outcome is not None and applies is not None:
                point = replace(owner.point, why=explained(outcome) or owner.point.why, source=whole)
                owner.cards += [_card(point, draft, applies, deck) for draft in _drafts(point, outcome)]
    return {whole: sources}


def _unsure(graph: Supplies) -> frozenset[str]:
    hanging = (load for key in graph.never for load in graph.dependents.get(key, ()))
    return looped(graph) | graph.never | frozenset(hanging)


def _outcome(source: str, graph: _Graph) -> Outcome | None:
    touched = graph.supplies.reach(source, most=MOST_TOUCHED)
    if touched is None or not graph.unsure.isdisjoint((source, *touched)):
        return None
    return graph.supplies.lost(source, touched=touched)


def _spread(
    graphs: Iterable[_Graph], owners: Sequence[Asked], value: Callable[[_Graph], Value]
) -> list[tuple[Asked, str | None, Value]]:
    """For each of the aircraft the first point that holds for it, its value; alike ones put together.

    The middle is an `Applies to`: empty where the point's own says enough, None for aircraft that no note names.
    """
    found = []
    for graph in graphs:
        owner = next((at for at, one in enumerate(owners) if graph.aircraft.applies(one.point.applies)), None)
        if owner is not None:
            found.append((graph.aircraft, (owner, value(graph))))
    groups = alike(found)
    spread: list[tuple[Asked, str | None, Value]] = []
    for pieces, (owner, what) in groups:
        if sum(owner == other for _, (other, _) in groups) == 1:
            spread.append((owners[owner], "", what))
        elif any(piece.other for piece in pieces):
            spread.append((owners[owner], None, what))
        else:
            spread.append((owners[owner], ", ".join(piece.text for piece in pieces), what))
    return spread


def _card(point: Point, draft: Draft, applies: str, deck: str) -> Card:
    """A card of a point, or of it for some of its aircraft only."""
    if not applies:
        return make_card(point, draft, deck)
    prompt = f"{draft.prompt} (aircraft {applies})"
    part = f"{draft.part} {applies}".strip() if point.id else draft.part
    card = make_card(replace(point, applies=applies), replace(draft, prompt=prompt, part=part), deck)
    return replace(card, point=point.digest(deck))


def _drafts(point: Point, outcome: Outcome) -> list[Draft]:
    """What is lost and what is kept; empty and overlong answers aren't asked."""
    stem = f"{point.subject} is dead, everything else is healthy:"
    before = " before the crew acts" if outcome.restored else ""
    drafts = []
    if 0 < len(outcome.lost) <= MOST_MEMBERS:
        drafts.append(Draft("lost", f"{stem} which loads are lost{before}?", MembersAnswer(outcome.lost)))
    if 0 < len(outcome.kept) <= MOST_MEMBERS:
        asked = f"{stem} which loads stay alive through a backup?"
        drafts.append(Draft("kept", asked, MembersAnswer(tuple(outcome.kept))))
    return drafts


def explained(outcome: Outcome) -> str:
    """Why some loads live on, and how the lost ones that can be brought back come back."""
    said = [f"{load} lives on {backup}" for load, backup in outcome.kept.items()]
    said += [f"{load} is fed by {source} too" for load, source in outcome.still.items()]
    for load, backup in outcome.manual.items():
        by = f" from {backup.name}" if backup.name else ""
        how = f" ({backup.how})" if backup.how else ""
        said.append(f"{load} comes back{by} once the crew acts{how}")
    return "; ".join(said)


@dataclass(slots=True)
class _Merge:
    """One card of `feeds` a source and of `fed-by` a load, where several points tell of it."""

    deck: str
    graphs: Sequence[_Graph]
    supplied: Sequence[Asked]
    source: str

    def all(self) -> None:
        """Replace the cards of all that several points tell of."""
        same: dict[tuple[str, str], list[Asked]] = defaultdict(list)
        fed: dict[str, list[Asked]] = defaultdict(list)
        for one in self.supplied:
            bare = set(words_of(one.point.subject)) <= QUANTITIES
            topic = " / ".join(map(key_form, one.point.topic)) if bare else ""
            same[(topic, key_form(one.point.subject))].append(one)
            for load in loads_of(one.point):
                fed[load].append(one)
        for owners in same.values():
            if len(owners) > 1:
                self._feeds(owners)
        doubled = {load: owners for load, owners in fed.items() if len(owners) > 1}
        if doubled:
            self._fed_by(doubled)

    def _feeds(self, owners: Sequence[Asked]) -> None:
        """Points of one source, in several tables or for various aircraft: for each aircraft, all loads together."""
        for one in owners:
            one.cards = [card for card in one.cards if card.aspect != "feeds"]

        def loads(graph: _Graph) -> tuple[str, ...]:
            held = [one.point for one in owners if graph.aircraft.applies(one.point.applies)]
            named: dict[str, str] = {}
            for point in held:
                for key, (load, _) in loads_of(point).items():
                    named.setdefault(key, load)
            return tuple(named.values())

        for owner, applies, found in _spread(self.graphs, owners, loads):
            where = " on every aircraft" if applies is None else ""
            asked = f"Which loads does {owner.point.subject} feed directly{where}?"
            draft = Draft("feeds", asked, MembersAnswer(found))
            owner.cards.insert(0, self._card(owner.point, draft, applies or ""))

    def _fed_by(self, doubled: Mapping[str, Sequence[Asked]]) -> None:
        """Loads of several sources: all of them are the answer, at the first."""
        for one in self.supplied:
            one.cards = [
                card
                for card in one.cards
                if card.aspect != "fed-by" or key_form(card.condition) not in doubled
            ]
        for load, owners in doubled.items():

            def sources(graph: _Graph, load: str = load) -> tuple[str, ...]:
                rows = graph.supplies.feeding.get(load, ())
                return tuple(dict.fromkeys(graph.supplies.names[feed.source] for feed in rows))

            for owner, applies, found in _spread(self.graphs, owners, sources):
                if applies is None:
                    continue
                name, line = loads_of(owner.point)[load]
                owner.cards.append(self._card(owner.point, fed_by(name, found, line), applies))

    def _card(self, point: Point, draft: Draft, applies: str) -> Card:
        return _card(replace(point, source=self.source), draft, applies, self.deck)
