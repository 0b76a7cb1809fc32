"""What the headers of a table of limits say of its columns: names, conditions, sides and thresholds, units."""

from collections.abc import Iterator, Mapping

from recall.base.dataclass import replace
from recall.kinds.limits import headers
from recall.kinds.limits.columns import AMOUNTS, SIDE, WAYS, Amount, Column, Layout, role_of
from recall.kinds.limits.headers import ACTS_AT, LIMIT, LOGGED, LONE, TRIGGER, WATCH


def sorted_by_header(columns: list[Column], roles: Mapping[int, str]) -> Layout:
    """Columns by role: from what the headers matched, and from what shows once unit and side are taken off."""
    # `Low | Very low`
    graded = [each.at for each in columns if not each.side and LONE.fullmatch(each.parts.name)]
    own = {role: at for at, role in roles.items() if at not in graded}
    first = next((role for role in AMOUNTS if own.get(role) == 0), "")
    if columns[own.get("parameter", 0)].parts.unit is not None:
        own.pop("parameter", None)  # `Airspeed, kt` is no column of names
    named = len(columns) > 1 and not columns[0].parts.name and columns[1].parts.name and columns[1].names
    named = named and any(
        len(word) > 1 and word.isalpha() for cell in columns[1].said for word in cell.split()
    )
    if named and columns[0].measured and not {0, 1} & ({*own.values()} - {own.get("parameter")}):
        own |= {"parameter": 1, "value": 0}  # `KIAS | Speed`
    if sides := next((each for each in columns if each.sides), None):  # rows `Minimum`, `Maximum`
        own = {role: at for role, at in own.items() if at != sides.at} | {"side": sides.at}
    if own.get("side") == 0:
        pass
    elif first == "value" and not {"parameter", "when"} & own.keys():
        own["parameter"] = own.pop("value")  # `Limit | Value`: whatever the limits are named under
    elif first and columns[0].names and len(columns) > 1:
        del own[first]  # `Alarm | Limit`: words on the left name what the numbers are of
    for column in columns:
        if column.at in own.values() or column.at in graded:
            continue
        sided = not column.name and (column.at or column.amounts)
        role = (role_of(column.parts.name) if column.at else "") or (column.side if sided else "")
        if not role and column.at and column.gives_units:
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
    if len(ends) == 2 and any(alike_in(each, ends[1]) and not each.aside for each in spare):
        for column in ends:  # `Low | High | Evacuate` are steps of one alarm
            column.name, column.side = column.parts.name, ""
        own = {role: at for role, at in own.items() if role not in ("minimum", "maximum")}
    alone = columns[own["normal"]] if said == ["normal"] and not graded else None
    if alone and any(alike_in(each, alone) and not each.aside for each in spare):
        alone.side = ""  # `Normal | Emergency` are two conditions
        own = {role: at for role, at in own.items() if role != "normal"} | {
            "parameter": own.get("parameter", 0)
        }
    names = [column.parts.name.casefold() for column in columns]
    if "parameter" in own and not own.keys() & set(AMOUNTS) and {"from", "to"} <= set(names):
        own |= {"minimum": names.index("from"), "maximum": names.index("to")}  # the ends of a range
    threshold = next((each for each in columns if each.rank >= 0 and each.at), None)
    for column in columns[1:] if threshold else ():  # another in words of its own: `Caution | Close`
        named = column.parts.name and not (column.side or column.parts.unit or column.aside)
        if named and threshold and column.at not in own.values() and alike_in(column, threshold):
            column.side, column.rank = "warning", max(headers.ALERTS.values())
    at = own.get("value", 0) if not own.keys() & {"minimum", "maximum"} else 0
    if (
        at
        and (TRIGGER.fullmatch(columns[at].parts.name) or WATCH.fullmatch(names[0]))
        and _open_ended(columns[at])
    ):
        acting = columns[at]  # `Alarm | Threshold`: above `> 5` it acts
        name = "Setpoint" if acting.parts.name.casefold().startswith("set") else "Threshold"
        acting.parts, acting.side, acting.rank = replace(acting.parts, name=name), "warning", 1
        del own["value"]
    others = {role: at for role, at in own.items() if role not in AMOUNTS}
    known = Layout(tuple(_sided(columns, own)), roles=others)
    return known if "parameter" in own or own.get("when") == 0 else _with_names(columns, known)


def _open_ended(column: Column) -> bool:
    """Whether it holds amounts with one open end (`> 5`), and none between two."""
    spans = [span for cell in column.amounts for span in cell.spans if not span.value]
    return bool(spans) and not any(span.low and span.high for span in spans)


def alike_in(column: Column, other: Column) -> bool:
    """Whether a column holds amounts, of the dimension that another has in each row."""
    pairs = [pair for pair in zip(column.dimensions, other.dimensions, strict=True) if all(pair)]
    return column.mostly and bool(pairs) and all(one == two for one, two in pairs)


def _sided(columns: list[Column], own: Mapping[str, int]) -> Iterator[Amount]:
    """The columns of amounts by their sides: several thresholds take the roles in order of gravity, low and high ones
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
            amount = column.stated(role)
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
            amount = column.stated(role)
            yield replace(amount, condition="absolute") if apart and column.absolute else amount


def _with_names(columns: list[Column], known: Layout) -> Layout:
    """With the first column as that of the parameters, though its header says nothing of the kind: surely where the
    others say limit clearly; else by what those cells are."""
    first, others = columns[0], [columns[amount.column] for amount in known.amounts]
    sides = {amount.role for amount in known.amounts} - {"value"}
    acts = any(ACTS_AT.fullmatch(each.parts.name) or each.parts.name == "Threshold" for each in others)
    logged = LOGGED.fullmatch(first.parts.name) is not None and not acts
    if not others or 0 in known.columns or not first.names or logged:
        return known
    units = "unit" in known.roles or any(column.parts.unit is not None for column in others)
    united = all(column.united for column in others if column.filled)
    said = any(LIMIT.search(column.parts.name) for column in others)
    clear = len(sides) > 1 or "unit" in known.roles or (sides and (units or united)) or (said and united)
    sure = bool(clear)
    guessed = not SIDE.search(first.parts.name) and all(each.mostly for each in others)
    named = replace(known, roles={**known.roles, "parameter": 0}, sure=sure)
    return named if sure or guessed else known
