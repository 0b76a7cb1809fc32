"""What the columns of a table of limits are: parameters down the side, or a matrix of conditions and quantities."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from recall.base.text import key_form, one_line
from recall.kinds.limits.headers import HEADERS
from recall.kinds.limits.words import upper
from recall.kinds.tables.headers import spellings
from recall.notes.model import Table
from recall.quantity import (
    Blank,
    HeaderParts,
    Reading,
    Span,
    Unit,
    Unreadable,
    Words,
    find_unit,
    header_parts,
    read_cell,
)

AMOUNTS = ("minimum", "maximum", "normal", "value", "caution", "warning", "shutdown")
"""Roles whose cells hold quantities, in the order in which they are asked."""

_QUANTITY = re.compile(
    r"\b(?:torque|pressure|temperature|temp|speed|airspeed|rpm|voltage|current|power|weight|mass|quantity|level|flow|"
    r"altitude|frequency|vibration|itt|tgt|egt|tit|cht|n[1-3]|n[pghr]|mach|load|oil|fuel)\b",
    re.IGNORECASE,
)
_GRAVE = re.compile(r"\b(?:critical|shut[ -]?down|trip|red|redline)\b", re.IGNORECASE)
_ARC = re.compile(r"\b(?:arc|band|marking|colou?r)s?\b", re.IGNORECASE)
_ANYTHING = re.compile(r"items?|attributes?|variables?|metrics?", re.IGNORECASE)
"""Headers under which anything may stand, limits or not."""
_ASIDE = re.compile(
    r"\b(?:default|example|notes?|remarks?|comments?|description|tolerance|accuracy|resolution|error|measured|actual|"
    r"results?|previous|was|old|new|from|to|step|change|difference|price|cost|interval)\b",
    re.IGNORECASE,
)
"""Headers of quantities that are no limits of the parameter beside them."""
_LIMIT = re.compile(r"\blimit", re.IGNORECASE)
_NUMBERED = re.compile(r"[<>≤≥~±+\-\u2212]?\s?\d")
_SYMBOL = re.compile(r"[a-zα-ω]{1,2}[A-Z0-9]*")
"""Names such as `fz` and `vc`, whose case says what they are."""
_LETTER = re.compile(r" [VAWK%]")
_ROLES = {name: role for role, names in HEADERS.items() for name in names}
_THINGS = re.compile(
    r"(?:name|description|component|system|element|designation|speed|v-?speed|limitation)s?", re.IGNORECASE
)
_NO_CONDITION = re.compile(
    r"#|(?:date|time|timestamp|year|month|day|no|nr|number|rank|run|sample|test|benchmark|version|release|issue|id|step)s?\.?",
    re.IGNORECASE,
)
"""Headers of logs, lists and measurements: what they number is no condition."""
_REMARK = re.compile(r"(?:see|note|typ|approx|optional|nominal|if)\b", re.IGNORECASE)
_SIDE = {"minimum": "minimum", "min": "minimum", "lower": "minimum",
         "maximum": "maximum", "max": "maximum", "upper": "maximum"}  # fmt: skip
_SIDE_WORD = re.compile(r"\b(" + "|".join(_SIDE) + r")\b\.?(?: limit\b)?", re.IGNORECASE)

_LOOKED_AT = 200
"""So many rows show whether a table reads as one of limits."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A column of quantities. role: what a bare number in it is; wording: the header's own word for that; subject:
    the parameter it names itself, empty where the row names it; apart: what tells it from another column of that
    name (`pressure`); condition, time: what its header adds in brackets."""

    column: int
    role: str
    unit: Unit | None
    wording: str
    subject: str = ""
    apart: str = ""
    condition: str = ""
    time: Span | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns of a table of limits; -1 where there is none. heading: the nearest heading names the parameter;
    arc: the rows are marks of an instrument, under this header; roles: the other columns."""

    amounts: tuple[Amount, ...]
    subject: int = -1
    condition: int = -1
    matrix: bool = False
    heading: bool = False
    arc: str = ""
    roles: Mapping[str, int] = field(default_factory=dict)

    @property
    def columns(self) -> set[int]:
        """All columns that are understood."""
        known = {amount.column for amount in self.amounts} | set(self.roles.values())
        return known | {column for column in (self.subject, self.condition) if column >= 0}


