"""A matrix of limits: its rows are conditions, its columns quantities, each cell a limit."""

from collections.abc import Sequence
from dataclasses import replace

from recall.base import regex as re
from recall.base.text import key_form, one_line
from recall.kinds.english import upper
from recall.kinds.limits.columns import AMOUNTS, Amount, Column, Layout, role_of
from recall.kinds.limits.columns import stated as said_by
from recall.kinds.limits.headers import ARC, DAY, LIMIT, LOGGED, NUMBERED, QUANTITY, SPELT, SYMBOL
from recall.quantity import Blank, Unreadable, Words
from recall.quantity.unit import thing_counted

_LIMITS = re.compile(
    r".*\blimit.*|conditions?|(?:flight )?phase|regime|rating|take-?off|climb|cruise|landing",
    re.IGNORECASE | re.DOTALL,
)
"""Words by which a table says that its amounts are limits, and names of columns of limits' conditions."""


def matrix_of(columns: list[Column], known: Layout, *, log: bool) -> Layout | None:
    """Rows are conditions, columns quantities, each cell a limit."""
    first, own = columns[0], known.roles
    label = next((role for role, at in own.items() if at == 0), "")
    stated_first = any(not amount.column for amount in known.amounts)
    dated = any(DAY.fullmatch(row.cells[0].plain.strip()) for row in first.table.rows)
    if label not in ("", "parameter", "when") or stated_first or dated or LOGGED.fullmatch(first.parts.name):
        return None
    taken = known.columns
    free = [column for column in columns[1:] if column.at not in taken]
    found = [
        each
        for each in free
        if each.parts.unit or (each.side and each.name) or QUANTITY.search(each.parts.name)
    ]
    taken = {each.at for each in found}
    other = [each for each in free if each.at not in taken and each.name and not each.aside]
    more = [column for column in other if column.measured or _counts(column)]
    if found or more:
        taken = {each.at for each in more}
        more += [column for column in other if column.united and column.at not in taken]
    stated = bool(found)
    if not log and (not (first.bare or first.measured) or first.units_of) and len(found) + len(more) > 1:
        found = sorted([*found, *more], key=lambda column: column.at)
    if log and not any(column.side or column.parts.unit for column in found):
        return None
    nameless = all(not column.parts.name for column in found)
    if nameless and label == "when":  # `State | Volts`: what is asked for is what the header says
        nameless = not all(SPELT.fullmatch(first.table.headers[each.at].plain) for each in found)
    if not found or (nameless and label == "when"):
        return None
    limits = bool(label) and says_limit(columns)
    amounts = [_quantity(column, nameless, limits) for column in found]
    sides = [columns[each.column] for each in known.amounts if each.role in AMOUNTS[:3] and each.column]
    amounts += [each for column in sides if (each := _shared(column, columns, amounts))]
    amounts.sort(key=lambda amount: amount.column)
    if not reads(columns, amounts):
        return None
    behind = {role: at for role, at in own.items() if at}
    layout = Layout(_told_apart(amounts, nameless), matrix=True, sure=stated, roles=behind)
    if nameless:
        return replace(layout, subject=0, condition=behind.get("when", -1))
    labels = [behind[role] for role in ("when", "parameter") if role in behind]
    under = tuple(at for at in labels if not ARC.fullmatch(columns[at].parts.name))
    return replace(layout, condition=0, under=under)


def says_limit(columns: list[Column]) -> bool:
    """Whether the heading, the line above or a header says that the amounts are limits."""
    table = columns[0].table
    said = (*table.topic, table.lead.plain if table.lead else "", *(header.plain for header in table.headers))
    return any(map(_LIMITS.fullmatch, said))


def _counts(column: Column) -> bool:
    """Whether a column holds bare numbers of the things that its header names (`Passes`); they get them as unit."""
    thing = thing_counted(column.name) if column.bare else None
    column.parts = replace(column.parts, unit=thing) if thing else column.parts
    return thing is not None


def _shared(column: Column, columns: list[Column], amounts: Sequence[Amount]) -> Amount | None:
    """A column of a side without a quantity (`Nom`) beside those of one (`Min voltage`): its unit says of which."""

    def dimension(each: Column) -> str:
        unit = each.parts.unit or next(iter(each.units), None)
        return unit.dimension if unit else ""

    own = dimension(column)
    near = {each.subject for each in amounts if not own or dimension(columns[each.column]) == own}
    said = said_by(column, role_of(column.parts.name) or column.side)
    return replace(said, subject=near.pop(), wording="value") if len(near) == 1 else None


def _quantity(column: Column, nameless: bool, limits: bool) -> Amount:
    name = column.name or column.parts.name or one_line(column.table.headers[column.at].plain)
    return replace(
        said_by(column, column.side or "value"),
        wording="value" if nameless or not limits or not column.parts.name else "limit",
        subject="" if nameless else name if SYMBOL.fullmatch(name) else upper(name),
    )


def _told_apart(amounts: Sequence[Amount], nameless: bool) -> tuple[Amount, ...]:
    """Columns of one name in units of several dimensions get the dimension added: oil pressure, oil temperature."""

    sorts: dict[str, set[str]] = {}
    told: list[Amount] = []
    for amount in amounts:
        unit, said = amount.unit, sorts.setdefault(key_form(amount.subject), set())
        by_name = unit and (nameless or not unit.known)
        told.append(replace(amount, apart=(f"({unit.name})" if by_name else unit.dimension) if unit else ""))
        said.add(told[-1].apart)
    several = {name for name, said in sorts.items() if len(said - {""}) > 1}
    return tuple(
        said if key_form(said.subject) in several else amount
        for amount, said in zip(amounts, told, strict=True)
    )


def reads(columns: list[Column], amounts: Sequence[Amount]) -> bool:
    """Whether half of the filled cells or more are quantities, and each column has a unit in its header or in a
    cell; a table with nothing filled in is taken at its headers' word. Where one cell reads, or the header says
    `Limit`, cells that begin with a number and can't be read are quantities that went wrong."""
    filled = read = wrong = 0
    for amount in amounts:
        column = columns[amount.column]
        cells = [cell for cell in column.cells if not isinstance(cell, Blank | Words)]
        if amount.subject and column.parts.unit is None and not any(column.units):
            return False
        filled += len(cells)
        read += len(column.amounts)
        if not amount.subject:
            wrong += sum(isinstance(cell, Unreadable) and bool(NUMBERED.match(cell.text)) for cell in cells)
    said = any(LIMIT.search(amount.wording) for amount in amounts)
    return (read + (wrong if read or said else 0)) * 2 >= filled
