"""What a row of a table of limits says around its numbers: parameter, condition, time and unit."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.kinds.limits.columns import Layout
from recall.kinds.limits.words import is_condition
from recall.kinds.model import Scope
from recall.kinds.tables.headers import Match
from recall.notes.model import Row, Table, Text
from recall.quantity import Blank, Reading, Unit, Unreadable, Words, header_parts, read_cell, read_unit
from recall.quantity import shown as quantity_shown

_BRACKETS = re.compile(r"(?P<name>.*\S)\s*[(\[](?P<inner>[^()\[\]]+)[)\]]$", re.DOTALL)
_AMOUNT = re.compile(r"[+\-\u2212±]?\s?\d")
_NAMELESS = re.compile(r"when|at|conditions?|situation|case", re.IGNORECASE)
_FOOTNOTE = re.compile(r"\s*\[\^([\w-]{1,30})\]|(?<=[\w)%°.²³])\s?([*†‡§]{1,3})$")
_LONGEST_NOTE = 60
_FOR = re.compile(r"^for\s+(?=\d)", re.IGNORECASE)
_MARK = re.compile(r"\b(?:arc|line|radial|band|triangle|mark|range)s?\b", re.IGNORECASE)
_NO_ONE_UNIT = re.compile(r"^(?:see|ref|as|note|various|mixed)\b|°[CF]\s*(?:/|or|and)\s*°[CF]", re.IGNORECASE)
_NO_UNIT = re.compile(r"[^a-z]*|n/?a|none|nil|unitless|dimensionless|ratio|count|number|no\.", re.IGNORECASE)


@dataclass(slots=True)
class Label:
    """What a row's own labels say. text: the cell that names the row; name: its words without a time in brackets;
    held: for how long it all holds, in words; time: the same, read; broken: the time isn't read."""

    text: Text
    name: str
    condition: str = ""
    held: str = ""
    time: Reading | Words | None = None
    broken: bool = False


def with_notes(plain: str, scope: Scope) -> str:
    """A cell with its footnotes put in their place, in brackets, where they are times or conditions; one that only
    remarks is left out; one that may change the amount keeps its mark, so that the cell isn't read."""
    if plain[-1:] not in "]*†‡§" and "[^" not in plain:
        return plain
    return _FOOTNOTE.sub(lambda found: _note(found, scope.footnotes), plain)


def _note(found: re.Match[str], footnotes: Mapping[str, str]) -> str:
    words = _FOR.sub("", footnotes.get(found[1] or found[2], ""))
    if not words and found[2]:
        return ""
    if not words or len(words) > _LONGEST_NOTE or set(words) & set("()[]"):
        return found[0]
    read = read_cell(words)
    if (isinstance(read, Reading) and _is_time(read)) or is_condition(words):
        return f" ({words})"
    return found[0] if re.search(r"\d", words) else ""


def _is_time(read: Reading) -> bool:
    return all(span.unit is not None and span.unit.dimension == "time" for span in read.spans)


def unreadable(read: Unreadable, text: Text, subject: str) -> Finding:
    """The finding about a cell that isn't read."""
    return finding(read.rule, text.place, f"`{shown(subject)}`: {shown(read.reason)}", shown(read.help))


@dataclass(slots=True)
class TableReader:
    """What reads one table of limits."""

    match: Match
    scope: Scope

    @property
    def table(self) -> Table:
        """The table, its rows settled."""
        return self.match.table

    @property
    def layout(self) -> Layout:
        """What its columns are."""
        layout: Layout = self.match.layout
        return layout


