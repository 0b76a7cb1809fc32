"""What a diagram shows: blocks that feed something, with their loads listed under them, and links between blocks."""

import unicodedata
from collections.abc import Iterable, Iterator
from typing import Literal

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.deck.supply import Feed, Supplies

MOST_BLOCKS = 400
LINE = 15.0
"""Between two lines of text."""

LANE = 14.0
"""Between two lines that leave one bar."""

BOX = 30.0
BAR = 7.0
_BUS = re.any_case(
    r"\b(?:bus(?:bar|es|ses)?|bar|manifold|panel|rail|ring main|header|fuse ?box|distribution|switchboard)\b",
)

Style = Literal["feeds", "backup", "hand"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text in a block. small: a remark to the line above."""

    text: str
    small: bool = False


@dataclass(slots=True, eq=False)
class Block:
    """One thing that feeds others. bar: drawn as a bar, else as a box; loads: its loads that feed nothing, with
    remarks; notes: remarks to itself; lanes: how many lines leave it downwards. x and y are of its upper left."""

    key: str
    name: str
    bar: bool
    notes: list[Line] = field(default_factory=list)
    loads: list[Line] = field(default_factory=list)
    lanes: int = 0
    rank: int = 0
    x: float = 0.0
    y: float = 0.0

    @property
    def head(self) -> float:
        """Height of the bar or box."""
        return BAR if self.bar else BOX

    @property
    def text_width(self) -> float:
        """Of its widest line, indents included."""
        lines = [*self.notes, *self.loads]
        inner = max((12 + width_of(line.text, 10.5 if line.small else 12) for line in lines), default=0.0)
        return max(inner, width_of(self.name, 13) + 12) if self.bar else inner

    @property
    def width(self) -> float:
        """Of the whole block; lines leave it to the right of its text."""
        listed = bool(self.loads or self.notes)
        lanes = (self.lanes + 0.5) * LANE if self.bar or (listed and self.lanes) else 0.0
        return max(60.0, self.text_width + lanes + 8, 0 if self.bar else width_of(self.name, 13) + 22)

    @property
    def height(self) -> float:
        """Of bar or box with all text below it."""
        own = 1 if self.bar else 0
        return self.head + LINE * (own + len(self.notes) + len(self.loads)) + (8 if self.loads or own else 0)

    @property
    def center(self) -> float:
        """Its middle from the left."""
        return self.x + self.width / 2


@dataclass(slots=True, eq=False)
class Link:
    """A line from one block to another. label: said beside it; both: it works either way (a tie)."""

    source: Block
    load: Block
    style: Style
    label: str = ""
    both: bool = False


def width_of(text: str, size: float) -> float:
    """About how wide a text is set in a common sans-serif face, a little too wide rather than too narrow."""
    wide = sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)
    return wide * size * 0.56


def blocks_and_links(supplies: Supplies) -> tuple[list[Block], list[Link]]:
    """Everything that a diagram of these supplies shows, in the order of the notes.

    A thing is a block where it feeds something, or stands by for a block; all else is listed under its source.
    Raises RecallError where that is more than a page can show.
    """
    inner = list(supplies.sources)
    known = set(inner)
    for key in inner:
        standing = (backup.name for feed in supplies.feeding.get(key, ()) for backup in feed.backups)
        more = dict.fromkeys(name for name in standing if name and name not in known)
        known.update(more)
        inner += more
    if len(inner) > MOST_BLOCKS:
        raise RecallError(
            f"{len(inner)} sources are too many for one diagram",
            "name one note of the deck, or a smaller folder",
        )
    blocks = {key: _block(supplies, key) for key in inner}
    links: list[Link] = []
    for feed in supplies.feeds:
        if feed.load in blocks:
            _link(links, blocks[feed.source], blocks[feed.load], "feeds")
            for backup in feed.backups:
                if backup.name:
                    style: Style = "hand" if backup.manual else "backup"
                    _link(links, blocks[backup.name], blocks[feed.load], style, backup.how)
        else:
            blocks[feed.source].loads += _load(supplies, feed)
    return list(blocks.values()), links


def _block(supplies: Supplies, key: str) -> Block:
    name = supplies.names[key]
    rows = supplies.feeding.get(key, ())
    several = len({row.source for row in rows}) > 1
    notes = dict.fromkeys(
        f"{note} (from {supplies.names[row.source]})" if several else note
        for row in rows
        for note in _remarks(supplies, row, backups=False)
    )
    return Block(key, name, _BUS.search(name) is not None, [Line(note, small=True) for note in notes])


def _link(links: list[Link], source: Block, load: Block, style: Style, how: str = "") -> None:
    """Add a link, once; a tie by hand in both directions is one line."""
    if source is load:
        return
    label = f"by hand, {how}" if how else ("by hand" if style == "hand" else how)
    for known in links:
        if known.source is source and known.load is load and known.style == style:
            return
        if (
            known.source is load
            and known.load is source
            and known.style == style == "hand"
            and known.label == label
        ):
            known.both = True
            return
    links.append(Link(source, load, style, label))


def _load(supplies: Supplies, feed: Feed) -> Iterator[Line]:
    others = dict.fromkeys(
        supplies.names[row.source] for row in supplies.feeding[feed.load] if row.source != feed.source
    )
    yield Line(supplies.names[feed.load])
    for note in (*(f"also from {name}" for name in others), *_remarks(supplies, feed, backups=True)):
        yield Line(note, small=True)


def _remarks(supplies: Supplies, feed: Feed, *, backups: bool) -> Iterable[str]:
    names = supplies.names
    for group in feed.needs:
        yield "needs " + " or ".join(names[key] for key in group)
    for backup in feed.backups:
        if not backup.name:
            yield f"by hand, {backup.how}" if backup.how else "by hand"
        elif backups:
            how = f", {backup.how}" if backup.how else ""
            yield f"{'by hand' if backup.manual else 'backup'} {names[backup.name]}{how}"
    if feed.point.applies and any(other.point.applies != feed.point.applies for other in supplies.feeds):
        yield f"aircraft {feed.point.applies}"
