"""A study sheet: what a deck says, arranged to be read and printed. No format of its own."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from recall.base.errors import RecallError
from recall.base.text import CAUTION
from recall.deck.model import Deck
from recall.deck.supply import Supplies, backups_of
from recall.kinds.kind import Kind
from recall.kinds.limits.ask import plain
from recall.kinds.limits.columns import AMOUNTS
from recall.kinds.model import Point
from recall.kinds.registry import KINDS
from recall.kinds.supplies.names import Backup
from recall.quantity import Words


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
class Step:
    """One step of a list. below: lines under it."""

    text: str
    critical: bool = False
    below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """A titled list of steps in their order, or a question with its answer. numbered: they are counted."""

    title: str
    steps: tuple[Step, ...]
    critical: bool = False
    numbered: bool = True
    below: tuple[str, ...] = ()


Block = Table | Steps


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
    """A whole sheet. facts: of the record, label and text; marking and caution go on each page."""

    title: str
    facts: tuple[tuple[str, str], ...]
    marking: str
    sections: tuple[Section, ...] = ()
    caution: str = CAUTION

    @property
    def foot(self) -> str:
        """What stands at the foot of each page beside the caution."""
        wanted = dict(self.facts)
        named = (f"{label.lower()} {wanted[label]}" for label in ("Revision", "Effective") if label in wanted)
        return ", ".join((self.title, *named))


@dataclass(slots=True)
class _Gathered:
    """Rows and lists of one topic, in the order of the notes."""

    rows: list[tuple[Mapping[str, str], bool]] = field(default_factory=list)
    lists: list[Steps] = field(default_factory=list)


def sheet_of(deck: Deck, kinds: Sequence[Kind] = KINDS) -> Sheet:
    """Everything that a deck says, by kind and topic; points with an error are left out."""
    record = deck.record
    facts = (
        ("Revision", record.revision),
        ("Effective", record.effective.isoformat() if record.effective else ""),
        ("Review by", record.review_by.isoformat() if record.review_by else ""),
        ("Authority", record.authority),
        ("Applies to", record.applies_to),
        ("Authors", ", ".join(record.authors)),
        ("Licence", record.licence),
    )
    return Sheet(
        record.title or record.deck,
        tuple((label, text) for label, text in facts if text),
        record.marking,
        tuple(_sections(deck, kinds)),
    )


def _sections(deck: Deck, kinds: Sequence[Kind]) -> Iterable[Section]:
    usual = deck.record.applies_to
    points = [point for point in deck.points if not point.faulty]
    known = {kind.name: kind for kind in kinds}
    for kind in dict.fromkeys((*_ORDER, *known)):
        title, columns = _LAYOUT[kind] if kind in _LAYOUT else _declared(known[kind])
        rows = _ROWS.get(kind) or _plainly(known[kind].sheet)
        gathered: dict[str, _Gathered] = {}
        own = [point for point in points if point.kind == kind]
        for point in own:
            into = gathered.setdefault(" / ".join(point.topic), _Gathered())
            if kind in _LISTS:
                into.lists.append(_LISTS[kind](point, usual))
            else:
                into.rows += [(row | _common(point, usual), critical) for row, critical in rows(point)]
        groups: list[Group] = []
        for topic, one in gathered.items():
            group = _group(topic, tuple(_blocks(one, columns)))
            if groups and groups[-1].topic == group.topic:
                group = Group(group.topic, groups.pop().blocks + group.blocks)
            groups.append(group)
        if groups:
            yield Section(title, tuple(groups), *(_diagram(own, deck) if kind == "supply" else ()))


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
        heads = [head for head in (*columns, *_COMMON) if any(row.get(head) for row, _ in gathered.rows)]
        yield Table(
            tuple(heads),
            tuple(
                Row(tuple(row.get(head, "") for head in heads), critical) for row, critical in gathered.rows
            ),
        )
    yield from gathered.lists


_COMMON = ("Notes", "Source")


def _common(point: Point, usual: str) -> dict[str, str]:
    """What every table may say: the why, other columns, for which aircraft, and the citation."""
    aircraft = f"Only {point.applies}" if point.applies != usual else ""
    others = (f"{header}: {text}" for header, text in point.extra)
    return {"Notes": "; ".join(text for text in (aircraft, point.why, *others) if text), "Source": point.cite}


def _joined(point: Point, role: str) -> str:
    return "; ".join(point.fields.get(role, ()))


def amount_of(point: Point, role: str) -> str:
    """A limit's amount as it is shown, with the time for which it holds on a rung of a ladder."""
    return plain(point.amounts[role]) if role in point.amounts else ""


