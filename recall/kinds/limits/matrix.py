"""A matrix of limits: its rows are conditions, its columns quantities, each cell a limit."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from recall.base import regex as re
from recall.base.text import key_form, one_line
from recall.kinds.limits.columns import AMOUNTS, LOOKED_AT, Amount, Column, Layout, role_of, stated
from recall.kinds.limits.words import upper
from recall.notes.model import Table
from recall.quantity import Blank, Reading, Unit, Unreadable, Words, read_cell

_QUANTITY = re.compile(
    r"\b(?:torque|pressure|temperature|temp|speed|airspeed|rpm|voltage|current|power|weight|mass|quantity|level|flow|"
    r"altitude|frequency|vibration|itt|tgt|egt|tit|cht|n[1-3]|n[pghr]|mach|load|oil|fuel)\b",
    re.IGNORECASE,
)
ASIDE = re.compile(
    r"\b(?:default|example|notes?|remarks?|comments?|description|tolerance|accuracy|resolution|error|measured|actual|"
    r"results?|previous|was|old|new|from|to|step|change|difference|price|cost|interval)\b",
    re.IGNORECASE,
)
"""Headers of quantities that are no limits of the parameter beside them."""
LIMIT = re.compile(r"\blimit|\brating|\bthreshold|\btrip|\bset ?point|\ballow|\bpermi", re.IGNORECASE)
NO_CONDITION = re.compile(
    r"#|(?:date|time|timestamp|year|month|day|week|no|nr|number|rank|run|sample|test|benchmark|version|release|issue|id|"
    r"step|file|price|cost)s?\.?",
    re.IGNORECASE,
)
"""Headers of logs, lists and measurements: what they number is no condition."""
_LOOKS = re.compile(r"(?:arc|marking|colou?r)s?", re.IGNORECASE)
_NUMBERED = re.compile(r"[<>≤≥~±+\-\u2212]?\s?\d")
_SYMBOL = re.compile(r"[a-zα-ω]{1,2}[A-Z0-9]*")
"""Names such as `fz` and `vc`, whose case says what they are."""


def matrix_of(
    table: Table, columns: list[Column], own: Mapping[str, int], by_role: Mapping[str, int], *, log: bool
) -> Layout | None:
    """The layout of a matrix, or None where the table is none. own: the columns that are no amounts, by role; log:
    the heading says that the amounts were measured, or are had."""
    label = next((role for role, column in by_role.items() if column == 0), "")
    if label not in ("", "parameter", "when") or NO_CONDITION.fullmatch(columns[0].parts.name):
        return None
    kept = {column for role, column in by_role.items() if role not in AMOUNTS}
    free = [column for column in columns[1:] if column.at not in by_role.values()]
    found = [
        column
        for column in free
        if column.parts.unit is not None
        or _QUANTITY.search(column.parts.name)
        or (column.role and column.name)
    ]
    more = [
        column
        for column in free
        if column not in found and column.measured and column.name and not ASIDE.search(column.name)
    ]
    if not log and not columns[0].amounts and len(found) + len(more) > 1:
        found = sorted([*found, *more], key=lambda column: column.at)
    if log and not any(column.role or column.parts.unit for column in found):
        return None
    nameless = all(not column.parts.name for column in found)
    if not found or (nameless and label == "when"):
        return None
    amounts = [_quantity(column, nameless, bool(label)) for column in found]
    sides = [columns[at] for role, at in by_role.items() if role in AMOUNTS[:3] and at not in kept]
    amounts += [each for column in sides if (each := _shared(column, columns, amounts))]
    amounts.sort(key=lambda amount: amount.column)
    if not reads(table, amounts):
        return None
    return Layout(
        _told_apart(amounts, nameless),
        subject=0 if nameless else -1,
        condition=-1 if nameless else 0,
        matrix=True,
        under=() if nameless else _more_labels(own, columns),
        roles={role: column for role, column in own.items() if column},
    )


def _more_labels(own: Mapping[str, int], columns: list[Column]) -> tuple[int, ...]:
    """Columns behind the first that say more of when a row holds, or of what; not how it is marked."""
    said = [column for role, column in own.items() if column and role in ("when", "parameter")]
    return tuple(column for column in said if not _LOOKS.fullmatch(columns[column].parts.name))


def _shared(column: Column, columns: list[Column], amounts: Sequence[Amount]) -> Amount | None:
    """A column of a side without a quantity (`Nom`) beside those of one (`Min voltage`): its unit says of which."""
    unit = column.unit
    near = {
        amount.subject
        for amount in amounts
        if unit is None or ((other := columns[amount.column].unit) and other.dimension == unit.dimension)
    }
    if len(near) != 1:
        return None
    role = role_of(column.parts.name) or column.role
    return replace(stated(column, role), subject=near.pop(), wording="value")


def _quantity(column: Column, nameless: bool, limits: bool) -> Amount:
    name = column.name or column.parts.name or one_line(column.table.headers[column.at].plain)
    return replace(
        stated(column, column.role or "value"),
        wording="value" if nameless or not limits else "limit",
        subject="" if nameless else name if _SYMBOL.fullmatch(name) else upper(name),
    )


def _told_apart(amounts: Sequence[Amount], nameless: bool) -> tuple[Amount, ...]:
    """Columns of one name in units of several dimensions get the dimension added: oil pressure, oil temperature."""
    units: dict[str, set[str]] = {}
    for amount in amounts:
        if amount.unit is not None:
            units.setdefault(key_form(amount.subject), set()).add(_apart(amount.unit, nameless))
    return tuple(
        replace(amount, apart=_apart(amount.unit, nameless))
        if amount.unit is not None and len(units[key_form(amount.subject)]) > 1
        else amount
        for amount in amounts
    )


def _apart(unit: Unit, nameless: bool) -> str:
    return f"({unit.name})" if nameless or not unit.known else unit.dimension


def reads(table: Table, amounts: Sequence[Amount]) -> bool:
    """Whether half of the filled cells or more are quantities, and each column has a unit in its header or in a
    cell; a table with nothing filled in is taken at its headers' word. Where one cell reads, or the header says
    `Limit`, cells that begin with a number and can't be read are quantities that went wrong."""
    filled = read = wrong = 0
    for amount in amounts:
        unit = amount.unit is not None or not amount.subject
        for row in table.rows[:LOOKED_AT]:
            cell = read_cell(row.cells[amount.column].plain, header_unit=amount.unit, sense=amount.role)
            if isinstance(cell, Blank | Words):
                continue
            filled += 1
            if isinstance(cell, Unreadable) and not amount.subject and _NUMBERED.match(cell.text):
                wrong += 1
            if isinstance(cell, Reading):
                read += 1
                unit = unit or any(span.unit is not None for span in cell.spans)
        if not unit:
            return False
    said = any(LIMIT.search(amount.wording) for amount in amounts)
    return (read + (wrong if read or said else 0)) * 2 >= filled
