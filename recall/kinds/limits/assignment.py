"""Which role each column of a table of limits has: each column claims what its header and its cells say, the surest
claim to a role wins, and no column has two."""

from collections.abc import Iterator, Mapping, Sequence

from recall.base.dataclass import replace
from recall.kinds.limits.columns import AMOUNTS, SIDE, WAYS, Amount, Column, Layout, role_of
from recall.kinds.limits.headers import ACTS_AT, ALERTS, LIMIT, LOGGED, LONE, NAME, TAG, TRIGGER, WATCH


def assigned(columns: Sequence[Column], roles: Mapping[int, str]) -> Layout:
    """Columns by role, those of amounts as they are stated. roles: what whole headers matched."""
    own: dict[str, int] = {}
    for role, column in _claims(columns, roles):
        fits = role != "parameter" or (column.parts.unit is None and (not column.at or column.names))
        if role and fits and role not in own and column.at not in own.values():
            own[role] = column.at
    threshold = next((each for each in columns[1:] if each.rank >= 0), None)
    for column in columns[1:] if threshold else ():  # another in words of its own: `Caution | Close`
        named = column.parts.name and not (column.side or column.parts.unit or column.aside)
        if named and threshold and column.at not in own.values() and alike_in(column, threshold):
            column.side, column.rank = "warning", max(ALERTS.values())
    at = own.get("value", 0) if not own.keys() & {"minimum", "maximum"} else 0
    acts = at and (TRIGGER.fullmatch(columns[at].parts.name) or WATCH.fullmatch(columns[0].parts.name))
    if acts and _open_ended(columns[at]):
        acting = columns[own.pop("value")]  # `Alarm | Threshold`: above `> 5` it acts
        name = "Setpoint" if acting.parts.name.casefold().startswith("set") else "Threshold"
        acting.parts, acting.side, acting.rank = replace(acting.parts, name=name), "warning", 1
    others = {role: at for role, at in own.items() if role not in AMOUNTS}
    known = Layout(tuple(_sided(columns, own)), roles=others)
    return known if "parameter" in own or own.get("when") == 0 else _with_names(columns, known)


def _claims(columns: Sequence[Column], roles: Mapping[int, str]) -> Iterator[tuple[str, Column]]:
    """Roles that columns claim, the surest claims first."""
    first, *others = columns
    second = columns[1:2] or columns
    for each in columns:
        if each.sides:  # rows `Minimum`, `Maximum`
            yield "side", each
    weak = _weak(columns)
    for each in weak:
        each.name, each.side = each.parts.name, ""
    acts = [each for each in others if ACTS_AT.fullmatch(each.parts.name) and each.mostly]
    if len(acts) == 1 and not any(role_of(each.parts.name) in AMOUNTS or each.side for each in others):
        yield "value", acts[0]  # `Trip | At`
    for at, role in roles.items():
        words = not at and role in AMOUNTS and first.names  # `Alarm | Limit`: what the numbers are of
        if columns[at] not in weak and not words:
            yield role, columns[at]
    if first.said and all(map(TAG.fullmatch, first.said)) and NAME.fullmatch(second[0].parts.name):
        yield "parameter", second[0]  # `LT-01 | Pond level`
    if not first.parts.name and first.measured and any(cell[1:2].isalpha() for cell in second[0].said):
        yield "parameter", second[0]  # `KIAS | Speed`
        yield "value", first
    if roles.get(0) == "value" and not {"parameter", "when"} & {*roles.values()}:
        yield "parameter", first  # `Limit | Value`
    for each in columns:
        if each.at and each not in weak:
            yield role_of(each.parts.name), each
        if not each.name and (each.at or each.amounts):
            yield each.side, each
        if each.at and each.holds_units:
            yield "unit", each
    if weak:
        yield "parameter", first


def _weak(columns: Sequence[Column]) -> list[Column]:
    """Columns whose header is the word for a side and means none, beside one of like amounts under another name:
    `Low | High | Evacuate` are steps of an alarm, `Normal | Emergency` two conditions, `Raise | Lower` two orders."""
    lone = [each for each in columns[1:] if LONE.fullmatch(each.parts.name)]
    sided = [each for each in columns[1:] if each.side]
    weak = lone or [each for each in sided if not each.name and {one.side for one in sided} == {"normal"}]
    named = [each for each in columns[1:] if each.name and not each.side and not each.aside]
    return weak if any(alike_in(each, one) for each in named for one in weak if each is not one) else []


def _open_ended(column: Column) -> bool:
    """Whether it holds amounts with one open end (`> 5`), and none between two."""
    spans = [span for cell in column.amounts for span in cell.spans if not span.value]
    return bool(spans) and not any(span.low and span.high for span in spans)


def alike_in(column: Column, other: Column) -> bool:
    """Whether a column holds amounts, of the dimension that another has in each row."""
    pairs = [pair for pair in zip(column.dimensions, other.dimensions, strict=True) if all(pair)]
    return column.mostly and bool(pairs) and all(one == two for one, two in pairs)


def _sided(columns: Sequence[Column], own: Mapping[str, int]) -> Iterator[Amount]:
    """The columns of amounts by their sides: several thresholds take the roles in order of gravity, low and high ones
    under a condition each where there are more; a second column of a side is the absolute one."""
    taken = {at for role, at in own.items() if role not in ("caution", "warning")}
    alerts = [
        each for each in columns if each.rank >= 0 and each.at not in taken and (each.at or each.amounts)
    ]
    alerts.sort(key=lambda each: (each.rank, each.at))
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


def _with_names(columns: Sequence[Column], known: Layout) -> Layout:
    """With the first column as that of the parameters, though its header says nothing of the kind: surely where the
    others say limit clearly; else by what those cells are."""
    first, others = columns[0], [columns[amount.column] for amount in known.amounts]
    acts = any(ACTS_AT.fullmatch(each.parts.name) or each.parts.name == "Threshold" for each in others)
    logged = LOGGED.fullmatch(first.parts.name) is not None and not acts
    if not others or 0 in known.columns or not first.names or logged:
        return known
    sides = {amount.role for amount in known.amounts} - {"value"}
    units = "unit" in known.roles or any(column.parts.unit is not None for column in others)
    united = all(column.united for column in others if column.filled)
    said = any(LIMIT.search(column.parts.name) for column in others)
    sure = bool(len(sides) > 1 or "unit" in known.roles or (sides and (units or united)) or (said and united))
    guessed = not SIDE.search(first.parts.name) and all(each.mostly for each in others)
    named = replace(known, roles={**known.roles, "parameter": 0}, sure=sure)
    return named if sure or guessed else known
