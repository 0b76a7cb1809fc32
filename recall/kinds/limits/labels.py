"""What a row of a table of limits says around its numbers: parameter, condition, time and unit."""

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.kinds.english import upper
from recall.kinds.kind import Match
from recall.kinds.limits.columns import Layout
from recall.kinds.limits.headers import NUMBERED
from recall.kinds.limits.units import in_name
from recall.kinds.model import Scope
from recall.notes.model import Row, Text
from recall.quantity import Blank, Reading, Unit, Unreadable, Words, header_parts, read_cell, read_unit
from recall.quantity import shown as quantity_shown

_BRACKETS = re.compile(r"(?P<name>.*\S)\s*[(\[](?P<inner>[^()\[\]]+)[)\]]$", re.DOTALL)
_NAMELESS = re.any_case(r"when|at|conditions?|situation|case|symbols?|")
_LETTER = re.compile(r"[A-Z]")
_MARK = re.any_case(r"\b(?:arc|line|radial|band|triangle|mark|range)s?\b")
_NO_ONE_UNIT = re.any_case(
    r"^(?:see|ref|as|note|various|mixed)\b|°[CF]\s*(?:/|or|and)\s*°[CF]",
    holds=(" see", " ref", " as", " note", " various", " mixed", "°"),
)
_NO_UNIT = re.any_case(
    r"[^a-z\d]*|n/?a|none|nil|unitless|dimensionless|ratio|counts?|number|no\.|integer|bool(?:ean)?"
)


def is_time(read: object) -> bool:
    """Whether a cell is a time, or several."""
    return isinstance(read, Reading) and all(
        span.unit and span.unit.dimension == "time" for span in read.spans
    )


def unreadable(read: Unreadable, text: Text, subject: str) -> Finding:
    """The finding about a cell that isn't read."""
    return finding(
        read.rule, text.place, f"`{shown(subject)}` makes no card: {shown(read.reason)}", shown(read.help)
    )


@dataclass(slots=True)
class Label:
    """What a row's own labels say. name: the words of the cell that names it without a time in brackets, empty where
    nobody can say what its limits are of; time: for how long it all holds; unit: what its numbers are in; unitless:
    it says on purpose that they have none; broken: something isn't read. findings: added to."""

    row: Row
    match: Match
    scope: Scope
    findings: list[Finding]
    name: str = ""
    condition: str = ""
    time: Reading | Words | None = None
    unit: Unit | None = None
    unitless: bool = False
    broken: bool = False

    @property
    def layout(self) -> Layout:
        """What the table's columns are."""
        layout: Layout = self.match.layout
        return layout

    @property
    def text(self) -> Text:
        """The cell that names the row."""
        return self.row.cells[self.layout.label]

    @property
    def held(self) -> str:
        """For how long it all holds, in words."""
        if isinstance(self.time, Reading):
            return quantity_shown(self.time)
        return self.time.text if self.time else ""

    def read(self) -> "Label":
        """Read the row's labels."""
        layout, said = self.layout, one_line(self.text.plain)
        if any(sign.isalnum() for sign in said):
            self.name = said
            under = [layout.condition] if layout.subject >= 0 <= layout.condition else []
            conditions = [self.scope.under, *(self.led(at) for at in (*under, *layout.under))]
            self.condition = ", ".join(filter(None, conditions))
            self.read_time()
            if layout.subject < 0 or layout.matrix:
                self.name = self.led(layout.label, self.name)
            if layout.arc and not _MARK.search(self.name):
                self.name = f"{self.name} arc"
            if layout.label == layout.condition:
                self.condition = ", ".join(filter(None, (self.name, self.condition)))
        self.read_unit()
        return self

    def led(self, column: int, said: str = "") -> str:
        """A label that is a bare amount or a letter, behind its header's name: `15` under Flaps is `Flaps 15`; none
        where the cell is blank. said: what of the cell is meant."""
        words = said or one_line(self.row.cells[column].plain)
        letter, read = _LETTER.fullmatch(words), read_cell(words)
        if isinstance(read, Blank) and not said:
            return ""
        if not (letter or NUMBERED.match(words)):
            return words
        head = header_parts(self.layout.down or self.match.table.headers[column].plain)
        if letter and not _NAMELESS.fullmatch(head.name):
            return f"{upper(head.name)} {words}"
        if not isinstance(read, Reading) or read.shape == "duty" or _NAMELESS.fullmatch(head.name):
            return words
        unit = head.unit.name if head.unit and not any(span.unit for span in read.spans) else ""
        return " ".join(part for part in (head.name, words, unit) if part)  # `1900` under `RPM`

    def read_time(self) -> None:
        """For how long: the column `For`, or a time in brackets behind a label (`Takeoff (5 min)`)."""
        at = self.layout.roles.get("for", -1)
        if at >= 0 and self.row.cells[at]:
            self.column_for(self.row.cells[at], header_parts(self.match.table.headers[at].plain).unit)
            return
        for part in ("name", "condition"):
            words = getattr(self, part)
            found = _BRACKETS.match(words) if words[-1:] in (")", "]") else None
            inner = read_cell(found["inner"]) if found else None
            if found and isinstance(inner, Reading) and is_time(inner):
                setattr(self, part, found["name"])
                self.time = inner
                return

    def column_for(self, text: Text, unit: Unit | None) -> None:
        """What the column `For` says."""
        words = one_line(text.plain)
        read = read_cell(words, header_unit=unit, comma_decimal=self.scope.comma, duration=True)
        if isinstance(read, Unreadable):
            self.broken = True
            self.findings.append(unreadable(read, text, self.name))
        elif isinstance(read, Reading) and not any(span.unit for span in read.spans):
            self.broken = True
            message = f"`{shown(self.name)}` holds for `{shown(words)}`, without a unit"
            help = "write the time with its unit: `20 s`, `5 min`"
            self.findings.append(finding("limit-without-unit", text.place, message, help))
        elif not isinstance(read, Blank):
            self.time = read

    def read_unit(self) -> None:
        """The unit that the row's own column gives, or its name (`Oil pressure (psi)`, where no column gives one), or
        the line above the table, or one cell for bare numbers beside it (`1.2 | 1.8 | 2.4 A`)."""
        layout, row, at = self.layout, self.row, self.layout.roles.get("unit", -1)
        united = any(column.unit for column in layout.amounts)
        if at >= 0 and row.cells[at]:
            words = one_line(row.cells[at].plain)
            none = _NO_ONE_UNIT.search(words) or (words.isalpha() and _NO_UNIT.fullmatch(words))
            self.unit = None if none else read_unit(words)
            self.unitless = self.unit is None
            if self.unitless and not _NO_UNIT.fullmatch(words):
                self.broken = True
                message = f"`{shown(self.name or words)}`: `{shown(words)}` isn't one unit"
                help = "write one usual unit (`psi`, `°C`, `KIAS`), or a dash where there is none"
                self.findings.append(finding("unknown-unit", row.cells[at].place, message, help))
        elif self.name:
            if layout.subject >= 0 and not united:
                self.name, self.unit = in_name(self.name, row)
            self.unit = self.unit or layout.around
            if not (self.unit or united or layout.matrix):
                cells = (read_cell(row.cells[column.column].plain) for column in layout.amounts)
                units = {span.unit for one in cells if isinstance(one, Reading) for span in one.spans}
                known = [unit for unit in units if unit and unit.dimension != "time"]
                self.unit = known[0] if units == {None, *known[:1]} and known else None
