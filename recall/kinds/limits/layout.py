"""What the columns of a table of limits are: parameters down the side, or a matrix of conditions and quantities."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from recall.base import regex as re
from recall.base.text import key_form
from recall.kinds.english import lower
from recall.kinds.limits import headers
from recall.kinds.limits.columns import (
    AMOUNTS,
    SIDE,
    WAYS,
    Amount,
    Column,
    Layout,
    columns_of,
    role_of,
    stated,
)
from recall.kinds.limits.headers import ACTS_AT, ARC, LOGGED, LONE
from recall.kinds.limits.matrix import matrix_of, reads, says_limit
from recall.kinds.limits.units import row_unit
from recall.notes.model import Table

_SYSTEM = re.compile(r"(?:metric|si|us|imperial|english|uk)(?: units?)?", re.IGNORECASE)
"""Headers of one amount in the units of several systems."""


def layout_of(table: Table, roles: Mapping[int, str]) -> Layout | None:
    """The layout of a table, or None where it is no table of limits. roles: what its headers matched."""
    columns = columns_of(table, next((at for at, role in roles.items() if role == "unit"), -1))
    had = " / ".join((*table.topic[-1:], table.lead.plain if table.lead else ""))
    log = headers.LOG.search(had) is not None or any(
        headers.PRICE.search(column.parts.name) for column in columns
    )
    known = _sorted(columns, roles)
    sides = [amount for amount in known.amounts if amount.role != "value"]
    pairs = [column for column in columns if column.side and column.name and column.at not in known.columns]
    in_pairs = len(pairs) > 1 and len(pairs) >= len(sides)
    layout = (
        (matrix_of(columns, known, log=log) if in_pairs else None)
        or _by_parameter(columns, known, log=log)
        or matrix_of(columns, known, log=log)
        or _by_heading(columns, known)
        or _by_parameter(columns, known, log=log, alike=True)
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
    """Those of some columns half of whose cells or more are amounts, but for numbers of rows and dates."""
    columns = columns_of(table) if shown else []
    found = (columns[at] for at in shown)
    found = (each for each in found if 0 < each.filled <= 2 * len(each.amounts))
    return [each.at for each in found if not LOGGED.fullmatch(each.parts.name)]


def _sorted(columns: list[Column], roles: Mapping[int, str]) -> Layout:
    """Columns by role: from what the headers matched, and from what shows once unit and side are taken off."""
    # `Low | Very low`
    graded = [each.at for each in columns if not each.side and LONE.fullmatch(each.parts.name)]
    own = {role: at for at, role in roles.items() if at not in graded}
    if columns[own.get("parameter", 0)].parts.unit is not None:
        own.pop("parameter", None)  # `Airspeed, kt` is no column of names
    first = next((role for role in AMOUNTS if own.get(role) == 0), "")
    if first == "value" and not {"parameter", "when"} & own.keys():
        own["parameter"] = own.pop("value")  # `Limit | Value`: whatever the limits are named under
    elif first and columns[0].names and len(columns) > 1:
        del own[first]  # `Alarm | Limit`: words on the left name what the numbers are of
    for column in columns:
        if column.at in own.values() or column.at in graded:
            continue
        sided = not column.name and (column.at or column.amounts)
        role = (role_of(column.parts.name) if column.at else "") or (column.side if sided else "")
        if not role and not column.parts.name and column.at and column.holds_units:
            role = "unit"
        if role and role not in own and not (role == "parameter" and column.parts.unit):
            own[role] = column.at
    said = [role for role in AMOUNTS if role in own]
    acts = [column for column in columns[1:] if ACTS_AT.fullmatch(column.parts.name) and column.mostly]
    if not said and len(acts) == 1:  # `Trip | At`
        own = {role: at for role, at in own.items() if at != acts[0].at} | {"value": acts[0].at}
        said = ["value"]
    if "parameter" not in own and len(said) == 1 and LONE.fullmatch(columns[own[said[0]]].parts.name):
        del own[said[0]]  # `Lower` beside no upper end is an order (`Raise | Lower`), and `Low` a gear
    ends = [columns[own[role]] for role in ("minimum", "maximum") if role in own]
    ends = [column for column in ends if LONE.fullmatch(column.parts.name)]
    spare = [each for each in columns[1:] if each.name and not each.side and each.at not in own.values()]
    if len(ends) == 2 and any(_alike(each, ends[1]) and not each.aside for each in spare):
        for column in ends:  # `Low | High | Evacuate` are steps of one alarm
            column.name, column.side = column.parts.name, ""
        own = {role: at for role, at in own.items() if role not in ("minimum", "maximum")}
    names = [column.parts.name.casefold() for column in columns]
    if "parameter" in own and not own.keys() & set(AMOUNTS) and {"from", "to"} <= set(names):
        own |= {"minimum": names.index("from"), "maximum": names.index("to")}  # the ends of a range
    threshold = next((each for each in columns if each.rank >= 0 and each.at), None)
    for column in columns[1:] if threshold else ():  # another in words of its own: `Caution | Close`
        named = column.parts.name and not (column.side or column.parts.unit or column.aside)
        if named and threshold and column.at not in own.values() and _alike(column, threshold):
            column.side, column.rank = "warning", max(headers.ALERTS.values())
    others = {role: at for role, at in own.items() if role not in AMOUNTS}
    known = Layout(tuple(_stated(columns, own)), roles=others)
    if "parameter" not in own and own.get("when") != 0:
        return _with_names(columns, known)
    return known


def _alike(column: Column, other: Column) -> bool:
    """Whether a column holds amounts, of the dimension that another has in each row."""
    pairs = [pair for pair in zip(column.dimensions, other.dimensions, strict=True) if all(pair)]
    return column.mostly and bool(pairs) and all(one == two for one, two in pairs)


def _stated(columns: list[Column], own: Mapping[str, int]) -> Iterator[Amount]:
    """The columns of amounts by their roles: several thresholds take the roles in order of gravity, low and high ones
    under a condition each where there are more; a second column of a side is the absolute one."""
    taken = {at for role, at in own.items() if role not in ("caution", "warning")}
    alerts = [each for each in columns if each.rank >= 0 and each.at not in taken]
    alerts = sorted(
        (each for each in alerts if each.at or each.amounts), key=lambda each: (each.rank, each.at)
    )
    for way in sorted({each.way for each in alerts}) if len(alerts) > 3 else ("",):
        of = [each for each in alerts if each.way == way or not way]
        sides = [each.side for each in of]
        roles = sides if len(set(sides)) == len(of) else AMOUNTS[4:]
        for column, role in zip(of, roles, strict=False):
            amount = stated(column, role)
            words = (word for word in amount.wording.split() if word.casefold() not in WAYS)
            yield replace(amount, condition=way, wording=" ".join(words)) if way else amount
    for role in AMOUNTS[:4]:
        same = [columns[own[role]]] if role in own else []
        for each in columns if same else ():
            again = each.parts.condition and role_of(each.parts.name) == role
            if each.at not in own.values() and (again or (each.side == role and not each.name)):
                same.append(each)
        apart = len({each.absolute for each in same}) > 1
        apart = apart or len({each.parts.condition for each in same}) == len(same) > 1
        for column in same if apart else same[:1]:
            amount = stated(column, role)
            yield replace(amount, condition="absolute") if apart and column.absolute else amount


def _with_names(columns: list[Column], known: Layout) -> Layout:
    """With the first column as that of the parameters, though its header says nothing of the kind: surely where the
    others say limit clearly, or where it is a plain word for things and the others' cells will have to read as
    quantities; else by what those cells are."""
    first, others = columns[0], [columns[amount.column] for amount in known.amounts]
    sides = {amount.role for amount in known.amounts} - {"value"}
    acts = any(ACTS_AT.fullmatch(column.parts.name) for column in others)
    logged = LOGGED.fullmatch(first.parts.name) is not None and not acts
    if not others or 0 in known.columns or not first.names or logged:
        return known
    units = "unit" in known.roles or any(column.parts.unit is not None for column in others)
    united = all(column.united for column in others if column.filled)
    said = any(headers.LIMIT.search(column.parts.name) for column in others)
    clear = len(sides) > 1 or "unit" in known.roles or (sides and (units or united)) or (said and united)
    sure = bool(clear or headers.THINGS.fullmatch(first.parts.name))
    guessed = not SIDE.search(first.parts.name) and all(each.mostly for each in others)
    named = replace(known, roles={**known.roles, "parameter": 0}, sure=sure)
    return named if sure or guessed else known


def _by_parameter(columns: list[Column], known: Layout, *, log: bool, alike: bool = False) -> Layout | None:
    """Parameters down the side. alike: all their amounts may be of one dimension."""
    own, amounts, first = dict(known.roles), list(known.amounts), columns[0]
    free = not log and not amounts and (0 not in known.columns or own.get("when") == 0) and not first.amounts
    if free and not LOGGED.fullmatch(first.parts.name) and _rows_are_quantities(columns, alike=alike):
        own = {role: at for role, at in own.items() if at} | {"parameter": 0}
        known = replace(known, sure=False)
    named = _named(columns, {*known.columns, *own.values()}) if own.get("parameter") == 0 else 0
    own |= {"parameter": named} if named else {}
    if (named or own.get("parameter") == 0) and not (amounts or headers.ANYTHING.fullmatch(first.parts.name)):
        amounts = _unnamed(columns, {0, *own.values()})
    if "parameter" not in own or not amounts:
        return None
    when = columns[own["when"]] if own.get("when", 0) > 0 else None
    if (
        when is not None
        and when.name.casefold() == "setting"
        and any(_alike(when, columns[amount.column]) for amount in amounts)
    ):
        del own["when"]  # the value that is set, beside the range in which it may be
    labels = [own["parameter"], *([own["when"]] if "when" in own else [])]
    names = [tuple(key_form(row.cells[at].plain) for at in labels) for row in first.table.rows]
    layout = Layout(tuple(amounts), own["parameter"], own.get("when", -1), roles=own, sure=known.sure)
    if len(set(names)) < len(names):  # quantities that are a condition of the row, as rows of one name show
        spare = tuple(each.at for each in columns if each.at not in layout.columns and each.united)
        layout = replace(layout, under=spare)
    strong = {amount.role for amount in amounts} - {"value"} or "unit" in own
    if not (strong or reads(columns, amounts)):
        return None
    taken, also = layout.columns, []
    for each in columns:
        known_too = each.at in taken or not each.name or each.aside or each.rank >= 0
        if not known_too and ((each.measured and not _SYSTEM.fullmatch(each.name)) or each is when):
            amount = stated(each, each.side or "value")
            also.append(replace(amount, subject=lower(each.name), wording="value"))
    return replace(layout, amounts=(*layout.amounts, *also))


def _named(columns: list[Column], taken: set[int]) -> int:
    """The column of names behind one of their tags (`LT-01 | Pond level`), 0 where there is none."""
    rows = [row for row in columns[0].table.rows if row.cells[0] and len(columns) > 2]
    tags = bool(rows) and all(headers.TAG.fullmatch(row.cells[0].plain.strip()) for row in rows)
    named = tags and 1 not in taken and headers.NAME.fullmatch(columns[1].parts.name) is not None
    words = {key_form(row.cells[1].plain) for row in rows} if named else set()
    return int(named and all(words) and len(words) == len(rows))


def _rows_are_quantities(columns: list[Column], *, alike: bool) -> bool:
    """Whether each row is of one quantity, as its name or its cells show: all give their unit in the name, one column
    without a header holds the amounts, or several hold amounts of one dimension a row, of another in the next; alike:
    or of one dimension throughout, below headers that name no quantities (`Raise | Lower`)."""
    rows = [row for row in columns[0].table.rows if row.cells[0]]
    if len(rows) > 1 and all(map(row_unit, rows)):
        return True
    if len(columns) == 2:
        return not columns[1].parts.name and columns[1].mostly
    held = [each for each in columns[1:] if each.mostly and not each.parts.unit and not each.aside]
    rows_of = [set(row) - {""} for row in zip(*(each.dimensions for each in held), strict=True)]
    if len(held) < 2 or any(len(row) > 1 for row in rows_of):
        return False
    plain = alike and not any(
        headers.QUANTITY.search(each.parts.name) or LOGGED.fullmatch(each.parts.name) for each in columns[1:]
    )
    sure = plain and len(held) == len(columns) - 1 and all(each.measured for each in held)
    return sure or len(set.union(*rows_of)) > 1


def _unnamed(columns: list[Column], taken: set[int]) -> list[Amount]:
    """The columns whose every cell is a quantity, beside parameters: one holds their values, whatever it is called
    (`Parameter | Threshold`); several hold them under a condition each (`Parameter | Idle | Takeoff`)."""
    free = [column for column in columns if column.at not in taken and column.parts.unit is None]
    found = [column for column in free if column.mostly and not column.aside]
    if len(found) == 1 or (found and all(_SYSTEM.fullmatch(column.parts.name) for column in found)):
        return [stated(found[0], "value")]
    wording = "limit" if says_limit(columns) else "value"
    named = [(stated(column, "value"), column.parts.name) for column in found if column.parts.name]
    return [replace(amount, wording=wording, condition=name) for amount, name in named]


def _by_heading(columns: list[Column], known: Layout) -> Layout | None:
    """The marks of one instrument, or the states of one thing, under its heading."""
    table, amounts = columns[0].table, known.amounts
    if known.roles.get("when") != 0 or not table.topic:
        return None
    arc = columns[0].parts.name if ARC.search(columns[0].parts.name) else ""
    units = [column for column in columns if column.parts.unit is not None and not column.parts.name]
    if not amounts and len(units) == 1 and arc:
        amounts = (stated(units[0], "value"),)  # `Marking | KIAS`: the unit is all that the header says
    if not amounts or not (arc or {amount.role for amount in amounts} != {"value"}):
        return None
    return Layout(tuple(amounts), condition=0, heading=True, arc=arc, roles=known.roles)
