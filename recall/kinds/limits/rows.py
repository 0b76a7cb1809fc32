"""Rows of a table of limits into points: what each cell says, gathered by parameter, condition and time."""

from itertools import zip_longest

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.kinds.kind import Match
from recall.kinds.limits.ask import BEYOND
from recall.kinds.limits.checks import check
from recall.kinds.limits.columns import AMOUNTS, Amount, Layout, pure_side
from recall.kinds.limits.facts import Fact, doubtful, facts_of, not_read, with_notes
from recall.kinds.limits.labels import Label, unreadable
from recall.kinds.limits.words import is_held
from recall.kinds.model import Point, Read, Scope, base_point
from recall.kinds.tables.headers import unfilled
from recall.kinds.tables.rows import divides
from recall.notes.model import Row, Text
from recall.quantity import Blank, Reading, Unreadable, Words, canonical, of_name, read_cell

_OWED = re.compile(r".*[^\W\d_].*|\?+", re.DOTALL)
_NOT_OWED = re.any_case(r"n\s*[/.]?\s*a\.?|not (?:applicable|available)|none given")


@dataclass(slots=True)
class RowReader:
    """Reads the rows of one table in order. strange: unknown units already named for it."""

    match: Match
    scope: Scope
    points: list[Point] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    strange: set[str] = field(default_factory=set)

    @property
    def layout(self) -> Layout:
        """What the table's columns are."""
        layout: Layout = self.match.layout
        return layout

    def read(self) -> Read:
        """Points and findings of the whole table."""
        owed: list[Finding] = []
        whole = self.scope
        for row, below in zip_longest(self.match.table.rows, self.match.table.rows[1:]):
            if below is not None and divides(row) and not divides(below):
                self.scope = replace(whole, topic=(*whole.topic, one_line(row.cells[0].plain).rstrip(":")))
            elif any(row.cells):
                owed += self.row(Label(row, self.match, whole, self.findings).read())
        if self.points or self.findings or self.match.sheet.findings:
            self.findings += owed
        else:
            message = "holds no limit: it is an unfilled template"
            help = "fill in the numbers, or delete the table"
            self.findings.append(unfilled(self.match.table, message, help))
        self.findings.sort(key=lambda said: (said.place.line, said.place.column))
        return self.points, self.findings

    def row(self, label: Label) -> list[Finding]:
        """Read one row. Returns findings of answers that are owed, kept back while the table may be a template."""
        facts: list[Fact] = []
        owed: list[Finding] = []
        row = label.row
        told = len(self.findings)
        side = one_line(row.cells[self.layout.side].plain) if self.layout.side >= 0 else ""
        for column in self.layout.amounts:
            column = replace(column, role=pure_side(side), wording=side) if side else column
            text, read = row.cells[column.column], self.cell(column, label)
            if isinstance(read, Blank):
                due = _OWED.fullmatch(read.text) and not _NOT_OWED.fullmatch(read.text)
                owed += [self.owes(label, text, column)] if due and not self.layout.matrix else []
                continue
            if not isinstance(read, Reading) and text.plain == label.text.plain:
                owed.append(self.owes(label, text, column))  # a cell that spans its neighbour
                continue
            word = isinstance(read, Unreadable) and text.plain.isalpha()
            unit = label.unit or column.unit
            number = isinstance(read, Unreadable) and read.rule == "unreadable-quantity" and unit
            united = isinstance(read, Reading) and all(span.unit for span in read.spans)
            if (word and len(text.plain) > 1 and not unit) or not (self.layout.sure or united or number):
                self.guessed(label, text)  # `Vs`
                continue
            said = read if isinstance(read, Unreadable) else facts_of(read, column, text.place)
            if isinstance(said, Unreadable):
                self.findings.append(unreadable(said, text, label.name or column.wording))
                said = [Fact(column.role, None, column, text.place, column.condition)]
            facts += said
        if not label.name:
            self.findings += [self.nameless(row)] if facts else []
            return []
        if facts:
            self.gather(label, facts)
            return owed
        without = not (owed or self.layout.matrix) and self.layout.sure and told == len(self.findings)
        return [self.owes(label, label.text, None)] if without else owed[:1]

    def cell(self, column: Amount, label: Label) -> Reading | Words | Blank | Unreadable:
        """What one cell says, in the unit of its row or column where it has none."""
        unit = label.unit or column.unit
        read = read_cell(
            with_notes(self.match.sheet.text(label.row, column.column), self.scope.footnotes),
            header_unit=unit and of_name(unit, label.name),
            comma_decimal=self.scope.comma,
        )
        held = (
            self.layout.subject >= 0
            and not column.subject
            and column.role in AMOUNTS[:4]
            and is_held(label.name)
        )
        if held and isinstance(read, Reading) and any(span.low_open or span.high_open for span in read.spans):
            help = "write a sentence: `The winch is prohibited above 60 KIAS`, or the limit of a quantity"
            return not_read(read, f"may say when `{shown(label.name)}` holds, or be its limit", help)
        if isinstance(read, Reading) and "°" not in read.text and read.text[-1:].isupper():
            return doubtful(read, f"{label.name} {label.condition} {column.subject}") or read
        return read

    def guessed(self, label: Label, text: Text) -> None:
        """Tell of a cell that is no amount, where nothing but the cells says that the table is one of limits."""
        words = shown(one_line(text.plain))
        message = f"`{shown(label.name)}`: `{words}` makes no card: it is no amount with its unit"
        help = "write the number with its unit, or name the table's columns `Parameter` and `Value`"
        self.findings.append(finding("unrecognised-table", text.place, message, help))

    def nameless(self, row: Row) -> Finding:
        """The finding about a row whose limits are of nothing."""
        what = "condition" if self.layout.subject < 0 else "parameter"
        message = f"row with limits names no {what}"
        help = f"name the {what} in every row, also where it is the same as above"
        return finding("missing-answer", row.place, message, help)

    def owes(self, label: Label, text: Text, column: Amount | None) -> Finding:
        """The finding about an answer that is still to come."""
        name, words = shown(label.name) or "row without a name", shown(one_line(text.plain))
        head = shown(column.wording).capitalize() if column else ""
        what = f"has `{words}` under `{head}`, and no amount" if column else "has no limit"
        help = "write the number with its unit, `Not limited` where that is the answer, or delete the row"
        return finding("missing-answer", text.place, f"`{name}` {what}", help)

    def gather(self, label: Label, facts: list[Fact]) -> None:
        """Facts that share parameter, condition and time are one point."""
        groups: dict[tuple[str, ...], list[Fact]] = {}
        for fact in facts:
            groups.setdefault(fact.key, []).append(fact)
        broken = label.broken or (not self.layout.matrix and any(fact.amount is None for fact in facts))
        asked = False
        for group in groups.values():
            point = self.point(label, group[0])
            if len(groups) > 1:
                point.id = ""
            time = group[0].time or label.time
            if time is not None:
                point.wording["held"] = group[0].held or label.held
                if group[0].time or not self.layout.matrix or not asked:
                    point.amounts["duration"] = time
                if not group[0].time and self.layout.matrix:
                    point.wording["row"] = label.name
                    asked = True
            wrong = self.fill(point, group)
            self.side(point)
            for fact in group:
                head = one_line(self.match.table.headers[fact.column.column].plain) if fact.shown else ""
                said = ((head or "Note", words) for words in fact.shown)
                point.extra += tuple(one for one in said if one not in point.extra)
            findings, false = check(point, group, label.unitless, self.strange)
            self.findings += findings
            point.faulty = broken or wrong or false
            last = self.points[-1] if self.points else None
            if not point.id and last is not None and last.id and point.about() == last.about():
                point.id = last.id  # a rung of the ladder whose first row has the id
            self.points.append(point)

    def side(self, point: Point) -> None:
        """Which end an `If exceeded` is of; over both ends it is shown and told, for nobody can say."""
        ends = [role for role in ("minimum", "maximum") if role in point.amounts]
        if len(ends) == 1:
            point.wording["beyond"] = ends[0]
        if len(ends) < 2 or "action" not in point.fields:
            return
        header = self.match.table.headers[self.layout.roles["action"]]
        named = one_line(header.plain)
        point.extra += ((named, point.fields.pop("action")[0]),)
        if not any(said.place == header.place for said in self.findings):
            message = f"column `{shown(named)}` isn't asked where a limit has two ends: it could be of either"
            help = "write what to do in two columns, `If below` and `If above`"
            self.findings.append(finding("unrecognised-table", header.place, message, help))

    def fill(self, point: Point, group: list[Fact]) -> bool:
        """Give a point its amounts. Returns whether one isn't read, or two say different things."""
        wrong = False
        for fact in group:
            there = point.amounts.get(fact.role)
            if fact.amount is None:
                wrong = True
            elif there is None:
                point.amounts[fact.role] = fact.amount
                point.wording[fact.role] = fact.column.wording
            elif canonical(there) != canonical(fact.amount):
                wrong = True
                said = f"`{shown(there.text)}` and `{shown(fact.amount.text)}`"
                message = f"`{shown(point.subject)}` has two answers for its {fact.role} in one row: {said}"
                self.findings.append(finding("conflicting-points", fact.place, message, "keep the right one"))
        return wrong

    def point(self, label: Label, fact: Fact) -> Point:
        """The point that a fact belongs to, without its amounts."""
        layout, column = self.layout, fact.column
        cells = {role: label.row.cells[at] for role, at in layout.roles.items()}
        point = base_point("limit", label.text, self.scope, cells)
        parts = [label.name] if layout.subject >= 0 else [layout.heading]
        parts = [part for part in (*parts, column.subject, column.apart) if part]
        if fact.apart and not column.apart:
            parts.append(f"({fact.apart})")
        point.subject = " ".join(parts)
        point.condition = ", ".join(part for part in (label.condition, fact.condition) if part)
        point.matrix = layout.matrix
        if cells.get("applies") and point.applies:
            point.wording["applies"] = f"for {'aircraft ' * point.applies[:1].isdigit()}{point.applies}"
        if layout.arc:
            point.wording["arc"] = layout.arc
        for role in BEYOND:
            if role in cells and not isinstance(read_cell(cells[role].plain), Blank):
                point.fields[role] = (one_line(cells[role].plain),)
        return point
