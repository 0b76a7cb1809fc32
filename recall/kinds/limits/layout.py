"""What the columns of a table of limits are: parameters down the side, or a matrix of conditions and quantities."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from recall.base import regex as re
from recall.base.text import key_form, one_line
from recall.kinds.limits.columns import (
    AMOUNTS,
    LOOKED_AT,
    Amount,
    Column,
    Layout,
    columns_of,
    role_of,
    stated,
)
from recall.kinds.limits.matrix import ASIDE, LIMIT, NO_CONDITION, matrix_of, reads
from recall.notes.model import Table
from recall.quantity import Unit, header_parts

_GRAVE = re.compile(r"\b(?:critical|shut[ -]?down|trip|red|redline)\b", re.IGNORECASE)
_ARC = re.compile(r"\b(?:arc|band|marking|colou?r)s?\b", re.IGNORECASE)
_ANYTHING = re.compile(r"items?|attributes?|variables?|metrics?", re.IGNORECASE)
"""Headers under which anything may stand, limits or not."""
_THINGS = re.compile(
    r"(?:name|description|component|system|element|designation|speed|v-?speed|limitation)s?", re.IGNORECASE
)
_PRICE = re.compile(r"\b(?:prices?|costs?|in stock|quantity in stock|supplier)\b", re.IGNORECASE)
_LOG = re.compile(
    r"\b(?:logs?|measured|measurements?|trials?|history|records?|samples?|prices?|costs?|budget|inventory|stock|"
    r"benchmarks?|results?|statistics|rota|schedule|changes|changelog|stores|carried?|carry)\b",
    re.IGNORECASE,
)
"""Headings over amounts that were, or are had: no limits unless a header says so."""
_LONE = re.compile(r"lower|low|upper|high", re.IGNORECASE)
_LEAD_UNIT = re.compile(
    r"(?:.*\b(?:all|every|these|the)\b.* in|.*\(in|in)\s+(?P<unit>[^\s()]{1,12})\)?\s*[.:]?", re.IGNORECASE
)


def layout_of(table: Table, roles: Mapping[int, str]) -> Layout | None:
    """The layout of a table, or None where it is no table of limits. roles: what its headers matched."""
    columns = columns_of(table)
    by_role = _roles_of(columns, roles)
    own = {role: column for role, column in by_role.items() if role not in AMOUNTS}
    amounts = _stated_all(columns, by_role)
    priced = any(_PRICE.search(column.parts.name) for column in columns)
    log = (
        priced
        or _LOG.search(" / ".join((*table.topic[-1:], table.lead.plain if table.lead else ""))) is not None
    )
    pairs = [
        column for column in columns if column.role and column.name and column.at not in by_role.values()
    ]
    matrix = None
    if len(pairs) > 1 and len(pairs) >= len([each for each in amounts if each.role != "value"]):
        matrix = matrix_of(table, columns, own, by_role, log=log)
    if matrix is not None:
        return matrix
    labelled = _labelled(columns)
    if labelled and not amounts and not log and columns[0].at not in by_role.values():
        own["parameter"] = 0
    named = own.get("parameter") == 0 and not _ANYTHING.fullmatch(columns[0].parts.name)
    if not amounts and (named or labelled):
        amounts = _unnamed(columns, own, units=labelled or "unit" in own)
    if "parameter" in own and amounts:
        layout = Layout(amounts, own["parameter"], own.get("when", -1), roles=own)
        layout = replace(layout, under=_under(columns, layout))
        strong = {amount.role for amount in amounts} - {"value"} or "unit" in own
        return layout if strong or reads(table, amounts) else None
    matrix = matrix_of(table, columns, own, by_role, log=log)
    if matrix is None and own.get("when") == 0 and table.topic:
        arc = columns[0].parts.name if _ARC.search(columns[0].parts.name) else ""
        units = [column for column in columns if column.parts.unit is not None and not column.parts.name]
        if arc and not amounts and len(units) == 1:
            # `Marking | KIAS`: the unit is all that the header of the numbers says.
            amounts = (stated(units[0], "value"),)
        if not amounts:
            return None
        if arc or {amount.role for amount in amounts} != {"value"}:
            return Layout(amounts, condition=0, heading=True, arc=arc, roles=own)
    return matrix


def beside(table: Table, subject: int, free: Sequence[int]) -> Layout | None:
    """The columns of a table of another kind that limit what its rows name: `Limit`, `Rating`, `Max`."""
    columns = columns_of(table)
    found = []
    for at in free:
        rated = re.fullmatch(r"(?:rating|rated)\b.*", columns[at].parts.name, re.IGNORECASE)
        role = "value" if rated else role_of(columns[at].parts.name) or columns[at].role
        if role in AMOUNTS and columns[at].united and not (columns[at].role and columns[at].name):
            found.append(stated(columns[at], role))
    return Layout(tuple(found), subject) if found else None


def amounts_in(table: Table, shown: Sequence[int]) -> list[int]:
    """Those of some columns that hold amounts: under the name of a limit, or each with a unit that is known."""
    if not shown:
        return []
    columns = columns_of(table)
    named = [at for at in shown if (role_of(columns[at].parts.name) or columns[at].role) in AMOUNTS]
    bare = [at for at in shown if columns[at].bare] if any(column.units for column in columns) else []
    return [at for at in shown if columns[at].measured or at in bare or (at in named and columns[at].amounts)]


def _roles_of(columns: list[Column], roles: Mapping[int, str]) -> dict[str, int]:
    """Role → column, from what the headers matched and from what shows once unit and side are taken off."""
    by_role = {role: column for column, role in roles.items()}
    if columns[by_role.get("parameter", 0)].parts.unit is not None:
        # `Airspeed, kt` is no column of names.
        by_role.pop("parameter", None)
    if by_role.get("value") == 0 and "parameter" not in by_role and "when" not in by_role:
        # `Limit | Value`: the limits are named on the left, whatever their numbers stand under.
        by_role["parameter"] = by_role.pop("value")
    first = next((role for role in AMOUNTS if by_role.get(role) == 0), "")
    if first and not columns[0].amounts and len(columns) > 1:
        # `Alarm | Limit`: words on the left name what the numbers are of.
        del by_role[first]
    taken = set(by_role.values())
    for column in columns:
        role = role_of(column.parts.name) if column.at not in taken and column.at else ""
        role = role or (column.role if not column.name else "")
        if role and role not in by_role and not (role == "parameter" and column.parts.unit):
            by_role[role] = column.at
            taken.add(column.at)
        elif not column.parts.name and "unit" not in by_role and column.at and column.units:
            by_role["unit"] = column.at
    _drop_lone_side(by_role, columns)
    names = [column.parts.name.casefold() for column in columns]
    if "parameter" in by_role and not by_role.keys() & set(AMOUNTS) and {"from", "to"} <= set(names):
        # `Parameter | From | To`: the ends of a range.
        by_role |= {"minimum": names.index("from"), "maximum": names.index("to")}
    if "parameter" not in by_role and by_role.get("when") != 0:
        _take_first(by_role, columns)
    _rank_thresholds(columns, by_role)
    return by_role


def _drop_lone_side(by_role: dict[str, int], columns: list[Column]) -> None:
    """`Lower` beside no upper end is an order (`Raise | Lower`), and `Low` a gear: no side of a limit."""
    sides = [role for role in AMOUNTS if role in by_role]
    if (
        "parameter" not in by_role
        and len(sides) == 1
        and _LONE.fullmatch(columns[by_role[sides[0]]].parts.name)
    ):
        del by_role[sides[0]]


def _take_first(by_role: dict[str, int], columns: list[Column]) -> None:
    """The first column as the parameter, though its header says nothing of the kind, where the others say limit
    clearly, or where it is a plain word for things and the others' cells will have to read as quantities."""
    others = [columns[by_role[role]] for role in AMOUNTS if role in by_role]
    sides = {role for role in AMOUNTS if role in by_role and role != "value"}
    units = "unit" in by_role or any(column.parts.unit is not None for column in others)
    united = all(column.united for column in others if column.filled)
    said = any(LIMIT.search(column.parts.name) for column in others)
    clear = len(sides) > 1 or "unit" in by_role or (sides and (units or united)) or (said and united)
    logged = NO_CONDITION.fullmatch(columns[0].parts.name) is not None
    named = others and 0 not in by_role.values() and not columns[0].amounts and not logged
    if named and (clear or _THINGS.fullmatch(columns[0].parts.name)):
        by_role["parameter"] = 0


