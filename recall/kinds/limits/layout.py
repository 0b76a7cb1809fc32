"""What each column of a table of limits is. The parameters of its amounts stand down the side, across the top, or in
the heading over marks, states or a grid of conditions; its rows may be the sides. One reader makes points of all."""

from collections.abc import Mapping, Sequence

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.text import key_form, one_line
from recall.kinds.english import lower, upper
from recall.kinds.limits import headers
from recall.kinds.limits.assignment import alike_in, assigned
from recall.kinds.limits.columns import AMOUNTS, Amount, Column, Layout, columns_of, role_of
from recall.kinds.limits.headers import ARC, LOGGED, NUMBERED, QUANTITY
from recall.kinds.limits.words import quantity_above
from recall.notes.model import Table, Text
from recall.quantity import Blank, Reading, Unit, Unreadable, Words, header_parts, read_cell
from recall.quantity.unit import thing_counted

_LIMITS = re.compile(
    r".*\blimit.*|conditions?|(?:flight )?phase|regime|rating|take-?off|climb|cruise|landing",
    re.IGNORECASE | re.DOTALL,
)
"""Words by which a table says that its amounts are limits, and names of columns of limits' conditions."""
_PERFORMS = re.any_case(r"\b(?:distance|run|roll|rate|range|endurance|consumption|time|gradient)\b")
"""Quantities that hang on two conditions."""


def layout_of(table: Table, roles: Mapping[int, str]) -> Layout | None:
    """The layout of a table, or None where it is no table of limits. roles: what its headers matched."""
    columns = columns_of(table, next((at for at, role in roles.items() if role == "unit"), -1))
    known = assigned(columns, roles)
    had = " / ".join((*table.topic[-1:], table.lead.plain if table.lead else ""))
    log = headers.LOG.search(had) is not None or any(
        headers.PRICE.search(each.parts.name) for each in columns
    )
    grid = _grid(columns, known, log)
    layout = (
        grid or _down(columns, known, log) or _across(columns, known, log) or _under_heading(columns, known)
    )
    if layout is None or (not grid and any(map(_is_amount, table.headers))):
        return None
    return replace(layout, around=columns[-1].around)


def _is_amount(header: Text) -> bool:
    """Whether a header is the first row of a table without a head: an amount (`120 KIAS`), and no condition."""
    head = read_cell(header.plain)
    unit = head.spans[0].unit if isinstance(head, Reading) else None
    return unit is not None and unit.dimension not in ("time", "angle", "unknown")


def beside(table: Table, subject: int, free: Sequence[int]) -> Layout | None:
    """The columns of a table of another kind that limit what its rows name: `Limit`, `Rating`, `Max`, `A`."""
    columns = columns_of(table)
    found = []
    for column in (columns[at] for at in free):
        unit_alone = column.parts.unit is not None and not column.parts.name
        rated = unit_alone or re.match(r"(?:rating|rated)\b", column.parts.name, re.IGNORECASE)
        role = "value" if rated else role_of(column.parts.name) or column.side
        if role in AMOUNTS and column.united and not (column.side and column.name):
            found.append(column.stated(role))
    return Layout(tuple(found), subject) if found else None


def amounts_in(table: Table, shown: Sequence[int]) -> list[int]:
    """Those of some columns half of whose cells or more are amounts, but for numbers of rows and dates."""
    columns = columns_of(table) if shown else []
    found = (columns[at] for at in shown)
    found = (each for each in found if 0 < each.filled <= 2 * len(each.amounts))
    return [each.at for each in found if not LOGGED.fullmatch(each.parts.name)]


def _down(columns: list[Column], known: Layout, log: bool) -> Layout | None:
    """Parameters down the side."""
    own, amounts, first = dict(known.roles), list(known.amounts), columns[0]
    free = not log and not amounts and (0 not in known.columns or own.get("when") == 0) and not first.amounts
    free = free and "parameter" not in own and not LOGGED.fullmatch(first.parts.name)
    if free and ("unit" in own or _rows_are_quantities(columns)):
        own = {role: at for role, at in own.items() if at} | {"parameter": 0}
        known = replace(known, sure=False)
    if own.get("parameter", 2) < 2 and not amounts:
        amounts = _unnamed(columns, {0, *own.values()})
    if "parameter" not in own or not amounts:
        return None
    when = columns[own["when"]] if own.get("when", 0) > 0 else None
    setting = when is not None and when.name.casefold() == "setting"
    if when and setting and any(alike_in(when, columns[amount.column]) for amount in amounts):
        del own["when"]  # the value that is set, beside the range in which it may be
    labels = [own["parameter"], *([own["when"]] if "when" in own else [])]
    names = [tuple(key_form(row.cells[at].plain) for at in labels) for row in first.table.rows]
    layout = Layout(tuple(amounts), own["parameter"], own.get("when", -1), roles=own, sure=known.sure)
    layout = replace(layout, side=own.get("side", -1))
    if len(set(names)) < len(names):  # quantities that are a condition of the row, as rows of one name show
        spare = tuple(each.at for each in columns if each.at not in layout.columns and each.united)
        layout = replace(layout, under=spare)
    strong = {amount.role for amount in amounts} - {"value"} or "unit" in own
    if not (strong or _reads(columns, amounts)):
        return None
    taken, also = layout.columns, []
    for each in columns:
        known_too = each.at in taken or not each.name or each.aside or each.rank >= 0
        if not known_too and (each.measured or each is when):
            also.append(each.stated(each.side or "value", subject=lower(each.name), wording="value"))
    return replace(layout, amounts=(*layout.amounts, *also))


