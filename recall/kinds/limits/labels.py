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


@dataclass(slots=True)
class Label:
    """What a row's own labels say. text: the cell that names the row; name: its words without a time in brackets,
    empty where nobody can say what its limits are of; held: for how long it all holds, in words; time: the same,
    read; unit: what its numbers are in; unitless: it says on purpose that they have none; broken: something isn't
    read."""

    text: Text
    name: str
    condition: str = ""
    held: str = ""
    time: Reading | Words | None = None
    unit: Unit | None = None
    unitless: bool = False
    broken: bool = False

    def under(self, words: str) -> None:
        """Add to its condition."""
        self.condition = ", ".join(part for part in (self.condition, words) if part)


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
class LabelReader:
    """Reads the labels of the rows of one table, in order."""

    match: Match
    scope: Scope
    findings: list[Finding]

    def label(self, row: Row) -> Label:
        """The row's labels."""
        layout: Layout = self.match.layout
        at = layout.label
        label = Label(row.cells[at], one_line(row.cells[at].plain))
        if not any(sign.isalnum() for sign in label.name):
            label.name = ""
            self.unit(row, label, layout)
            return label
        label.under(self.scope.under)
        if layout.subject >= 0 and layout.condition >= 0:
            words = one_line(row.cells[layout.condition].plain)
            label.under("" if isinstance(read_cell(words), Blank) else self.led(words, layout.condition))
        for column in layout.under:
            label.under(self.led(one_line(row.cells[column].plain), column))
        self.time(row, label, layout)
        if layout.subject < 0 or layout.matrix:
            label.name = self.led(label.name, at)
        if layout.arc and not _MARK.search(label.name):
            label.name = f"{label.name} arc"
        if at == layout.condition:
            label.condition = ", ".join(part for part in (label.name, label.condition) if part)
        self.unit(row, label, layout)
        return label

    def led(self, words: str, column: int) -> str:
        """A label that is a bare amount or a letter, behind its header's name: `15` under Flaps is `Flaps 15`."""
        letter = _LETTER.fullmatch(words)
        if not (letter or NUMBERED.match(words)):
            return words
        read, layout = read_cell(words), self.match.layout
        head = header_parts(layout.down or self.match.table.headers[column].plain)
        if letter and not _NAMELESS.fullmatch(head.name):
            return f"{upper(head.name)} {words}"
        if not isinstance(read, Reading) or read.shape == "duty" or _NAMELESS.fullmatch(head.name):
            return words
        unit = head.unit.name if head.unit and not any(span.unit for span in read.spans) else ""
        return " ".join(part for part in (head.name, words, unit) if part)  # `1900` under `RPM`

    def time(self, row: Row, label: Label, layout: Layout) -> None:
        """For how long: the column `For`, or a time in brackets behind a label (`Takeoff (5 min)`)."""
        at = layout.roles.get("for", -1)
        if at >= 0 and row.cells[at]:
            self.column_for(row.cells[at], header_parts(self.match.table.headers[at].plain).unit, label)
            return
        for part in ("name", "condition"):
            words = getattr(label, part)
            found = _BRACKETS.match(words) if words[-1:] in (")", "]") else None
            inner = read_cell(found["inner"]) if found else None
            if found and isinstance(inner, Reading) and is_time(inner):
                setattr(label, part, found["name"])
                label.held, label.time = quantity_shown(inner), inner
                return

    def column_for(self, text: Text, unit: Unit | None, label: Label) -> None:
        """What the column `For` says."""
        words = one_line(text.plain)
        read = read_cell(words, header_unit=unit, comma_decimal=self.scope.comma, duration=True)
        if isinstance(read, Unreadable):
            label.broken = True
            self.findings.append(unreadable(read, text, label.name))
        elif isinstance(read, Reading) and not any(span.unit for span in read.spans):
            label.broken = True
            message = f"`{shown(label.name)}` holds for `{shown(words)}`, without a unit"
            help = "write the time with its unit: `20 s`, `5 min`"
            self.findings.append(finding("limit-without-unit", text.place, message, help))
        elif not isinstance(read, Blank):
            label.held, label.time = quantity_shown(read) if isinstance(read, Reading) else words, read

    def unit(self, row: Row, label: Label, layout: Layout) -> None:
        """The unit that the row's own column gives, or its name (`Oil pressure (psi)`, where no column gives one), or
        the line above the table."""
        at = layout.roles.get("unit", -1)
        if at >= 0 and row.cells[at]:
            words = one_line(row.cells[at].plain)
            label.unit = (
                None
                if _NO_ONE_UNIT.search(words) or (words.isalpha() and _NO_UNIT.fullmatch(words))
                else read_unit(words)
            )
            label.unitless = label.unit is None
            if label.unitless and not _NO_UNIT.fullmatch(words):
                label.broken = True
                message = f"`{shown(label.name or words)}`: `{shown(words)}` isn't one unit"
                help = "write one usual unit (`psi`, `°C`, `KIAS`), or a dash where there is none"
                self.findings.append(finding("unknown-unit", row.cells[at].place, message, help))
        elif label.name:
            if layout.subject >= 0 and not any(column.unit for column in layout.amounts):
                label.name, label.unit = in_name(label.name, row)
            label.unit = label.unit or layout.around or self.carried(row, layout)

    def carried(self, row: Row, layout: Layout) -> Unit | None:
        """The unit that one cell of a row gives for bare numbers beside it: `1.2 | 1.8 | 2.4 A`."""
        cells = (read_cell(row.cells[column.column].plain) for column in layout.amounts)
        units = {span.unit for one in cells if isinstance(one, Reading) for span in one.spans}
        known = [unit for unit in units if unit and unit.dimension != "time"]
        bare = not layout.matrix and None in units and not any(column.unit for column in layout.amounts)
        return known[0] if bare and len(known) == len(units) - 1 == 1 else None