def _rank_thresholds(columns: list[Column], by_role: dict[str, int]) -> None:
    """Several thresholds of one rank (`Warning | Critical`): in order of gravity, each in a role of its own."""
    found: list[tuple[int, int]] = []
    taken = {column for role, column in by_role.items() if role not in ("caution", "warning")}
    for column in columns:
        role = role_of(column.parts.name) if column.at not in taken and (column.at or column.amounts) else ""
        if role in ("caution", "warning"):
            rank = 0 if role == "caution" else 2 if _GRAVE.search(column.parts.name) else 1
            found.append((rank, column.at))
    if len(found) > len({"caution", "warning"} & set(by_role)):
        by_role.update(
            zip(("caution", "warning", "shutdown"), [column for _, column in sorted(found)], strict=False)
        )


def _stated_all(columns: list[Column], by_role: Mapping[str, int]) -> tuple[Amount, ...]:
    """The columns of amounts by their roles; a second one of a side is the absolute one."""
    amounts = [stated(columns[by_role[role]], role) for role in AMOUNTS if role in by_role]
    for column in columns:
        if column.role and not column.name and column.at not in by_role.values() and column.role in by_role:
            first = columns[by_role[column.role]]
            apart = "absolute" if column.absolute and not first.absolute else ""
            if apart:
                amounts.append(replace(stated(column, column.role), condition=apart))
            elif first.absolute:
                amounts = [
                    replace(each, condition="absolute") if each.column == first.at else each
                    for each in amounts
                ]
                amounts.append(stated(column, column.role))
    return tuple(amounts)


