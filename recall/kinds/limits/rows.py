"""Rows of a table of limits into points: what each cell says, gathered by parameter, condition and time."""

from dataclasses import dataclass, field

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.kinds.limits.ask import BEYOND
from recall.kinds.limits.checks import check
from recall.kinds.limits.columns import Amount
from recall.kinds.limits.facts import Fact, doubtful, facts_of
from recall.kinds.limits.labels import Label, LabelReader, TableReader, unreadable, with_notes
from recall.kinds.limits.layout import unit_around
from recall.kinds.model import Point, Read, base_point
from recall.kinds.tables.headers import unfilled
from recall.notes.model import Row, Text
from recall.quantity import Blank, Reading, Unit, Unreadable, canonical, read_cell

_OWED = re.compile(r".*[^\W\d_].*|\?+", re.DOTALL)
_NOT_OWED = re.compile(r"n\s*[/.]?\s*a\.?|not (?:applicable|available)|none given", re.IGNORECASE)


@dataclass(slots=True)
class RowReader(TableReader):
    """Reads the rows of one table in order."""

    points: list[Point] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    labels: LabelReader = field(init=False)
    around: Unit | None = None
    """The unit that stands above the whole table."""

    def __post_init__(self) -> None:
        """Labels and amounts report into one list."""
        self.labels = LabelReader(self.match, self.scope, self.findings)
        if not any(column.unit for column in self.layout.amounts):
            self.around = unit_around(self.table)

    def read(self) -> Read:
        """Points and findings of the whole table."""
        owed: list[Finding] = []
        for row in self.table.rows:
            if any(row.cells):
                owed += self.row(row)
        if self.points or self.findings or self.match.sheet.findings:
            self.findings += owed
        else:
            message = "holds no limit: it is an unfilled template"
            self.findings.append(unfilled(self.table, message, "fill in the numbers, or delete the table"))
        self.findings.sort(key=lambda said: (said.place.line, said.place.column))
        return self.points, self.findings

    def row(self, row: Row) -> list[Finding]:
        """Read one row. Returns findings of answers that are owed, kept back while the table may be a template."""
        label = self.labels.label(row)
        unit, unit_said = self.labels.unit(row, label)
        if label and not unit and not unit_said:
            unit = self.labels.unit_of(label) or self.around
        facts: list[Fact] = []
        owed: list[Finding] = []
        for column in self.layout.amounts:
            text = row.cells[column.column]
            read = read_cell(
                with_notes(self.match.sheet.text(row, column.column), self.scope),
                header_unit=unit or column.unit,
                comma_decimal=self.scope.comma,
                sense=column.role if column.role in ("minimum", "maximum") else "",
            )
            if isinstance(read, Blank):
                if (
                    not self.layout.matrix
                    and _OWED.fullmatch(read.text)
                    and not _NOT_OWED.fullmatch(read.text)
                ):
                    owed.append(self.owes(label, text, column))
                continue
            if isinstance(read, Reading) and "°" not in read.text and read.text[-1:].isupper():
                name = f"{label.name} {label.condition}" if label else ""
                read = doubtful(read, f"{name} {column.subject}") or read
            said = read if isinstance(read, Unreadable) else facts_of(read, column, text.place)
            if isinstance(said, Unreadable):
                self.findings.append(unreadable(said, text, label.name if label else column.wording))
                said = [Fact(column.role, None, column, text.place, column.condition)]
            facts += said
        if label is None:
            if facts:
                self.findings.append(self.nameless(row))
            return []
        if facts:
            self.gather(label, row, facts, unit_said)
            return owed
        return owed[:1] if owed or self.layout.matrix else [self.owes(label, label.text, None)]

    def nameless(self, row: Row) -> Finding:
        """The finding about a row whose limits are of nothing."""
        what = "condition" if self.layout.subject < 0 else "parameter"
        message = f"row with limits names no {what}"
        help = f"name the {what} in every row, also where it is the same as above"
        return finding("missing-answer", row.place, message, help)

    def owes(self, label: Label | None, text: Text, column: Amount | None) -> Finding:
        """The finding about an answer that is still to come."""
        name = shown(label.name) if label else "row without a name"
        words = shown(one_line(text.plain))
        return finding(
            "missing-answer",
            text.place,
            f"`{name}` has `{words}` where its {column.role} belongs" if column else f"`{name}` has no limit",
            "write the number with its unit, `Not limited` where that is the answer, or delete the row",
        )

    def gather(self, label: Label, row: Row, facts: list[Fact], unit_said: bool) -> None:
        """Facts that share parameter, condition and time are one point."""
        split = {fact.apart for fact in facts if fact.apart}
        groups: dict[tuple[str, str, str, str], list[Fact]] = {}
        for fact in facts:
            if split and not fact.apart and fact.dimension in split:
                fact.apart = fact.dimension
            key = (fact.column.subject, fact.column.apart or fact.apart, fact.condition, fact.held)
            groups.setdefault(key, []).append(fact)
        broken = label.broken or (not self.layout.matrix and any(fact.amount is None for fact in facts))
        asked = False
        for group in groups.values():
            point = self.point(label, row, group[0])
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
            self.side(point, row)
            said = dict.fromkeys(
                (one_line(self.table.headers[fact.column.column].plain) or "Note", words)
                for fact in group
                for words in fact.shown
            )
            point.extra += tuple(said)
            findings, false = check(point, group, unit_said, self.labels.strange)
            self.findings += findings
            point.faulty = broken or wrong or false
            last = self.points[-1] if self.points else None
            if not point.id and last is not None and last.id and point.about() == last.about():
                # A rung of the ladder whose first row has the id.
                point.id = last.id
            self.points.append(point)

    def side(self, point: Point, row: Row) -> None:
        """Which end an `If exceeded` is of; over both ends it is shown and told, for nobody can say."""
        ends = [role for role in ("minimum", "maximum") if role in point.amounts]
        if len(ends) == 1:
            point.wording["beyond"] = ends[0]
        if len(ends) < 2 or "action" not in point.fields:
            return
        at = self.layout.roles["action"]
        header, place = one_line(self.table.headers[at].plain), row.cells[at].place
        point.extra += ((header, point.fields.pop("action")[0]),)
        if not any(said.place == place for said in self.findings):
            message = (
                f"`{shown(point.subject)}` has two ends, and one `{shown(header)}` that could be of either"
            )
            help = "write what to do in two columns, `If below` and `If above`"
            self.findings.append(finding("missing-answer", place, message, help))

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
                message = (
                    f"`{shown(point.subject)}` has two answers for its {fact.role} in one row: "
                    f"`{shown(there.text)}` and `{shown(fact.amount.text)}`"
                )
                self.findings.append(finding("conflicting-points", fact.place, message, "keep the right one"))
        return wrong

    def point(self, label: Label, row: Row, fact: Fact) -> Point:
        """The point that a fact belongs to, without its amounts."""
        layout = self.layout
        cells = {role: row.cells[column] for role, column in layout.roles.items()}
        point = base_point("limit", label.text, self.scope, cells)
        column = fact.column
        parts = [label.name] if layout.subject >= 0 else [self.scope.heading] if layout.heading else []
        parts += [part for part in (column.subject, column.apart) if part]
        if fact.apart and not column.apart:
            parts.append(f"({fact.apart})")
        point.subject = " ".join(parts)
        point.condition = ", ".join(part for part in (label.condition, fact.condition) if part)
        point.matrix = layout.matrix
        applies = self.labels.cell(row, "applies")
        if applies is not None and point.applies:
            point.wording["applies"] = f"for {point.applies}"
        if layout.arc:
            point.wording["arc"] = layout.arc
        for role in BEYOND:
            cell = self.labels.cell(row, role)
            if cell is not None and not isinstance(read_cell(cell.plain), Blank):
                point.fields[role] = (one_line(cell.plain),)
        return point
