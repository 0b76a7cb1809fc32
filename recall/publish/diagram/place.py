"""Where blocks stand: ranks from the top down, an order with few crossings, and room for everything."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

import networkx as nx

from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.publish.diagram.blocks import Block, Link

GAP = 26.0
"""Between two blocks of a rank."""

MOST_STEPS = 3000
"""Lines through all ranks of a part; with more nobody could follow one."""

_PASSING = 13.0
_SWEEPS = 12


@dataclass(slots=True, eq=False)
class Pass:
    """A place in a rank where a long line passes by."""

    rank: int
    x: float = 0.0
    width: float = 2.0

    @property
    def center(self) -> float:
        """Where the line runs."""
        return self.x + self.width / 2


Spot = Block | Pass


@dataclass(slots=True, eq=False)
class Run:
    """A link with the spots that it touches, from the upper one down; up: it feeds upwards."""

    link: Link
    spots: list[Spot]
    up: bool = False


@dataclass(slots=True)
class Part:
    """One connected part of a diagram. ranks: its spots, from the left, rank by rank."""

    blocks: list[Block]
    runs: list[Run] = field(default_factory=list)
    ranks: list[list[Spot]] = field(default_factory=list)


def placed(blocks: Sequence[Block], links: Sequence[Link]) -> list[Part]:
    """The parts of a diagram, each with its blocks ranked, ordered and set from the left; heights come later.

    Raises RecallError where there are more lines than anybody could follow.
    """
    graph: nx.Graph[Block] = nx.Graph()
    graph.add_nodes_from(blocks)
    graph.add_edges_from((link.source, link.load) for link in links)
    order = {block: at for at, block in enumerate(blocks)}
    parts = []
    for members in nx.connected_components(graph):
        part = Part(sorted(members, key=order.__getitem__))
        inside = [link for link in links if link.source in members]
        _rank(part.blocks, inside)
        if sum(abs(link.load.rank - link.source.rank) for link in inside) > MOST_STEPS:
            raise RecallError(
                "these supplies have too many lines for one diagram",
                "name one note of the deck, or a smaller folder",
            )
        part.runs = [_run(link) for link in inside]
        _lanes(part.runs)
        part.ranks = _ordered(part)
        _settle(part)
        parts.append(part)
    return sorted(parts, key=lambda part: (-len(part.blocks), order[part.blocks[0]]))


def _rank(blocks: Sequence[Block], links: Sequence[Link]) -> None:
    """Every block below all that feeds it, or takes over for it by itself, where no loop forbids it."""
    above: nx.DiGraph[Block] = nx.DiGraph()
    above.add_nodes_from(blocks)
    for style in ("feeds", "backup"):
        for link in links:
            if link.style == style and not nx.has_path(above, link.load, link.source):
                above.add_edge(link.source, link.load)
    for rank, generation in enumerate(nx.topological_generations(above)):
        for block in generation:
            block.rank = rank
    standing = [block for block in blocks if not above.in_degree(block) and above.out_degree(block)]
    for block in standing:
        if not any(link.load is block for link in links):
            block.rank = 0
    for link in links:
        if link.style == "hand" and not above.in_degree(link.source) and not above.out_degree(link.source):
            link.source.rank = max(0, link.load.rank - 1)


def _run(link: Link) -> Run:
    up = link.source.rank > link.load.rank
    top, bottom = (link.load, link.source) if up else (link.source, link.load)
    between: list[Spot] = [Pass(rank) for rank in range(top.rank + 1, bottom.rank)]
    return Run(link, [top, *between, bottom], up)


def _lanes(runs: Iterable[Run]) -> None:
    """Count the lines that leave each block downwards; those of one style from a box share one."""
    leaving: dict[Block, set[object]] = {}
    for run in runs:
        top = run.spots[0]
        if isinstance(top, Block) and run.spots[-1].rank > top.rank:
            leaving.setdefault(top, set()).add(run.link if top.bar else (run.link.style, run.up))
    for block, lines in leaving.items():
        block.lanes = len(lines)


def _ordered(part: Part) -> list[list[Spot]]:
    """The spots of each rank in an order with few crossings, by the layout library."""
    spots: list[Spot] = [*part.blocks, *(spot for run in part.runs for spot in run.spots[1:-1])]
    number = {spot: at for at, spot in enumerate(spots)}
    steps = [(number[a], number[b]) for run in part.runs for a, b in pairwise(run.spots) if a.rank < b.rank]
    across: dict[int, float] = {}
    if steps:
        try:
            import fast_sugiyama
        except ImportError:
            raise RecallError(
                "the drawing needs a layout library that isn't installed",
                "install it with `pip install '.[diagram]'` in the folder of the program",
            ) from None
        # Every step goes one or more ranks down, so the graph has no loop, which the library doesn't bear.
        found = fast_sugiyama.from_edges(
            sorted(set(steps)),
            vertex_spacing=1,
            ranking_type="minimize",
            crossing_minimization="barycenter",
            transpose=True,
        )
        for at, (positions, wide, *_) in enumerate(found):
            across.update({int(node): x + 10_000 * at for node, (x, _) in positions})
            del wide
    ranks: list[list[Spot]] = [[] for _ in range(max(spot.rank for spot in spots) + 1)]
    for spot in sorted(spots, key=lambda spot: (across.get(number[spot], 1e9), number[spot])):
        ranks[spot.rank].append(spot)
    return ranks


def _settle(part: Part) -> None:
    """Set the spots of each rank near what they are joined to, in their order, without overlap."""
    joined: dict[Spot, list[tuple[Spot, float]]] = {}
    for run in part.runs:
        for a, b in pairwise(run.spots):
            weight = 1.0 + 3.0 * (isinstance(a, Pass) + isinstance(b, Pass))
            joined.setdefault(a, []).append((b, weight))
            joined.setdefault(b, []).append((a, weight))
    for rank in part.ranks:
        at = 0.0
        for spot in rank:
            spot.x = at
            at += spot.width + _room(spot)
    for sweep in range(_SWEEPS):
        down = sweep % 2 == 0
        for rank in part.ranks if down else reversed(part.ranks):
            wanted = []
            for spot in rank:
                near = [
                    (b, w)
                    for b, w in joined.get(spot, ())
                    if (b.rank < spot.rank) == down and b.rank != spot.rank
                ]
                near = near or joined.get(spot, [])
                total = sum(weight for _, weight in near)
                middle = sum(b.center * weight for b, weight in near) / total if near else spot.center
                wanted.append((middle - spot.width / 2, total or 0.1))
            _spread(rank, wanted)
    left = min(spot.x for rank in part.ranks for spot in rank)
    for rank in part.ranks:
        for spot in rank:
            spot.x -= left


def _room(spot: Spot) -> float:
    return GAP if isinstance(spot, Block) else _PASSING


def _spread(rank: Sequence[Spot], wanted: Sequence[tuple[float, float]]) -> None:
    """Nearest to what is wanted, in order and apart (pool adjacent violators, weighted)."""
    offset = 0.0
    pools: list[list[float]] = []
    counts: list[int] = []
    offsets = []
    for spot, (x, weight) in zip(rank, wanted, strict=True):
        offsets.append(offset)
        pools.append([(x - offset) * weight, weight])
        counts.append(1)
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, weight_above = pools.pop()
            pools[-1][0] += total
            pools[-1][1] += weight_above
            counts[-2:] = [counts[-2] + counts[-1]]
        offset += spot.width + _room(spot)
    at = 0
    for (total, weight), count in zip(pools, counts, strict=True):
        for spot, shift in zip(rank[at : at + count], offsets[at : at + count], strict=True):
            spot.x = total / weight + shift
        at += count