def _rows_are_quantities(columns: list[Column]) -> bool:
    """Whether each row is of one quantity, as its cells show: one column without a header holds the amounts, or
    several hold amounts of one dimension a row, of another in the next."""
    if len(columns) == 2:
        return not columns[1].parts.name and columns[1].mostly
    held = [each for each in columns[1:] if each.mostly and not each.parts.unit and not each.aside]
    rows_of = [set(row) - {""} for row in zip(*(each.dimensions for each in held), strict=True)]
    if len(held) < 2 or any(len(row) > 1 for row in rows_of):
        return False
    return len(set.union(*rows_of)) > 1


def _unnamed(columns: list[Column], taken: set[int]) -> list[Amount]:
    """The columns whose every cell is a quantity, beside parameters: one holds their values, whatever it is called
    (`Parameter | Threshold`); several hold them under a condition each (`Parameter | Idle | Takeoff`)."""
    free = [column for column in columns if column.at not in taken and column.parts.unit is None]
    found = [column for column in free if column.mostly and not column.aside]
    if len(found) == 1:
        return [found[0].stated("value")]
    wording = "limit" if _says_limit(columns) else "value"
    return [
        each.stated("value", wording=wording, condition=each.parts.name) for each in found if each.parts.name
    ]


def _across(columns: list[Column], known: Layout, log: bool) -> Layout | None:
    """A matrix: rows are conditions, or sides, columns quantities, each cell a limit."""
    first, own = columns[0], known.roles
    label = next((role for role, at in own.items() if at == 0), "")
    stated_first = any(not amount.column for amount in known.amounts)
    labelled = label in ("", "parameter", "when", "side") and not LOGGED.fullmatch(first.parts.name)
    if stated_first or not labelled:
        return None
    free = [column for column in columns[1:] if column.at not in known.columns]
    found = [
        each
        for each in free
        if each.parts.unit
        or (each.side and each.name)
        or (QUANTITY.search(each.parts.name) and (each.amounts or not each.said))  # `Breaker | Load`
    ]
    other = [each for each in free if each not in found and each.name and not each.aside]
    more = [column for column in other if column.united or _counts(column)]
    stated = bool(found)
    several = (
        not log and (first.units_of or not (first.bare or first.measured)) and len(found) + len(more) > 1
    )
    if several and (found or any(each.measured or each.parts.unit for each in more)):
        found = sorted([*found, *more], key=lambda column: column.at)
    if log and not any(column.side or column.parts.unit for column in found):
        return None
    # a bare number among amounts is told
    found = [each for each in found if each.parts.unit or any(each.units)] or found
    nameless = all(not column.parts.name for column in found)
    if nameless and label == "when":  # `State | Volts`: what is asked for is what the header says
        nameless = not all(headers.SPELT.fullmatch(first.table.headers[each.at].plain) for each in found)
    if not found or (nameless and label in ("when", "side")):
        return None
    sided = [each for each in found if each.side]
    names = [key_form(row.cells[0].plain) for row in first.table.rows]
    again = sided and len(set(names)) < len(names)  # of one hook `30–60°`, `over 60°`, each with its maximum
    beside = [each.at for each in found if again and not each.side and each.ranged]
    found = [each for each in found if each.at not in beside]
    wording = "limit" if label and _says_limit(columns) else "value"
    amounts = [_quantity(column, nameless, wording) for column in found]
    if not _reads(columns, amounts):
        return None
    behind = {role: at for role, at in own.items() if at}
    layout = Layout(_told_apart(amounts, nameless), matrix=True, sure=stated, roles=behind)
    if label == "side":
        return replace(layout, side=0)
    if nameless:
        return replace(layout, subject=0, condition=behind.get("when", -1))
    labels = [behind[role] for role in ("when", "parameter") if role in behind]
    under = tuple(at for at in [*labels, *beside] if not ARC.fullmatch(columns[at].parts.name))
    return replace(layout, condition=0, under=under)


def _says_limit(columns: list[Column]) -> bool:
    """Whether the heading, the line above or a header says that the amounts are limits."""
    table = columns[0].table
    said = (*table.topic, table.lead.plain if table.lead else "", *(header.plain for header in table.headers))
    return any(map(_LIMITS.fullmatch, said))


def _counts(column: Column) -> bool:
    """Whether a column holds bare numbers of the things that its header names (`Passes`); they get them as unit."""
    thing = thing_counted(column.name) if column.bare else None
    column.parts = replace(column.parts, unit=thing) if thing else column.parts
    return thing is not None


