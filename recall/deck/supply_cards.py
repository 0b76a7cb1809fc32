"""Questions that only a whole deck can answer: what feeds a load, what is lost with a source, what a backup keeps."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Sequence
from functools import partial
from typing import TypeVar

from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.finding import Finding
from recall.base.text import key_form, words_of
from recall.deck.material import Asked, Material
from recall.deck.supply import Outcome, Supplies
from recall.deck.supply_aircraft import Aircraft, aircraft_of, alike
from recall.deck.supply_loops import looped
from recall.kinds.each.supply import FED_BY, Supply, fed
from recall.kinds.english import is_plural, the, upper
from recall.kinds.model import Card, Draft, Point, make_card
from recall.kinds.prose.lexicon import QUANTITIES
from recall.kinds.supplies.rows import loads_of

Value = TypeVar("Value")
Make = Callable[[Point, Draft, str], Card]
"""Makes a card of a point, of what is asked, for some of its aircraft."""
SUPPLY = Supply()

MOST_MEMBERS = 9
"""Of a computed answer. A list that is longer can't be recalled as one: what feeds others is asked instead, and what
those feed is known."""

MOST_TOUCHED = 200
"""Loads that a failure may touch. Beyond it the answer would be too long anyway, and so would the computing."""


@dataclass(frozen=True, slots=True)
class _Graph:
    aircraft: Aircraft
    supplies: Supplies
    unsure: frozenset[str]
    """What lies in a loop, or hangs on something that is never alive: no failure that touches it is asked."""


def ask_supplies(material: Material) -> Iterable[Finding]:
    """Give the points of a deck's supplies their computed cards, and make one card of what several points tell.

    A failure that runs into a loop isn't asked. What is computed has one source, made of those of all supplies.
    """
    supplied = [one for one in material.live if one.point.kind == "supply" and one.point.parts]
    if not supplied:
        return ()
    whole = material.source_of(dict.fromkeys(one.point.source for one in supplied))
    pieces = aircraft_of(one.point.applies for one in supplied)
    points = [one.point for one in material.asked]
    graphs = [_Graph(piece, graph := Supplies(points, piece.applies), _unsure(graph)) for piece in pieces]
    by_source: dict[str, list[Asked]] = defaultdict(list)
    for one in supplied:
        by_source[key_form(one.point.subject)].append(one)

    def make(point: Point, draft: Draft, applies: str) -> Card:
        return _card(replace(point, source=whole), draft, applies, material.record.deck)

    _merge(graphs, supplied, make)
    for source, owners in by_source.items():
        for owner, applies, outcome in _spread(graphs, owners, partial(_outcome, source)):
            if outcome is not None and applies is not None:
                point = replace(owner.point, why=explained(outcome) or owner.point.why)
                computed = _computed(point, outcome, graphs[0].supplies)
                owner.cards += [make(point, draft, applies) for draft in SUPPLY.drafts(computed)]
    return ()


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


def _computed(point: Point, outcome: Outcome, supplies: Supplies) -> Point:
    """A source's point with what its failure brings: the loads lost and kept, where they are few and more than what
    it feeds by itself; of many, those that feed others, whose own loads are known."""

    def feeding(loads: Iterable[str]) -> tuple[str, ...]:
        return tuple(load for load in loads if key_form(load) in supplies.sources)

    sources = feeding(outcome.lost)
    kept = tuple(outcome.kept)
    fields: dict[str, tuple[str, ...]] = {}
    loads = [key_form(load) for load in point.fields["feeds"]]
    link = loads[0] if len(loads) == 1 and loads[0] in supplies.sources else ""
    if not link or {*kept} != {*supplies.lost(link).kept}:
        fields["kept"] = kept if len(kept) <= MOST_MEMBERS else feeding(kept)
    if not (link and _is_link(point, supplies)):  # else it is asked of what stands before it
        if len(outcome.lost) > MOST_MEMBERS:
            fields["sources"] = sources
        elif {*map(key_form, outcome.lost)} != {*loads}:
            fields["lost"] = outcome.lost
    buses = all(re.search(r"\bbus\b", load, re.IGNORECASE) for load in sources)
    wording = {
        "before": " before the crew acts" if outcome.restored else "",
        "stages": f", directly or downstream{',' * bool(outcome.restored)}" if sources else "",
        "source of others": "bus" if buses else "item that feeds others",
        "sources of others": "buses" if buses else "items that feed others",
    }
    few = {role: loads for role, loads in fields.items() if len(loads) <= MOST_MEMBERS}
    return replace(point, fields=few, wording=wording, parts=())


def _is_link(point: Point, supplies: Supplies) -> bool:
    """Whether a source stands in the middle of a chain: it alone hangs on what feeds it, and what dies with either is
    the same but for itself."""
    own = key_form(point.subject)
    feeders = supplies.feeding.get(own, ())
    return len(feeders) == 1 and tuple(supplies.dependents[feeders[0].source]) == (own,)


def explained(outcome: Outcome) -> str:
    """Why some loads live on, and how the lost ones that can be brought back come back."""
    said = [f"{the(load)} {_verb(load, 'live')} on {the(backup)}" for load, backup in outcome.kept.items()]
    said += [
        f"{the(load)} {_verb(load, 'be')} fed by {the(source)} too" for load, source in outcome.still.items()
    ]
    for load, backup in outcome.manual.items():
        by = f" from {the(backup.name)}" if backup.name else ""
        how = f" ({backup.how})" if backup.how else ""
        said.append(f"{the(load)} {_verb(load, 'come')} back{by} once the crew acts{how}")
    return upper("; ".join(said))


def _verb(load: str, verb: str) -> str:
    if verb == "be":
        return "are" if is_plural(load) else "is"
    return verb if is_plural(load) else f"{verb}s"


def _mirrored(card: Card, doubled: Collection[str]) -> bool:
    """Whether a card asks for the one load of what alone feeds it: it is asked once, from the load; or what feeds a
    load whose name says it (`Battery bus 1`, of battery 1): that is asked from the source."""
    loads = (card.condition,) if card.aspect == "fed-by" else card.answer.texts
    if card.aspect not in ("feeds", "fed-by") or len(loads) > 1 or key_form(loads[0]) in doubled:
        return False
    return (card.aspect == "fed-by") is set(words_of(card.subject)).issubset(words_of(loads[0]))


def _merge(graphs: Sequence[_Graph], supplied: Sequence[Asked], make: Make) -> None:
    """Make one card of `feeds` a source and of `fed-by` a load, where several points tell of it."""
    same: dict[tuple[str, str], list[Asked]] = defaultdict(list)
    fed_by: dict[str, list[Asked]] = defaultdict(list)
    for one in supplied:
        bare = set(words_of(one.point.subject)) <= QUANTITIES
        topic = " / ".join(map(key_form, one.point.topic)) if bare else ""
        same[(topic, key_form(one.point.subject))].append(one)
        for load in loads_of(one.point):
            fed_by[load].append(one)
    for owners in same.values():
        if len(owners) > 1:
            _merge_feeds(graphs, owners, make)
    doubled = {load: owners for load, owners in fed_by.items() if len(owners) > 1}
    for one in supplied:
        one.cards = [
            card
            for card in one.cards
            if not _mirrored(card, doubled)
            and (card.aspect != "fed-by" or key_form(card.condition) not in doubled)
        ]
    for load, owners in doubled.items():

        def sources(graph: _Graph, load: str = load) -> tuple[str, ...]:
            rows = graph.supplies.feeding.get(load, ())
            return tuple(dict.fromkeys(graph.supplies.names[feed.source] for feed in rows))

        for owner, applies, found in _spread(graphs, owners, sources):
            if applies is not None:
                name, line = loads_of(owner.point)[load]
                part = fed(owner.point, name, found, line)
                owner.cards.append(make(owner.point, FED_BY.part(part, {}, found), applies))


def _merge_feeds(graphs: Sequence[_Graph], owners: Sequence[Asked], make: Make) -> None:
    """Points of one source, in several tables or for various aircraft: for each aircraft, all loads together."""
    for one in owners:
        one.cards = [card for card in one.cards if card.aspect != "feeds"]

    def loads(graph: _Graph) -> tuple[str, ...]:
        named: dict[str, str] = {}
        for one in owners:
            for key, (load, _) in (
                loads_of(one.point).items() if graph.aircraft.applies(one.point.applies) else ()
            ):
                named.setdefault(key, load)
        return tuple(named.values())

    for owner, applies, found in _spread(graphs, owners, loads):
        where = " on every aircraft" if applies is None else ""
        for draft in SUPPLY.drafts(replace(owner.point, fields={"feeds": found}, parts=())):
            draft = replace(draft, prompt=f"{draft.prompt[:-1]}{where}?")
            owner.cards.insert(0, make(owner.point, draft, applies or ""))