def layout_of(table: Table, roles: Mapping[int, str]) -> Layout | None:
    """The layout of a table, or None where it is no table of limits. roles: what its headers matched."""
    parts = [_parts(header.plain) for header in table.headers]
    by_role = {role: column for column, role in roles.items()}
    if parts[by_role.get("parameter", 0)].unit is not None:
        # `Airspeed, kt` is no column of names.
        by_role.pop("parameter", None)
    if by_role.get("value") == 0 and "parameter" not in by_role and "when" not in by_role:
        # `Limit | Value`: the limits are named on the left, whatever their numbers stand under.
        by_role["parameter"] = by_role.pop("value")
    _by_name(parts, by_role)
    names = [each.name.casefold() for each in parts]
    if "parameter" in by_role and not by_role.keys() & set(AMOUNTS) and {"from", "to"} <= set(names):
        # `Parameter | From | To`: the ends of a range.
        by_role |= {"minimum": names.index("from"), "maximum": names.index("to")}
    if "parameter" not in by_role and by_role.get("when") != 0:
        _take_first(by_role, parts)
    _rank_thresholds(parts, by_role)
    own = {role: column for role, column in by_role.items() if role not in AMOUNTS}
    amounts = tuple(_stated(by_role[role], role, parts[by_role[role]]) for role in AMOUNTS if role in by_role)
    if not amounts and own.get("parameter") == 0 and not _ANYTHING.fullmatch(parts[0].name):
        amounts = _unnamed(table, parts, set(by_role.values()))
    if "parameter" in own and amounts:
        layout = Layout(amounts, subject=own["parameter"], condition=own.get("when", -1), roles=own)
        strong = {amount.role for amount in amounts} - {"value"} or "unit" in own
        return layout if strong or _reads(table, amounts) else None
    matrix = _matrix(table, parts, own, by_role)
    if matrix is None and own.get("when") == 0 and table.topic:
        arc = parts[0].name if _ARC.search(parts[0].name) else ""
        units = [column for column, each in enumerate(parts) if each.unit is not None and not each.name]
        if arc and not amounts and len(units) == 1:
            # `Marking | KIAS`: the unit is all that the header of the numbers says.
            amounts = (_stated(units[0], "value", parts[units[0]]),)
        if not amounts:
            return None
        if arc or {amount.role for amount in amounts} != {"value"}:
            return Layout(amounts, condition=0, heading=True, arc=arc, roles=own)
    return matrix


def _unnamed(table: Table, parts: list[HeaderParts], taken: set[int]) -> tuple[Amount, ...]:
    """The columns whose every cell is a quantity with a unit, beside parameters: one holds their values, whatever it
    is called (`Parameter | Threshold`); several hold them under a condition each (`Parameter | Idle | Takeoff`)."""
    found = []
    for column, each in enumerate(parts):
        if column in taken or not each.name or each.unit is not None or _ASIDE.search(each.name):
            continue
        cells = [read_cell(row.cells[column].plain) for row in table.rows[:_LOOKED_AT]]
        filled = [cell for cell in cells if not isinstance(cell, Blank)]
        if filled and all(isinstance(cell, Reading) and _united(cell) for cell in filled):
            found.append((column, each))
    if len(found) == 1:
        return (_stated(found[0][0], "value", found[0][1]),)
    return tuple(Amount(column, "value", None, "limit", condition=each.name) for column, each in found)


def _united(cell: Reading) -> bool:
    return all(span.unit is not None and span.unit.known for span in cell.spans)


def _parts(header: str) -> HeaderParts:
    """A header taken apart, also where one letter is the unit of a known name (`Max V`)."""
    parts = header_parts(header)
    if parts.unit is None and _LETTER.fullmatch(parts.name[-2:]):
        name = parts.name[:-2].strip()
        if _ROLES.get(name.casefold().rstrip(".")) in AMOUNTS:
            return replace(parts, name=name, unit=find_unit(parts.name[-1]))
    return parts


def _stated(column: int, role: str, parts: HeaderParts) -> Amount:
    condition = "" if _REMARK.match(parts.condition) else parts.condition
    return Amount(column, role, parts.unit, parts.name or role, condition=condition, time=parts.duration)


def _role_of(name: str) -> str:
    """The role of a header without its unit, or empty."""
    return next((_ROLES[said] for said in spellings(name.casefold().rstrip(" .:*")) if said in _ROLES), "")


