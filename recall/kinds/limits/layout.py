"""What the columns of a table of limits are: parameters down the side, or a matrix of conditions and quantities."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from recall.base import regex as re
from recall.base.text import key_form
from recall.kinds.english import lower
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
from recall.kinds.limits.headers import (
    ACTS_AT,
    ALERTS,
    ANYTHING,
    ARC,
    LIMIT,
    LOG,
    LOGGED,
    LONE,
    NAME,
    PRICE,
    TAG,
    THINGS,
)
from recall.kinds.limits.matrix import Sorted, matrix_of, reads, says_limit
from recall.kinds.limits.units import row_unit
from recall.notes.model import Table

_SYSTEM = re.compile(r"(?:metric|si|us|imperial|english|uk)(?: units?)?", re.IGNORECASE)
"""Headers of one amount in the units of several systems."""


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
    return [
        at
        for at in shown
        if 0 < columns[at].filled <= 2 * len(columns[at].amounts)
        and not LOGGED.fullmatch(columns[at].parts.name)
    ]


def _sorted(columns: list[Column], roles: Mapping[int, str]) -> Sorted:
    """Columns by role: from what the headers matched, and from what shows once unit and side are taken off."""
    graded = [
        each.at for each in columns if not each.side and LONE.fullmatch(each.parts.name)
    ]  # `Low | Very low`
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
        role = (role_of(column.parts.name) if column.at else "") or (
            column.side if not column.name and (column.at or column.amounts) else ""
        )
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
    names = [column.parts.name.casefold() for column in columns]
    if "parameter" in own and not own.keys() & set(AMOUNTS) and {"from", "to"} <= set(names):
        own |= {"minimum": names.index("from"), "maximum": names.index("to")}  # the ends of a range
    threshold = next((each for each in columns if each.rank >= 0 and each.at), None)
    for column in columns[1:]:
        if threshold and column.at not in own.values() and _threshold_too(column, threshold):
            column.side, column.rank = "warning", max(ALERTS.values())
    known = Sorted({role: at for role, at in own.items() if role not in AMOUNTS}, list(_stated(columns, own)))
    if "parameter" not in own and own.get("when") != 0:
        return _with_names(columns, known)
    return known


def _threshold_too(column: Column, threshold: Column) -> bool:
    """Whether a column beside a threshold is another in words of its own (`Caution | Close`): its amounts are of
    the same dimensions, row by row."""
    named = not column.side and not column.parts.unit and column.parts.name and not column.aside
    return bool(named) and _alike(column, threshold)


def _alike(column: Column, other: Column) -> bool:
    """Whether a column holds amounts, of the dimension that another has in each row."""
    pairs = [pair for pair in zip(column.dimensions, other.dimensions, strict=True) if all(pair)]
    return column.mostly and bool(pairs) and all(one == two for one, two in pairs)


def _stated(columns: list[Column], own: Mapping[str, int]) -> Iterator[Amount]:
    """The columns of amounts by their roles: several thresholds take the roles in order of gravity, low and high ones
    under a condition each where there are more; a second column of a side is the absolute one."""
    taken = {at for role, at in own.items() if role not in ("caution", "warning")}
    alerts = [
        each for each in columns if each.rank >= 0 and each.at not in taken and (each.at or each.amounts)
    ]
    alerts.sort(key=lambda each: (each.rank, each.at))
    for way in sorted({each.way for each in alerts}) if len(alerts) > 3 else ("",):
        of = [each for each in alerts if each.way == way or not way]
        own_roles = [each.side for each in of]
        for column, role in zip(
            of, own_roles if len(set(own_roles)) == len(of) else AMOUNTS[4:], strict=False
        ):
            amount = stated(column, role)
            words = (word for word in amount.wording.split() if word.casefold() not in WAYS)
            yield replace(amount, condition=way, wording=" ".join(words)) if way else amount
    for role in AMOUNTS[:4]:
        also = [
            each
            for each in columns
            if each.at not in own.values()
            and (
                (each.side == role and not each.name)
                or (each.parts.condition and role_of(each.parts.name) == role)
            )
        ]
        same = [columns[own[role]], *also] if role in own else []
        apart = len({each.absolute for each in same}) > 1
        apart = apart or len({each.parts.condition for each in same}) == len(same) > 1
        for column in same if apart else same[:1]:
            amount = stated(column, role)
            yield replace(amount, condition="absolute") if apart and column.absolute else amount


def _with_names(columns: list[Column], known: Sorted) -> Sorted:
    """With the first column as that of the parameters, though its header says nothing of the kind: surely where the
    others say limit clearly, or where it is a plain word for things and the others' cells will have to read as
    quantities; else by what those cells are."""
    first, others = columns[0], [columns[amount.column] for amount in known.amounts]
    sides = {amount.role for amount in known.amounts} - {"value"}
    acts = any(ACTS_AT.fullmatch(column.parts.name) for column in others)
    logged = LOGGED.fullmatch(first.parts.name) is not None and not acts
    if not others or 0 in known.taken or not first.names or logged:
        return known
    units = "unit" in known.own or any(column.parts.unit is not None for column in others)
    united = all(column.united for column in others if column.filled)
    said = any(LIMIT.search(column.parts.name) for column in others)
    clear = len(sides) > 1 or "unit" in known.own or (sides and (units or united)) or (said and united)
    sure = bool(clear or THINGS.fullmatch(first.parts.name))
    guessed = not SIDE.search(first.parts.name) and all(each.mostly for each in others)
    return Sorted({**known.own, "parameter": 0}, known.amounts, sure) if sure or guessed else known


def _by_parameter(columns: list[Column], known: Sorted, *, log: bool, alike: bool = False) -> Layout | None:
    """Parameters down the side. alike: all their amounts may be of one dimension."""
    own, amounts, first = dict(known.own), list(known.amounts), columns[0]
    free = not log and not amounts and (0 not in known.taken or own.get("when") == 0) and not first.amounts
    if free and not LOGGED.fullmatch(first.parts.name) and _rows_are_quantities(columns, alike=alike):
        own = {role: at for role, at in own.items() if at} | {"parameter": 0}
        known = known._replace(sure=False)
    named = _named(columns, {*known.taken, *own.values()}) if own.get("parameter") == 0 else 0
    own |= {"parameter": named} if named else {}
    if (named or own.get("parameter") == 0) and not (amounts or ANYTHING.fullmatch(first.parts.name)):
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
    taken = layout.columns
    more = [
        each for each in columns if each.at not in taken and each.name and not (each.aside or each.rank >= 0)
    ]
    more = [each for each in more if (each.measured and not _SYSTEM.fullmatch(each.name)) or each is when]
    also = (
        replace(stated(each, each.side or "value"), subject=lower(each.name), wording="value")
        for each in more
    )
    return replace(layout, amounts=(*layout.amounts, *also))


def _named(columns: list[Column], taken: set[int]) -> int:
    """The column of names behind one of their tags (`LT-01 | Pond level`), 0 where there is none."""
    rows = [row for row in columns[0].table.rows if row.cells[0] and len(columns) > 2]
    tags = bool(rows) and all(TAG.fullmatch(row.cells[0].plain.strip()) for row in rows)
    named = tags and 1 not in taken and NAME.fullmatch(columns[1].parts.name) is not None
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
    plain = alike and not any(each.quantity or LOGGED.fullmatch(each.parts.name) for each in columns[1:])
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
    return [
        Amount(
            column.at,
            "value",
            None,
            wording,
            condition=column.parts.name,
            time=column.parts.duration,
        )
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
        amounts = [stated(units[0], "value")]  # `Marking | KIAS`: the unit is all that the header says
    if not amounts or not (arc or {amount.role for amount in amounts} != {"value"}):
        return None
    return Layout(tuple(amounts), condition=0, heading=True, arc=arc, roles=known.own)
