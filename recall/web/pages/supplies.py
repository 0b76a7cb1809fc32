"""Supplies: what feeds what; a press on a thing shows what is lost with it and what is kept."""

from collections.abc import Callable, Iterator, Sequence
from urllib.parse import urlencode

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.deck.model import Deck
from recall.deck.supply import Outcome, Supplies
from recall.deck.supply_told import told
from recall.deck.supply_tree import Branch, branches, outcomes
from recall.publish.places import deck_at
from recall.publish.sources import notes_here
from recall.web.render import page, room_of
from recall.web.room import Room

Address = Callable[[str], str]
"""What a press on a thing of a name asks for."""


@dataclass(slots=True)
class Twig:
    """A line of the tree. state: what becomes of it, in words; address: of what follows when it fails."""

    branch: Branch
    state: str
    address: str
    below: "list[Twig]" = field(default_factory=list)


async def supplies(request: Request) -> Response:
    """The page. deck: a slug; lost: what fails, several together."""
    room, asked = room_of(request), request.query_params
    slugs = [deck.slug for deck in room.store.decks() if not room.decks or deck.slug in room.decks]
    decks = {slug: deck for slug in slugs if (deck := _deck(room, slug)) is not None}
    feeding = {slug: deck for slug, deck in decks.items() if any(one.kind == "supply" for one in deck.points)}
    absent = [slug for slug in slugs if slug not in decks]
    slug = asked.get("deck", next(iter(feeding), ""))
    if slug not in feeding:
        return page(request, "supplies.html", "Supplies", deck=None, absent=absent)
    deck, failed = feeding[slug], list(dict.fromkeys(filter(None, asked.getlist("lost"))))
    known = room.kept(f"supplies of {slug}", deck.fingerprint, lambda: Supplies(deck.points))
    found = outcomes(deck.points, *failed) if failed else []
    states = _states(known, failed, [outcome for _, outcome in found])

    def address(name: str) -> str:
        return "supplies?" + urlencode({"deck": slug, "lost": name})

    return page(
        request,
        "supplies.html",
        "Supplies",
        deck=deck,
        slug=slug,
        others=[(one, decks[one].record.title or one) for one in feeding if one != slug],
        absent=absent,
        failed=failed,
        told=[told(aircraft, outcome, several=len(failed) > 1) for aircraft, outcome in found],
        names=sorted(name for name in known.names.values() if name not in failed),
        tree=_tree(branches(known), states, address),
        diagram=_diagram(room, deck, known, states if len(found) < 2 else {}, address),
        differ=len(found) > 1,
    )


def _deck(room: Room, slug: str) -> Deck | None:
    """A deck read from its notes; read again once they differ."""
    here = notes_here(room.store, slug)
    if here is None:
        return None
    root, mark = here
    try:
        return room.kept(f"deck {slug}", mark, lambda: deck_at(root))
    except RecallError:
        return None


def _states(known: Supplies, failed: Sequence[str], found: Sequence[Outcome]) -> dict[str, str]:
    """What becomes of each thing, by its key, where the aircraft are alike in it."""
    if len(found) != 1:
        return {known.find(name): "failed" for name in failed}
    (outcome,) = found
    states = {known.find(load): "dead" for load in outcome.lost}
    states |= {
        known.find(load): f"alive on {by}" for load, by in (*outcome.kept.items(), *outcome.still.items())
    }
    return states | {known.find(name): "failed" for name in failed}


def _tree(lines: Iterator[Branch], states: dict[str, str], address: Address) -> list[Twig]:
    top: list[Twig] = []
    way: list[list[Twig]] = [top]
    for branch in lines:
        depth = len(branch.last)
        twig = Twig(branch, states.get(branch.key, ""), address(branch.name))
        del way[depth + 1 :]
        way[depth].append(twig)
        way.append(twig.below)
    return top


def _diagram(
    room: Room, deck: Deck, known: Supplies, states: dict[str, str], address: Address
) -> Markup | str:
    """The picture, or why there is none."""
    try:
        from recall.publish.diagram.svg import drawn

        def make() -> Markup:
            title = deck.record.title or deck.record.deck
            return Markup(
                drawn(known, title, deck.record.marking, states, lambda key: address(known.names[key]))
            )

        return room.kept("diagram", (deck.fingerprint, tuple(states.items())), make)
    except RecallError as error:
        return f"{error.what}: {error.help}"


routes = [Route("/supplies", supplies)]
