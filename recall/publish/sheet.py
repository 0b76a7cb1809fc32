"""A study sheet: what a deck says, arranged to be read and printed. No format of its own."""

from collections.abc import Iterable, Mapping, Sequence

from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.deck.model import Deck
from recall.deck.supply import Supplies
from recall.kinds.kind import Kind, Line
from recall.kinds.model import Point
from recall.kinds.registry import KINDS
from recall.publish.pictures import Picture, pictures_of
from recall.publish.record import facts_of


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table."""

    cells: tuple[str, ...]
    critical: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under their heads; columns that no row fills are left out."""

    heads: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Steps:
    """A titled list of steps in their order, or a question with its answer. numbered: they are counted."""

    title: str
    steps: tuple[Line, ...]
    critical: bool = False
    numbered: bool = True
    below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture that the notes show. words: what of, and what it shows."""

    words: str
    picture: Picture


Block = Table | Steps | Figure


@dataclass(frozen=True, slots=True)
class Group:
    """What stands under one topic."""

    topic: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One kind of knowledge."""

    title: str
    groups: tuple[Group, ...]
    diagram: str = ""
    """SVG, to stand over the groups."""
    remark: str = ""
    """Why there is no diagram."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet. facts: of the record, label and text; the marking goes on each page."""

    title: str
    facts: tuple[tuple[str, str], ...]
    marking: str
    sections: tuple[Section, ...] = ()

    @property
    def foot(self) -> str:
        """What stands at the foot of each page beside the caution."""
        wanted = dict(self.facts)
        named = (
            f"{label.lower()} {wanted[label]}"
            for label in ("Only", "Revision", "Effective")
            if label in wanted
        )
        return ", ".join((self.title, *named))


@dataclass(slots=True)
class _Gathered:
    """Rows and lists of one topic, in the order of the notes."""

    rows: list[tuple[Mapping[str, str], bool]] = field(default_factory=list)
    lists: list[Steps] = field(default_factory=list)
    figures: dict[str, Figure] = field(default_factory=dict)
    """By path: a picture of several points stands once."""


def sheet_of(deck: Deck, kinds: Sequence[Kind] = KINDS, *, only: str = "") -> Sheet:
    """Everything that a deck says, by kind and topic; points with an error are left out. only: of which part of a
    deck it is, where it isn't the whole."""
    record = deck.record
    facts = (("Only", only),) * bool(only) + tuple(facts_of(record))
    return Sheet(record.title or record.deck, facts, record.marking, tuple(_sections(deck, kinds)))


def _sections(deck: Deck, kinds: Sequence[Kind]) -> Iterable[Section]:
    usual = deck.record.applies_to
    for kind in sorted(kinds, key=lambda kind: kind.rank):
        gathered: dict[str, _Gathered] = {}
        own = [point for point in deck.points if point.kind == kind.name and not point.faulty]
        for point in own:
            into = gathered.setdefault(" / ".join(point.topic), _Gathered())
            for picture in pictures_of(deck.source.root, point.place.file, point.extra):
                words = ": ".join(filter(None, (point.named(), picture.words)))
                known = into.figures.get(picture.path)
                words = f"{known.words}; {words}" if known is not None else words
                into.figures[picture.path] = Figure(words, picture)
            if (lines := kind.lines(point)) is not None:
                numbered = kind.name != "question" and len(lines) > 1
                below = tuple(text for text in _common(point, usual).values() if text)
                into.lists.append(Steps(point.named(), tuple(lines), point.critical, numbered, below))
            else:
                into.rows += _rows(kind, point, _common(point, usual))
        groups: list[Group] = []
        subject, *others = kind.sheet.values() or ("Subject",)
        for topic, one in gathered.items():
            group = _group(topic, tuple(_blocks(one, (subject, "When", *others))))
            if groups and groups[-1].topic == group.topic:
                group = Group(group.topic, groups.pop().blocks + group.blocks)
            groups.append(group)
        if groups:
            title = kind.title or kind.name.replace("-", " ").capitalize()
            yield Section(title, tuple(groups), *(_diagram(own, deck) if kind.name == "supply" else ()))


def _rows(kind: Kind, point: Point, common: Mapping[str, str]) -> Iterable[tuple[dict[str, str], bool]]:
    """A row for each part of a point, by the columns that its kind declares."""
    for part in point.parts or (point,):
        row = {kind.sheet.get("", "Subject"): point.subject, "When": point.condition}
        row |= {head: kind.said(part, role) for role, head in kind.sheet.items() if role}
        yield {**row, **common}, part.critical or point.critical


def _diagram(points: Sequence[Point], deck: Deck) -> tuple[str, str]:
    """The supplies drawn, or why they aren't."""
    from recall.publish.diagram.svg import drawn

    try:
        return drawn(Supplies(points), deck.record.title or deck.record.deck, deck.record.marking), ""
    except RecallError as error:
        return "", f"The supplies aren't drawn: {error.what}."


def _group(topic: str, blocks: tuple[Block, ...]) -> Group:
    """A topic that is named after its one list says it once."""
    if len(blocks) == 1 and isinstance(blocks[0], Steps):
        topic = topic.removesuffix(blocks[0].title).removesuffix(" / ")
    return Group(topic, blocks)


def _blocks(gathered: _Gathered, columns: Sequence[str]) -> Iterable[Block]:
    if gathered.rows:
        heads = [head for head in (*columns, *COMMON) if any(row.get(head) for row, _ in gathered.rows)]
        yield Table(
            tuple(heads),
            tuple(
                Row(tuple(row.get(head, "") for head in heads), critical) for row, critical in gathered.rows
            ),
        )
    yield from gathered.lists
    yield from gathered.figures.values()


COMMON = ("Notes", "Source")
"""Heads that every table may have."""


def _common(point: Point, usual: str) -> dict[str, str]:
    """What every table may say: the why, other columns, for which aircraft, and the citation."""
    aircraft = f"Only {point.applies}" if point.applies != usual else ""
    others = (f"{header}: {text}" for header, text in point.extra)
    return {"Notes": "; ".join(text for text in (aircraft, point.why, *others) if text), "Source": point.cite}
