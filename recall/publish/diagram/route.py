"""Lines between blocks: each gap between two ranks gets as many tracks as its lines need."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from recall.base.dataclass import dataclass, field
from recall.publish.diagram.blocks import BAR, LANE, Block, Style, width_of
from recall.publish.diagram.place import Part, Run, Spot

_TRACK = 11.0
_MARGIN = 17.0
_LABEL = 13.0
_CLEAR = 9.0
_EDGE = 6.0
_STEPS = (0, -3, 3, -6, 6, -9, 9)

Point = tuple[float, float]


@dataclass(slots=True)
class Wire:
    """A line as drawn. heads: points with the direction (-1, 0, 1 each way) of an arrow that ends there."""

    points: list[Point]
    style: Style
    heads: list[tuple[Point, Point]] = field(default_factory=list)
    label: str = ""
    label_at: Point = (0.0, 0.0)
    label_ends: bool = False
    """The label ends there, instead of beginning."""


@dataclass(slots=True)
class Routed:
    """A part with all its lines. width and height: of the whole."""

    blocks: list[Block]
    wires: list[Wire]
    dots: list[Point]
    width: float
    height: float


@dataclass(slots=True, eq=False)
class _End:
    """Where a line enters a gap. run: whose line; under: the spot below the gap, where it is one."""

    run: Run
    spot: Spot
    x: float
    below: bool


@dataclass(slots=True, eq=False)
class _Net:
    """Ends in one gap that are joined by one track."""

    ends: list[_End]
    track: int = -1
    y: float = 0.0

    @property
    def low(self) -> float:
        """Its left end."""
        return min(end.x for end in self.ends)

    @property
    def high(self) -> float:
        """Its right end."""
        return max(end.x for end in self.ends)

    @property
    def straight(self) -> bool:
        """Whether it needs no track."""
        return self.high - self.low < 1


def routed(part: Part) -> Routed:
    """Give blocks their heights and lines their ways."""
    level = [run for run in part.runs if _level(run, part)]
    others = [run for run in part.runs if run not in level]
    gaps = [_gap(part, others, rank) for rank in range(-1, len(part.ranks) - 1)]
    y = 0.0
    for rank, nets in enumerate(gaps):
        y += _tracked(nets, y, first=rank == 0)
        for spot in part.ranks[rank]:
            if isinstance(spot, Block):
                spot.y = y
        y += max((spot.height for spot in part.ranks[rank] if isinstance(spot, Block)), default=0.0)
    tops = {
        rank: next((s.y for s in spots if isinstance(s, Block)), 0.0) for rank, spots in enumerate(part.ranks)
    }
    ways = {(end.run, rank - 1): net for rank, nets in enumerate(gaps) for net in nets for end in net.ends}
    wires = [_wire(run, ways, tops) for run in others] + [_tie(run) for run in level]
    _label(wires)
    dots = [dot for nets in gaps for net in nets for dot in _dots(net)]
    right = max(spot.x + spot.width for spots in part.ranks for spot in spots)
    return Routed(part.blocks, wires, dots, right, y)


def _level(run: Run, part: Part) -> bool:
    """Whether a line joins two bars that stand side by side: a bus tie."""
    left, right = sorted(run.spots, key=lambda spot: spot.x)[:: len(run.spots) - 1]
    if left.rank != right.rank or not (isinstance(left, Block) and isinstance(right, Block)):
        return False
    row = [spot for spot in part.ranks[left.rank] if isinstance(spot, Block)]
    return left.bar and right.bar and row.index(right) - row.index(left) == 1


def _gap(part: Part, runs: Sequence[Run], rank: int) -> list[_Net]:
    """The nets of the gap below a rank (-1: above the first): ends above it first, then those below."""
    nets: dict[object, _Net] = {}
    arriving: list[_End] = []
    leaving: dict[Block, list[tuple[float, object, _Net]]] = {}
    for run in runs:
        if run.spots[0].rank == run.spots[-1].rank:
            if run.spots[0].rank == rank + 1:
                ends = [_End(run, spot, spot.center, True) for spot in run.spots]
                nets[run] = _Net(ends)
                arriving += ends
            continue
        for above, below in pairwise(run.spots):
            if above.rank != rank:
                continue
            shared = isinstance(above, Block) and not above.bar
            name: object = (above, run.link.style, run.up) if shared else run
            if name not in nets:
                nets[name] = _Net([_End(run, above, above.center, False)])
            net = nets[name]
            if isinstance(above, Block):
                leaving.setdefault(above, []).append((below.center, name, net))
            end = _End(run, below, below.center, True)
            net.ends.append(end)
            arriving.append(end)
    for block, lines in leaving.items():
        _leave(block, lines)
    _arrive(arriving, nets.values())
    return list(nets.values())


def _leave(block: Block, lines: list[tuple[float, object, _Net]]) -> None:
    """Where lines leave a block: to the right of its text, in the order of where they go."""
    once: dict[object, tuple[float, _Net]] = {}
    for goes, name, net in lines:
        once.setdefault(name, (goes, net))
    row = sorted(once.values(), key=lambda line: line[0])
    listed = block.bar or block.loads or block.notes
    for at, (_, net) in enumerate(row):
        if listed:
            net.ends[0].x = block.x + block.width - LANE * (len(row) - at) + LANE * 0.4
        else:
            net.ends[0].x = block.center + LANE * (at - (len(row) - 1) / 2)


def _arrive(ends: Iterable[_End], nets: Iterable[_Net]) -> None:
    """Where lines reach what is below: straight down where that can be, apart from one another, and never right
    under the start of another line."""
    net_of = {end: net for net in nets for end in net.ends}
    by_block: dict[Block, list[_End]] = {}
    taken = [(net.ends[0].x, net) for net in net_of.values() if not net.ends[0].below]
    for end in ends:
        if isinstance(end.spot, Block):
            by_block.setdefault(end.spot, []).append(end)

    def wanted(end: _End) -> float:
        others = [other.x for other in net_of[end].ends if other is not end]
        return others[0] if others else end.x

    for block, mine in by_block.items():
        mine.sort(key=wanted)
        low, high = block.x + _EDGE, block.x + block.width - _EDGE
        room = min(LANE, (high - low) / max(1, len(mine) - 1))
        limits, limit = [], high + room
        for at, end in reversed(list(enumerate(mine))):
            straight = wanted(end) if low <= wanted(end) <= high else high
            limit = max(min(limit - room, straight), low + room * at)
            limits.append(limit)
        x = low - room
        for end, limit in zip(mine, reversed(limits), strict=True):
            x = min(max(wanted(end), low, x + room), limit)
            near = (x + step for step in _STEPS if low - 2 <= x + step <= high + 2)
            end.x = x = next((at for at in near if _free(at, net_of[end], taken)), x)


def _free(x: float, net: "_Net", taken: Iterable[tuple[float, "_Net"]]) -> bool:
    """Whether no other line starts right above, nor this one a little beside."""
    return all(abs(x - other) >= 4 or (start is net and abs(x - other) <= 0.5) for other, start in taken)


def _tracked(nets: Sequence[_Net], top: float, *, first: bool) -> float:
    """Give each net its track, and its height from `top`; the height of the whole gap."""
    tracks: list[list[tuple[float, float]]] = []
    crooked = [net for net in nets if not net.straight]

    def order(net: _Net) -> tuple[int, float]:
        start = net.ends[0].x
        rightward = net.high - start >= start - net.low
        return (0, -start) if rightward else (1, start)

    for net in sorted(crooked, key=order):
        for at, spans in enumerate(tracks):
            if all(net.high + _CLEAR < low or net.low - _CLEAR > high for low, high in spans):
                net.track = at
                break
        else:
            net.track = len(tracks)
            tracks.append([])
        tracks[net.track].append((net.low, net.high))
    if first and not nets:
        return 0.0
    for net in nets:
        net.y = top + _MARGIN + _TRACK * max(net.track, 0)
    labelled = any(end.run.link.label for net in nets for end in net.ends if end.below)
    return 2 * _MARGIN + _TRACK * max(len(tracks) - 1, 0) + (_LABEL if labelled else 0)


def _wire(run: Run, ways: dict[tuple[Run, int], _Net], tops: dict[int, float]) -> Wire:
    """A line from its upper end down, or over the gap above where both ends have one rank."""
    first, last = run.spots[0], run.spots[-1]
    assert isinstance(first, Block) and isinstance(last, Block)
    wire = Wire([], run.link.style, label=run.link.label)
    if first.rank == last.rank:
        net = ways[(run, first.rank - 1)]
        (a, b) = net.ends
        wire.points = [(a.x, first.y), (a.x, net.y), (b.x, net.y), (b.x, last.y)]
        wire.heads = [((b.x, last.y), (0.0, 1.0))]
        if run.link.both:
            wire.heads.append(((a.x, first.y), (0.0, 1.0)))
        wire.label_at = (b.x + 5, last.y - 7)
        return wire
    for above, below in pairwise(run.spots):
        net = ways[(run, above.rank)]
        start = next((end.x for end in net.ends if not end.below), above.center)
        end = next(end.x for end in net.ends if end.run is run and end.below)
        y = tops[above.rank] + (above.head if isinstance(above, Block) else 0)
        wire.points += [(start, y)] + ([] if net.straight else [(start, net.y), (end, net.y)])
        wire.points.append((end, tops[below.rank]))
    down = (wire.points[-1], (0.0, 1.0))
    up = (wire.points[0], (0.0, -1.0))
    wire.heads = [up if run.up else down] + ([down if run.up else up] if run.link.both else [])
    at = wire.points[0] if run.up else wire.points[-1]
    wire.label_at = (at[0] + 5, at[1] + (16 if run.up else -7))
    return wire


def _tie(run: Run) -> Wire:
    """A line from bar to bar, on their own height."""
    source, load = run.link.source, run.link.load
    left, right = (source, load) if source.x < load.x else (load, source)
    y = left.y + BAR / 2
    ends = (left.x + left.width, y), (right.x, y)
    wire = Wire(list(ends), run.link.style, label=run.link.label)
    into_right, into_left = (ends[1], (1.0, 0.0)), (ends[0], (-1.0, 0.0))
    wire.heads = [into_right if load is right else into_left]
    if run.link.both:
        wire.heads = [into_right, into_left]
    wire.label_at = ((ends[0][0] + ends[1][0]) / 2, y - 6)
    return wire


def _label(wires: Sequence[Wire]) -> None:
    """Put a label left of its line where another line would run through it on the right."""
    ends = [point for wire in wires for point in (wire.points[0], wire.points[-1])]
    for wire in wires:
        (x, y), wide = wire.label_at, width_of(wire.label, 10.5) + 8
        if wire.label and len(wire.points) > 2:
            near = [other - x + 5 for other, at in ends if abs(at - y) < 12 and abs(other - x + 5) > 1]
            if any(0 < other < wide for other in near) and not any(-wide < other < 0 for other in near):
                wire.label_at, wire.label_ends = (x - 10, y), True


def _dots(net: _Net) -> list[Point]:
    """Where a line branches."""
    if net.straight or len(net.ends) < 3:
        return []
    inner = {round(end.x, 1) for end in net.ends if net.low + 1 < end.x < net.high - 1}
    return [(x, net.y) for x in sorted(inner)]