def _labelled(columns: list[Column]) -> bool:
    """Whether each row's name gives the unit of its numbers: `ITT (°C)`."""
    names = [row.cells[0].plain for row in columns[0].table.rows[:LOOKED_AT] if row.cells[0]]
    return len(names) > 1 and all(header_parts(name).unit and header_parts(name).name for name in names)


def _unnamed(columns: list[Column], own: Mapping[str, int], *, units: bool) -> tuple[Amount, ...]:
    """The columns whose every cell is a quantity, beside parameters: one holds their values, whatever it is called
    (`Parameter | Threshold`); several hold them under a condition each (`Parameter | Idle | Takeoff`)."""
    found = [
        column
        for column in columns
        if column.at not in (0, *own.values())
        and column.parts.name
        and column.parts.unit is None
        and not ASIDE.search(column.parts.name)
        and (column.united or (units and column.numbers))
    ]
    if len(found) == 1:
        return (stated(found[0], "value"),)
    return tuple(
        Amount(column.at, "value", None, "limit", condition=column.parts.name, time=column.parts.duration)
        for column in found
    )


def _under(columns: list[Column], layout: Layout) -> tuple[int, ...]:
    """Columns of quantities that are a condition of the row, as rows of one name show (`Weight`)."""
    rows = columns[0].table.rows
    labels = [layout.subject] + ([layout.condition] if layout.condition >= 0 else [])
    named = [tuple(key_form(row.cells[at].plain) for at in labels) for row in rows]
    if len(set(named)) == len(named):
        return ()
    return tuple(column.at for column in columns if column.at not in layout.columns and column.united)


def unit_around(table: Table) -> Unit | None:
    """The unit that the line above the table gives for all of it (`All pressures in bar:`), or the heading in
    brackets."""
    if table.lead is not None and (found := _LEAD_UNIT.fullmatch(one_line(table.lead.plain))):
        return header_parts(f"x ({found['unit'].rstrip('.:')})").unit
    return (
        header_parts(table.topic[-1]).unit if table.topic and table.topic[-1].rstrip().endswith(")") else None
    )