def _quantity(column: Column, nameless: bool, wording: str) -> Amount:
    name = column.name or column.parts.name or one_line(column.table.headers[column.at].plain)
    name = "" if nameless else name if headers.SYMBOL.fullmatch(name) else upper(name)
    wording = "value" if nameless or not column.parts.name else wording
    return column.stated(column.side or "value", wording=wording, subject=name)


def _told_apart(amounts: Sequence[Amount], nameless: bool) -> tuple[Amount, ...]:
    """Columns of one name in units of several dimensions get the dimension added: oil pressure, oil temperature."""

    def apart(unit: Unit) -> str:
        return f"({unit.name})" if nameless or not unit.known else unit.dimension

    sorts: dict[str, set[str]] = {}
    for each in amounts:
        if each.unit:
            sorts.setdefault(key_form(each.subject), set()).add(apart(each.unit))
    return tuple(
        replace(each, apart=apart(each.unit))
        if each.unit and len(sorts[key_form(each.subject)]) > 1
        else each
        for each in amounts
    )


def _reads(columns: list[Column], amounts: Sequence[Amount]) -> bool:
    """Whether half of the filled cells or more are quantities, and each column has a unit in its header or in a
    cell; a table with nothing filled in is taken at its headers' word. Cells that begin with a number and don't read
    are quantities that went wrong."""
    filled = read = wrong = 0
    for amount in amounts:
        column = columns[amount.column]
        cells = [cell for cell in column.cells if not isinstance(cell, Blank | Words)]
        filled += len(cells)
        read += len(column.amounts)
        if not amount.subject:
            wrong += sum(isinstance(cell, Unreadable) and bool(NUMBERED.match(cell.text)) for cell in cells)
    return (read + wrong) * 2 >= filled


def _under_heading(columns: list[Column], known: Layout) -> Layout | None:
    """The marks of one instrument, or the states of one thing, under its heading."""
    table, amounts = columns[0].table, known.amounts
    if known.roles.get("when") != 0 or not table.topic:
        return None
    arc = columns[0].parts.name if ARC.search(columns[0].parts.name) else ""
    units = [column for column in columns if column.parts.unit is not None and not column.parts.name]
    if not amounts and len(units) == 1 and arc:
        amounts = (units[0].stated("value"),)  # `Marking | KIAS`: the unit is all that the header says
    if not amounts or not (arc or {amount.role for amount in amounts} != {"value"}):
        return None
    lead = header_parts(one_line(table.lead.plain).rstrip(":. ")).name if table.lead else ""
    heading = lead if quantity_above((lead,)) else one_line(table.topic[-1])
    return Layout(tuple(amounts), condition=0, heading=heading, arc=arc, roles=known.roles)


def _grid(columns: list[Column], known: Layout, log: bool) -> Layout | None:
    """A quantity that the heading or the line above names, by two conditions or by sides and conditions: one down the
    side, the other across the top (`Weight | 0 °C | 15 °C`, `Mass \\ OAT | 0 °C`, `Weight | Flaps 0 | Flaps 15`)."""
    table, (first, *others) = columns[0].table, columns
    down, _, over = one_line(table.headers[0].plain).partition(" \\ ")
    said = table.lead.plain.rstrip(":. ") if table.lead else table.topic[-1] if table.topic else ""
    across, quantity = header_parts(over), header_parts(one_line(said)).name
    taken = known.amounts or known.columns - {0} or known.roles.get("parameter") == 0
    if log or taken or len(others) < 2 or not (_PERFORMS.search(quantity) or QUANTITY.search(quantity)):
        return None
    words = [
        (each.parts.unit and each.parts.name) or one_line(table.headers[each.at].plain) for each in others
    ]
    read = [read_cell(head, header_unit=across.unit) for head in words]
    spans = [head.spans[0] for head in read if isinstance(head, Reading) and head.shape == "single"]
    over_it = {span.unit.dimension if span.unit else "" for span in spans}
    held = {each.dimension for each in others}
    amounts_across = 2 * len(spans) > len(words)
    if amounts_across:
        sure = len(over_it) == 1 and (across.name or "" not in over_it) and "time" not in over_it
        sure = sure and not (over_it & held and first.around is None)
    else:
        sure = all(words) and (known.roles.get("side") == 0 or first.dimension not in {"", *held})
    if not (sure and len(held) == 1 and all(each.united for each in others)):
        return None
    amounts = []
    for each, head, cell in zip(others, words, read, strict=True):
        unit = across.unit.name if across.unit and isinstance(cell, Reading) and head[-1:].isdigit() else ""
        label = across.name or "at" * (amounts_across and isinstance(cell, Reading))
        condition = " ".join(part for part in (label, head if label else lower(head), unit) if part)
        amounts.append(
            each.stated("value", wording="value", condition=condition, unit=each.around or each.parts.unit)
        )
    layout = Layout(tuple(amounts), heading=upper(quantity), down=down)
    return replace(layout, side=0) if known.roles.get("side") == 0 else replace(layout, condition=0)
