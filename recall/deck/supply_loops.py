"""Loops of a supply graph: things that feed themselves, through `Feeds` alone."""

from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from recall.deck.supply import Feed, Supplies

if TYPE_CHECKING:
    import networkx


def loops(supplies: Supplies) -> list[tuple[Feed, ...]]:
    """The shortest loop of each knot of things that feed one another, as its rows in order. A loop through a backup
    (a bus tie) is none."""
    rows: dict[tuple[str, str], Feed] = {}
    for feed in supplies.feeds:
        rows.setdefault((feed.source, feed.load), feed)
    order = {key: at for at, key in enumerate(supplies.names)}
    found = []
    knots = _knots(supplies)
    if knots:
        import networkx as nx
    for knot in knots:
        starts = sorted(knot, key=order.__getitem__)[:20]
        ways = (
            [start, *nx.shortest_path(knot, load, start)[:-1]] for start in starts for load in knot[start]
        )
        way = min(ways, key=len)
        found.append(tuple(rows[pair] for pair in zip(way, [*way[1:], way[0]], strict=True)))
    return sorted(found, key=lambda way: order[way[0].source])


def looped(supplies: Supplies) -> frozenset[str]:
    """All that stands in some loop, and so is fed by itself."""
    return frozenset(key for knot in _knots(supplies) for key in knot)


def _knots(supplies: Supplies) -> "list[networkx.DiGraph[str]]":
    """Things that feed one another. The graph library isn't loaded where nothing feeds itself."""
    pairs = [(feed.source, feed.load) for feed in supplies.feeds]
    order: TopologicalSorter[str] = TopologicalSorter()
    for source, load in pairs:
        order.add(load, source)
    try:
        order.prepare()
    except CycleError:
        import networkx as nx

        graph = nx.DiGraph(pairs)
        knots = map(graph.subgraph, nx.strongly_connected_components(graph))
        return [knot for knot in knots if knot.number_of_edges()]
    return []
