"""A diagram of supplies as SVG. Black on white: what a line means is told by how it is broken, never by colour."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import copy
from xml.sax.saxutils import escape, quoteattr

from recall.base.text import CAUTION, one_line, without_hidden
from recall.deck.supply import Supplies
from recall.publish.diagram.blocks import BAR, BOX, LINE, Block, blocks_and_links, width_of
from recall.publish.diagram.place import placed
from recall.publish.diagram.route import Routed, Wire, routed

_PAGE = 1500.0
_EDGE = 32.0
_BETWEEN = 44.0
_DASH = {"feeds": "", "backup": ' stroke-dasharray="8 4"', "hand": ' stroke-dasharray="2 4"'}
_LEGEND = (
    ("feeds", "feeds"),
    ("backup", "takes over by itself"),
    ("hand", "takes over by hand, once the crew act"),
)


def drawn(
    supplies: Supplies,
    title: str,
    marking: str = "",
    words: Mapping[str, str] | None = None,
    link: Callable[[str], str] | None = None,
) -> str:
    """The whole picture. marking: the deck's handling mark; words: key → what is said behind its name; link: key →
    where a press on its block leads. Raises RecallError where it would be too large."""
    if words:
        supplies = copy(supplies)
        supplies.names = {
            key: f"{name} [{words[key]}]" if key in words else name for key, name in supplies.names.items()
        }
    blocks, links = blocks_and_links(supplies)
    parts = [routed(part) for part in placed(blocks, links)]
    spots, wide, high = _packed(parts)
    wide = max(wide, 760.0)
    top = 66.0
    width, height = wide + 2 * _EDGE, top + high + 92
    role = "" if link else 'role="img" '
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(width)} {_n(height)}" width="{_n(width)}" '
        f'height="{_n(height)}" {role}font-family="Helvetica, Arial, sans-serif" font-size="12">',
        f"<title>Supplies: {_safe(title)}</title>",
        f"<desc>{_safe(_told(supplies))}</desc>",
        f'<rect width="{_n(width)}" height="{_n(height)}" fill="white"/>',
        _text(_EDGE, 32, f"Supplies: {title}", size=18, bold=True),
        _text(_EDGE, 50, " · ".join(part for part in (marking, CAUTION) if part), size=11),
    ]
    for part, (x, y) in zip(parts, spots, strict=True):
        lines.append(f'<g transform="translate({_n(_EDGE + x)} {_n(top + y)})">')
        lines += _part(part, words or {}, link)
        lines.append("</g>")
    lines += _foot(_EDGE, top + high + 40)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _packed(parts: Sequence[Routed]) -> tuple[list[tuple[float, float]], float, float]:
    """Where each part stands, row by row; width and height of all."""
    page = max([_PAGE, *(part.width for part in parts)])
    spots = []
    x = y = row = wide = 0.0
    for part in parts:
        if x and x + part.width > page:
            x, y, row = 0.0, y + row + _BETWEEN, 0.0
        spots.append((x, y))
        x += part.width + _BETWEEN
        row = max(row, part.height)
        wide = max(wide, x - _BETWEEN)
    return spots, wide, y + row


def _part(part: Routed, words: Mapping[str, str], link: Callable[[str], str] | None) -> Iterator[str]:
    for wire in part.wires:
        yield _path(wire)
    for x, y in part.dots:
        yield f'<circle cx="{_n(x)}" cy="{_n(y)}" r="2.6"/>'
    for block in part.blocks:
        if link is not None:
            state = f' class="{words[block.key].partition(" ")[0]}"' if block.key in words else ""
            yield f"<a href={quoteattr(link(block.key))}{state}>"
        yield from _block(block)
        if link is not None:
            yield "</a>"
    for wire in part.wires:
        if wire.label:
            anchor = "middle" if len(wire.points) == 2 else ("end" if wire.label_ends else "")
            yield _text(*wire.label_at, wire.label, size=10.5, anchor=anchor, halo=True)


def _path(wire: Wire) -> str:
    points = [wire.points[0]]
    for point in wire.points[1:]:
        if point != points[-1]:
            points.append(point)
    way = "M" + " L".join(f"{_n(x)} {_n(y)}" for x, y in points)
    heads = "".join(_head(at, towards) for at, towards in wire.heads)
    return f'<path d="{way}" fill="none" stroke="black" stroke-width="1.4"{_DASH[wire.style]}/>{heads}'


def _head(at: tuple[float, float], towards: tuple[float, float]) -> str:
    (x, y), (dx, dy) = at, towards
    back, side = (x - 7 * dx, y - 7 * dy), (3.2 * dy, 3.2 * dx)
    corners = (at, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1]))
    return f'<path d="M{" L".join(f"{_n(a)} {_n(b)}" for a, b in corners)} Z"/>'


def _block(block: Block) -> Iterator[str]:
    x, y = block.x, block.y
    if block.bar:
        yield f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(block.width)}" height="{_n(BAR)}"/>'
        y += BAR + LINE
        yield _text(x + 12, y - 2, block.name, size=13, bold=True)
    else:
        yield (
            f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(block.width)}" height="{_n(BOX)}" fill="white" stroke="black" '
            'stroke-width="1.6"/>'
        )
        yield _text(block.center, y + BOX / 2 + 4.5, block.name, size=13, anchor="middle")
        y += BOX
    for line in block.notes:
        y += LINE
        yield _text(x + 12, y - 3, line.text, size=10.5)
    stem = y
    for line in block.loads:
        y += LINE
        if line.small:
            yield _text(x + 24, y - 3, line.text, size=10.5)
        else:
            yield f'<path d="M{_n(x + 3)} {_n(y - 5)} L{_n(x + 12)} {_n(y - 5)}" stroke="black"/>'
            yield _text(x + 15, y - 1, line.text)
            stem = y - 5
    if block.loads:
        start = block.y + block.head
        yield f'<path d="M{_n(x + 3)} {_n(start)} L{_n(x + 3)} {_n(stem)}" stroke="black"/>'


def _foot(x: float, y: float) -> Iterator[str]:
    for style, meaning in _LEGEND:
        wire = Wire([(x, y - 4), (x + 46, y - 4)], style, [((x + 46, y - 4), (1.0, 0.0))])  # type: ignore[arg-type]
        yield _path(wire)
        yield _text(x + 54, y, meaning)
        x += 54 + width_of(meaning, 12) + 30
    yield f'<rect x="{_n(x)}" y="{_n(y - 8)}" width="46" height="{_n(BAR)}"/>'
    yield _text(x + 54, y, "bus")


def _text(
    x: float,
    y: float,
    text: str,
    *,
    size: float = 12,
    bold: bool = False,
    anchor: str = "",
    halo: bool = False,
) -> str:
    look = f' font-size="{_n(size)}"' if size != 12 else ""
    look += ' font-weight="bold"' if bold else ""
    look += f' text-anchor="{anchor}"' if anchor else ""
    look += ' stroke="white" stroke-width="3" paint-order="stroke"' if halo else ""
    return f'<text x="{_n(x)}" y="{_n(y)}"{look}>{_safe(text)}</text>'


def _told(supplies: Supplies) -> str:
    """The picture in words, for those who can't see it."""
    loads: dict[str, list[str]] = {}
    for feed in supplies.feeds:
        loads.setdefault(feed.source, []).append(supplies.names[feed.load])
    said = (f"{supplies.names[source]} feeds {', '.join(fed)}." for source, fed in loads.items())
    return " ".join((*said, CAUTION))


def _safe(text: str) -> str:
    return escape(one_line(without_hidden(text)))


def _n(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
