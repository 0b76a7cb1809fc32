"""What the columns of a table of limits are: parameters down the side, or a matrix of conditions and quantities."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from recall.base import regex as re
from recall.base.text import key_form
from recall.kinds.limits.columns import (
    AMOUNTS,
    SIDE,
    Amount,
    Column,
    Layout,
    columns_of,
    role_of,
    stated,
)
from recall.kinds.limits.headers import (
    ALERTS,
    ANYTHING,
    ARC,
    ASIDE,
    LIMIT,
    LOG,
    LOGGED,
    LONE,
    PRICE,
    THINGS,
)
from recall.kinds.limits.matrix import Sorted, matrix_of, reads
from recall.kinds.limits.units import row_unit
from recall.notes.model import Table
from recall.quantity import Reading, same_reference


def layout_of(table: Table, roles: Mapping[int, str]) -> Layout | None:
    """The layout of a table, or None where it is no table of limits. roles: what its headers matched."""
    columns = columns_of(table, next((at for at, role in roles.items() if role == "unit"), -1))
    had = " / ".join((*table.topic[-1:], table.lead.plain if table.lead else ""))
    log = LOG.search(had) is not None or any(PRICE.search(column.parts.name) for column in columns)
    known = _sorted(columns, roles)
    sides = [amount for amount in known.amounts if amount.role != "value"]
    pairs = [column for column in columns if column.side and column.name and column.at not in known.taken]
    in_pairs = len(pairs) > 1 and len(pairs) >= len(sides)
    layout = (
        (matrix_of(columns, known, log=log) if in_pairs else None)
        or _by_parameter(columns, known, log=log)
        or matrix_of(columns, known, log=log)
        or _by_heading(columns, known)
    )
    return layout and replace(layout, around=columns[-1].around)


def beside(table: Table, subject: int, free: Sequence[int]) -> Layout | None:
    """The columns of a table of another kind that limit what its rows name: `Limit`, `Rating`, `Max`, `A`."""
    columns = columns_of(table)
    found = []
    for at in free:
        column = columns[at]
        unit_alone = column.parts.unit is not None and not column.parts.name
        rated = unit_alone or re.match(r"(?:rating|rated)\b", column.parts.name, re.IGNORECASE)
        role = "value" if rated else role_of(column.parts.name) or column.side
        if role in AMOUNTS and column.united and not (column.side and column.name):
            found.append(stated(column, role))
    return Layout(tuple(found), subject) if found else None


def amounts_in(table: Table, shown: Sequence[int]) -> list[int]:
    """Those of some columns that hold amounts: under the name of a limit, or each with a unit that is known."""
    if not shown:
        return []
    columns = columns_of(table)
    named = [at for at in shown if (role_of(columns[at].parts.name) or columns[at].side) in AMOUNTS]
    bare = [at for at in shown if columns[at].bare] if any(column.units for column in columns) else []
    return [at for at in shown if columns[at].measured or at in bare or (at in named and columns[at].amounts)]


def _sorted(columns: list[Column], roles: Mapping[int, str]) -> Sorted:
    """Columns by role: from what the headers matched, and from what shows once unit and side are taken off."""
    own = {role: at for at, role in roles.items()}
    if columns[own.get("parameter", 0)].parts.unit is not None:
        own.pop("parameter", None)  # `Airspeed, kt` is no column of names
    first = next((role for role in AMOUNTS if own.get(role) == 0), "")
    if first == "value" and not {"parameter", "when"} & own.keys():
        own["parameter"] = own.pop(
            "value"
        )  # `Limit | Value`: the limits are named, whatever their numbers stand under
    elif first and not columns[0].amounts and len(columns) > 1:
        del own[first]  # `Alarm | Limit`: words on the left name what the numbers are of
    for column in columns:
        if column.at in own.values():
            continue
        role = (role_of(column.parts.name) if column.at else "") or (column.side if not column.name else "")
        if not role and not column.parts.name and column.at and column.units:
            role = "unit"
        if role and role not in own and not (role == "parameter" and column.parts.unit):
            own[role] = column.at
    said = [role for role in AMOUNTS if role in own]
    if "parameter" not in own and len(said) == 1 and LONE.fullmatch(columns[own[said[0]]].parts.name):
        del own[said[0]]  # `Lower` beside no upper end is an order (`Raise | Lower`), and `Low` a gear
    names = [column.parts.name.casefold() for column in columns]
    if "parameter" in own and not own.keys() & set(AMOUNTS) and {"from", "to"} <= set(names):
        own |= {"minimum": names.index("from"), "maximum": names.index("to")}  # the ends of a range
    for column in columns[1:]:
        if column.at not in own.values() and _threshold_too(column, columns):
            column.side, column.rank = "warning", max(ALERTS.values())
    known = Sorted({role: at for role, at in own.items() if role not in AMOUNTS}, list(_stated(columns, own)))
    if "parameter" not in own and own.get("when") != 0:
        return _with_names(columns, known)
    return known


def _threshold_too(column: Column, columns: list[Column]) -> bool:
    """Whether a column beside one threshold is another in words of its own (`Caution | Close`): its amounts are of
    the same dimensions, row by row."""
    first = next((each for each in columns if each.rank >= 0 and each.at), None)
    if first is None or column.side or column.parts.unit or not column.parts.name or not column.mostly:
        return False
    pairs = zip(column.cells, first.cells, strict=True)
    return not ASIDE.search(column.parts.name) and all(
        same_reference(one.spans[0].unit, other.spans[0].unit)
        for one, other in pairs
        if isinstance(one, Reading)
        and isinstance(other, Reading)
        and one.spans[0].unit
        and other.spans[0].unit
    )


def _stated(columns: list[Column], own: Mapping[str, int]) -> Iterator[Amount]:
    """The columns of amounts by their roles: a second one of a side is the absolute one; several thresholds take the
    roles in order of gravity, low and high ones under a condition each where there are more."""
    taken = {at for role, at in own.items() if role not in ("caution", "warning")}
    alerts = [
        each for each in columns if each.rank >= 0 and each.at not in taken and (each.at or each.amounts)
    ]
    ways = {each.way for each in alerts} if len(alerts) > 3 else {""}
    for way in sorted(ways):
        of = sorted(
            (each for each in alerts if each.way == way or len(ways) == 1),
            key=lambda each: (each.rank, each.at),
        )
        of_roles = [each.side for each in of] if len({each.side for each in of}) == len(of) else AMOUNTS[4:]
        for column, role in zip(of, of_roles, strict=False):
            amount = stated(column, role)
            words = [
                word
                for word in amount.wording.split()
                if word.casefold() not in ("low", "high", "under", "over")
            ]
            yield replace(amount, condition=way, wording=" ".join(words)) if way else amount
    for role in AMOUNTS[:4]:
        if role not in own:
            continue
        first, *more = [
            columns[own[role]],
            *(
                each
                for each in columns
                if each.side == role and not each.name and each.at not in own.values()
            ),
        ]
        apart = [each.absolute for each in more] != [first.absolute] * len(more)
        for column in (first, *more) if apart else (first,):
            amount = stated(column, role)
            yield replace(amount, condition="absolute") if apart and column.absolute else amount


def _with_names(columns: list[Column], known: Sorted) -> Sorted:
    """With the first column as that of the parameters, though its header says nothing of the kind: surely where the
    others say limit clearly, or where it is a plain word for things and the others' cells will have to read as
    quantities; else by what those cells are."""
    first, others = columns[0], [columns[amount.column] for amount in known.amounts]
    sides = {amount.role for amount in known.amounts} - {"value"}
    if not others or 0 in known.taken or first.amounts or LOGGED.fullmatch(first.parts.name):
        return known
    units = "unit" in known.own or any(column.parts.unit is not None for column in others)
    united = all(column.united for column in others if column.filled)
    said = any(LIMIT.search(column.parts.name) for column in others)
    clear = len(sides) > 1 or "unit" in known.own or (sides and (units or united)) or (said and united)
    sure = bool(clear or THINGS.fullmatch(first.parts.name))
    guessed = not SIDE.search(first.parts.name) and all(each.mostly for each in others)
    return Sorted({**known.own, "parameter": 0}, known.amounts, sure) if sure or guessed else known


def _by_parameter(columns: list[Column], known: Sorted, *, log: bool) -> Layout | None:
    """Parameters down the side."""
    own, amounts, first = dict(known.own), list(known.amounts), columns[0]
    free = not log and not amounts and (0 not in known.taken or own.get("when") == 0) and not first.amounts
    if free and not LOGGED.fullmatch(first.parts.name) and _rows_are_quantities(columns):
        own = {role: at for role, at in own.items() if at} | {"parameter": 0}
        known = known._replace(sure=False)
    if own.get("parameter") == 0 and not (amounts or ANYTHING.fullmatch(first.parts.name)):
        amounts = _unnamed(columns, {0, *own.values()})
    if "parameter" not in own or not amounts:
        return None
    labels = [own["parameter"], *([own["when"]] if "when" in own else [])]
    names = [tuple(key_form(row.cells[at].plain) for at in labels) for row in first.table.rows]
    spare = [
        each for each in columns if each.at not in {*own.values(), *(amount.column for amount in amounts)}
    ]
    # Quantities that are a condition of the row, as rows of one name show (`Weight`).
    under = tuple(each.at for each in spare if each.united) if len(set(names)) < len(names) else ()
    layout = Layout(
        tuple(amounts), own["parameter"], own.get("when", -1), under=under, roles=own, sure=known.sure
    )
    strong = {amount.role for amount in amounts} - {"value"} or "unit" in own
    return layout if strong or reads(columns, amounts) else None


def _rows_are_quantities(columns: list[Column]) -> bool:
    """Whether each row is of one quantity, as its name or its cells show: all give their unit in the name, one column
    without a header holds the amounts, or several hold amounts of one dimension a row, of another in the next."""
    rows = [row for row in columns[0].table.rows if row.cells[0]]
    if len(rows) > 1 and all(map(row_unit, rows)):
        return True
    if len(columns) == 2:
        return not columns[1].parts.name and columns[1].mostly
    held = [
        each
        for each in columns[1:]
        if each.mostly and not each.parts.unit and not ASIDE.search(each.parts.name)
    ]
    dimensions = [
        {cell.spans[0].unit.dimension for cell in cells if isinstance(cell, Reading) and cell.spans[0].unit}
        for cells in zip(*(each.cells for each in held), strict=True)
    ]
    return len(held) > 1 and all(len(one) < 2 for one in dimensions) and len(set.union(*dimensions)) > 1


def _unnamed(columns: list[Column], taken: set[int]) -> list[Amount]:
    """The columns whose every cell is a quantity, beside parameters: one holds their values, whatever it is called
    (`Parameter | Threshold`); several hold them under a condition each (`Parameter | Idle | Takeoff`)."""
    found = [
        column
        for column in columns
        if column.at not in taken
        and column.parts.unit is None
        and not ASIDE.search(column.parts.name)
        and column.mostly
    ]
    if len(found) == 1:
        return [stated(found[0], "value")]
    return [
        Amount(column.at, "value", None, "limit", condition=column.parts.name, time=column.parts.duration)
        for column in found
        if column.parts.name
    ]


def _by_heading(columns: list[Column], known: Sorted) -> Layout | None:
    """The marks of one instrument, or the states of one thing, under its heading."""
    table, amounts = columns[0].table, known.amounts
    if known.own.get("when") != 0 or not table.topic:
        return None
    arc = columns[0].parts.name if ARC.search(columns[0].parts.name) else ""
    units = [column for column in columns if column.parts.unit is not None and not column.parts.name]
    if not amounts and len(units) == 1 and arc:
        amounts = [
            stated(units[0], "value")
        ]  # `Marking | KIAS`: the unit is all that the header of the numbers says
    if not amounts or not (arc or {amount.role for amount in amounts} != {"value"}):
        return None
    return Layout(tuple(amounts), condition=0, heading=True, arc=arc, roles=known.own)