def held_of(point: Point) -> str:
    """For how long a limit holds, empty where nothing is said."""
    time = point.amounts.get("duration")
    if time is None:
        return point.wording.get("held", "")
    return time.text if isinstance(time, Words) else plain(time)


_BEYOND = {"If below": "below", "If above": "above", "If exceeded": "action"}


def _limit(point: Point) -> Iterable[tuple[dict[str, str], bool]]:
    for rung in point.parts or (point,):
        row = {"Parameter": point.subject, "When": point.condition, "For": held_of(rung)}
        for role in AMOUNTS:
            amount, wording = amount_of(rung, role), rung.wording.get(role, "")
            plainly = role in ("minimum", "maximum", "normal", "value") or not wording
            head = role.capitalize()
            row[head] = (
                amount if plainly or wording.casefold() == role else f"{amount} ({wording})" * bool(amount)
            )
        row |= {head: _joined(rung, role) for head, role in _BEYOND.items()}
        yield row, point.critical


def _supply(point: Point) -> Iterable[tuple[dict[str, str], bool]]:
    for part in point.parts or (point,):
        yield (
            {
                "From": part.subject,
                "Feeds": _joined(part, "feeds"),
                "Also needs": _joined(part, "needs"),
                "Backup": "; ".join(_backup(one) for one in backups_of(part)),
            },
            part.critical or point.critical,
        )


def _backup(backup: Backup) -> str:
    if not backup.manual:
        return backup.name
    return " ".join(
        part for part in (backup.name, f"(by hand{': ' + backup.how if backup.how else ''})") if part
    )


def _declared(kind: Kind) -> tuple[str, tuple[str, ...]]:
    """Title and columns of a kind that declares how it stands on a sheet."""
    subject, *others = kind.sheet.values() or ("Subject",)
    return kind.title or kind.name.replace("-", " ").capitalize(), (subject, "When", *others)


def _plainly(sheet: Mapping[str, str]) -> Callable[[Point], Iterable[tuple[dict[str, str], bool]]]:
    """Rows of a kind whose fields are its columns. sheet: role → column, as the kind declares it."""

    def rows(point: Point) -> Iterable[tuple[dict[str, str], bool]]:
        cells = {head: _joined(point, role) for role, head in sheet.items() if role}
        yield {sheet.get("", "Subject"): point.subject, "When": point.condition} | cells, point.critical

    return rows


def _flow(point: Point, usual: str) -> Steps:
    steps = []
    for part in point.parts:
        skipped = [f"If skipped: {text}" for text in part.fields.get("skipped", ())]
        steps.append(Step(part.subject, part.critical, (*part.fields.get("reason", ()), *skipped)))
    return Steps(_titled(point), tuple(steps), point.critical, below=_under(point, usual))


def _memory(point: Point, usual: str) -> Steps:
    steps = tuple(Step(text) for text in point.fields["steps"])
    return Steps(_titled(point), steps, True, len(steps) > 1, _under(point, usual))


def _question(point: Point, usual: str) -> Steps:
    answer = tuple(Step(text) for text in point.fields["answer"])
    return Steps(point.subject, answer, point.critical, False, _under(point, usual))


def _titled(point: Point) -> str:
    return f"{point.subject} ({point.condition})" if point.condition else point.subject


def _under(point: Point, usual: str) -> tuple[str, ...]:
    common = _common(point, usual)
    return tuple(text for text in (common["Notes"], common["Source"]) if text)


_LISTS: dict[str, Callable[[Point, str], Steps]] = {
    "memory-item": _memory,
    "flow": _flow,
    "question": _question,
}
_ROWS: dict[str, Callable[[Point], Iterable[tuple[dict[str, str], bool]]]] = {
    "limit": _limit,
    "supply": _supply,
}
_LAYOUT: dict[str, tuple[str, tuple[str, ...]]] = {
    "memory-item": ("Memory items", ()),
    "limit": (
        "Limits",
        ("Parameter", "When", "Minimum", "Normal", "Value", "Maximum", "Caution", "Warning", "Shutdown", "For",
         *_BEYOND),
    ),
    "supply": ("Supplies", ("From", "Feeds", "Also needs", "Backup")),
    "flow": ("Flows", ()),
    "question": ("Questions", ()),
}  # fmt: skip
_ORDER = (
    "memory-item", "limit", "interlock", "consequence", "indication", "supply", "setting", "flow", "question",
    "abbreviation",
)  # fmt: skip