@dataclass(slots=True)
class LabelReader(TableReader):
    """Reads the labels of the rows of one table, in order. strange: unknown units already named for this table."""

    findings: list[Finding]
    strange: set[str] = field(default_factory=set)

    def cell(self, row: Row, role: str) -> Text | None:
        """The row's cell of a role, where the table has that column and the cell is filled."""
        column = self.layout.roles.get(role)
        return row.cells[column] if column is not None and row.cells[column] else None

    def label(self, row: Row) -> Label | None:
        """The row's labels; None where it has none, so that nobody can say what its limits are of."""
        layout = self.layout
        at = layout.subject if layout.subject >= 0 else layout.condition
        text = row.cells[at]
        name = one_line(text.plain)
        if not any(sign.isalnum() for sign in name):
            return None
        condition = ""
        if layout.subject >= 0 and layout.condition >= 0:
            condition = one_line(row.cells[layout.condition].plain)
            condition = (
                "" if isinstance(read_cell(condition), Blank) else self.led(condition, layout.condition)
            )
        for column in layout.under:
            if words := one_line(row.cells[column].plain):
                condition = ", ".join(part for part in (condition, self.led(words, column)) if part)
        label = Label(text, name, condition)
        self.time(row, label)
        if layout.subject < 0 or layout.matrix:
            label.name = self.led(label.name, at)
        if layout.arc and not _MARK.search(label.name):
            label.name = f"{label.name} arc"
        if layout.subject < 0:
            label.condition = ", ".join(part for part in (label.name, label.condition) if part)
        return label

    def led(self, words: str, column: int) -> str:
        """A label that is a bare amount, behind its header's name: `15` under Flaps is `Flaps 15`."""
        if not _AMOUNT.match(words):
            return words
        head = header_parts(self.table.headers[column].plain)
        read = read_cell(words)
        if (
            not head.name
            or _NAMELESS.fullmatch(head.name)
            or not isinstance(read, Reading)
            or read.shape == "duty"
        ):
            return words
        bare = head.unit is not None and all(span.unit is None for span in read.spans)
        return f"{head.name} {words}" + (f" {head.unit.name}" if bare and head.unit else "")

    def time(self, row: Row, label: Label) -> None:
        """For how long: the column `For`, or a time in brackets behind a label (`Takeoff (5 min)`)."""
        text = self.cell(row, "for")
        if text is not None:
            words = one_line(text.plain)
            unit = header_parts(self.table.headers[self.layout.roles["for"]].plain).unit
            read = read_cell(words, header_unit=unit, comma_decimal=self.scope.comma, sense="duration")
            if isinstance(read, Unreadable):
                if any(sign.isdigit() for sign in words):
                    label.broken = True
                    self.findings.append(unreadable(read, text, label.name))
                else:
                    read = Words(words)
            if isinstance(read, Reading) and not any(span.unit for span in read.spans):
                label.broken = True
                message = f"`{shown(label.name)}` holds for `{shown(words)}`, without a unit"
                help = "write the time with its unit: `20 s`, `5 min`"
                self.findings.append(finding("limit-without-unit", text.place, message, help))
            elif isinstance(read, Reading):
                label.held, label.time = quantity_shown(read), read
            elif isinstance(read, Words):
                label.held, label.time = words, read
            return
        for part in ("name", "condition"):
            words = getattr(label, part)
            found = _BRACKETS.match(words) if words.endswith((")", "]")) else None
            inner = read_cell(found["inner"]) if found else None
            if found and isinstance(inner, Reading) and _is_time(inner):
                setattr(label, part, found["name"])
                label.held, label.time = quantity_shown(inner), inner
                return
        found = _BRACKETS.match(label.name) if self.layout.subject >= 0 else None
        if found and isinstance(read_cell(found["inner"]), Reading):
            label.name = found["name"]
            label.condition = ", ".join(part for part in (label.condition, found["inner"]) if part)

    def unit(self, row: Row, label: Label | None) -> tuple[Unit | None, bool]:
        """The unit that the row's own column gives, and whether it says on purpose that there is none (a dash)."""
        text = self.cell(row, "unit")
        if text is None:
            return None, False
        words = one_line(text.plain)
        unit = None if _NO_ONE_UNIT.search(words) else read_unit(words)
        if unit is None and not _NO_UNIT.fullmatch(words):
            if label is not None:
                label.broken = True
            message = f"`{shown(label.name if label else words)}`: `{shown(words)}` isn't one unit"
            help = "write one usual unit (`psi`, `°C`, `KIAS`), or a dash where there is none"
            self.findings.append(finding("unknown-unit", text.place, message, help))
        return unit, unit is None

    def unit_of(self, label: Label) -> Unit | None:
        """The unit in the name of the row's parameter (`Oil pressure (psi)`), taken out of it; where columns give
        units, the name is left alone."""
        if self.layout.subject < 0 or any(column.unit for column in self.layout.amounts):
            return None
        parts = header_parts(label.name)
        if parts.unit is None or not parts.name or parts.condition or parts.duration or parts.sense:
            return None
        if "(" in label.name or "[" in label.name or "," in label.name:
            label.name = parts.name
        return parts.unit