def _by_name(parts: list[HeaderParts], by_role: dict[str, int]) -> None:
    """Roles of the columns whose name shows once the unit is taken off (`Max °C`, `Typ., V`)."""
    taken = set(by_role.values())
    for column, each in enumerate(parts):
        role = _role_of(each.name) if column not in taken else ""
        if role and role not in by_role and not (role == "parameter" and each.unit):
            by_role[role] = column


def _rank_thresholds(parts: list[HeaderParts], by_role: dict[str, int]) -> None:
    """Several thresholds of one rank (`Warning | Critical`): in order of gravity, each in a role of its own."""
    found: list[tuple[int, int]] = []
    taken = {column for role, column in by_role.items() if role not in ("caution", "warning")}
    for column, each in enumerate(parts):
        role = _role_of(each.name) if column not in taken else ""
        if role in ("caution", "warning"):
            found.append((0 if role == "caution" else 2 if _GRAVE.search(each.name) else 1, column))
    if len(found) > len({"caution", "warning"} & set(by_role)):
        by_role.update(
            zip(("caution", "warning", "shutdown"), [column for _, column in sorted(found)], strict=False)
        )


def _take_first(by_role: dict[str, int], parts: list[HeaderParts]) -> None:
    """The first column as the parameter, though its header says nothing of the kind, where the others say limit
    clearly, or where it is a plain word for things and the others' cells will have to read as quantities."""
    others = {role for role in AMOUNTS if role in by_role}
    ends = [parts[by_role[role]] for role in ("minimum", "maximum") if role in by_role]
    clear = len(others - {"value"}) > 1 or "unit" in by_role or any(end.unit is not None for end in ends)
    if others and 0 not in by_role.values() and (clear or _THINGS.fullmatch(parts[0].name)):
        by_role["parameter"] = 0


def _matrix(
    table: Table, parts: list[HeaderParts], own: Mapping[str, int], by_role: Mapping[str, int]
) -> Layout | None:
    label = next((role for role, column in by_role.items() if column == 0), "")
    if label not in ("", "parameter", "when") or _NO_CONDITION.fullmatch(parts[0].name):
        return None
    columns = [
        column
        for column in range(1, len(parts))
        if column not in by_role.values()
        and (parts[column].unit is not None or _QUANTITY.search(parts[column].name) or _paired(parts[column]))
    ]
    nameless = all(not parts[column].name for column in columns)
    if not columns or (nameless and label == "when"):
        return None
    amounts = tuple(_quantity(column, parts[column], nameless, bool(label)) for column in columns)
    if not _reads(table, amounts):
        return None
    return Layout(
        _told_apart(amounts, nameless),
        subject=0 if nameless else -1,
        condition=-1 if nameless else 0,
        matrix=True,
        roles={role: column for role, column in own.items() if column},
    )


def _paired(parts: HeaderParts) -> bool:
    """Whether a header names a side of something: `Supply air Min`."""
    side = bool(parts.sense) or _SIDE_WORD.search(parts.name) is not None
    return side and bool(_SIDE_WORD.sub(" ", parts.name).strip())


def _quantity(column: int, parts: HeaderParts, nameless: bool, limits: bool) -> Amount:
    side = _SIDE_WORD.search(parts.name)
    role = _SIDE[side[1].casefold()] if side else (parts.sense or "value")
    name = one_line(_SIDE_WORD.sub(" ", parts.name)).strip(" ,-–—:/") or parts.name
    stated = _stated(column, role, parts)
    return replace(
        stated,
        wording="value" if nameless or not limits else "limit",
        subject="" if nameless else name if _SYMBOL.fullmatch(name) else upper(name),
    )


def _told_apart(amounts: tuple[Amount, ...], nameless: bool) -> tuple[Amount, ...]:
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


def _reads(table: Table, amounts: tuple[Amount, ...]) -> bool:
    """Whether half of the filled cells or more are quantities, and each column has a unit in its header or in a
    cell; a table with nothing filled in is taken at its headers' word. Where one cell reads, or the header says
    `Limit`, cells that begin with a number and can't be read are quantities that went wrong."""
    filled = read = wrong = 0
    for amount in amounts:
        unit = amount.unit is not None or not amount.subject
        for row in table.rows[:_LOOKED_AT]:
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
    said = any(_LIMIT.search(amount.wording) for amount in amounts)
    return (read + (wrong if read or said else 0)) * 2 >= filled
