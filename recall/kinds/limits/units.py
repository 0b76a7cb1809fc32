"""Units that stand around the numbers of a table: in the row's own cell or name, or in the line above."""

from recall.base import regex as re
from recall.base.text import one_line
from recall.notes.model import Row, Table
from recall.quantity import Unit, find_unit, header_parts, read_unit

NO_QUANTITY = frozenset(("count", "data", "data rate"))
"""Dimensions of amounts that lists and tables of anything hold (`README: 5 kB`, `Tests: 300 lines`)."""
_UNITED = re.compile(r"\d\s?[^\W\d_]|°")
_SAID = re.any_case(r" (bar)$|(?:power|output|consumption) (W)$|voltage (V)$|current (A)$|\b(rpm)\b")
"""Words and letters of other meaning that are a unit behind a quantity, and a quantity that is called by its unit."""
_LETTERS = re.compile(r"[^\W\d_]")
_UNIT_IN = re.any_case(
    r"(?:\b(?:in|\(in)\s+|^all\b[\w\s]{1,30}?\bare\s+|[(\[])"
    r"(?P<unit>[^\s()\[\],;:]{1,12}?(?: [CIT]AS)?)[)\]]?(?=[,;.:]|$|\s+(?:and|unless)\b)"
)


def row_unit(row: Row, unit_at: int = -1) -> Unit | None:
    """The unit that a row's own cell gives, or else the name of its parameter."""
    said = one_line(row.cells[unit_at].plain) if unit_at >= 0 else ""
    return read_unit(said) if said else in_name(one_line(row.cells[0].plain), row)[1]


def in_name(name: str, row: Row) -> tuple[str, Unit | None]:
    """A parameter's name without its unit, and that unit: `ITT (°C)`, `Flow temp °C`, `RPM`; `Pressure bar` where the
    numbers of its row have none."""
    parts = header_parts(name)
    if parts.condition or parts.duration:
        return name, None
    if parts.unit is None:
        said = _SAID.search(name)
        bare = said is not None and not any(_UNITED.search(cell.plain) for cell in row.cells[1:])
        return name, find_unit(said[said.lastindex or 0]) if said and bare else None
    if not parts.name and parts.unit.dimension != "rotation":
        return name, None  # `VA`, `A`
    letters = not any(map(name.count, "([,")) and name.rpartition(" ")[2].isalpha()
    amounts = [cell.plain for cell in row.cells[1:] if re.search(r"\d", cell.plain)]
    if letters and parts.name and amounts and all(map(_UNITED.search, amounts)):
        return name, None  # `Manoeuvring speed Va | 180 km/h`
    kept = name[-1].isdigit() or not _LETTERS.search(parts.name) or letters
    return name if kept else parts.name, parts.unit


def units_around(table: Table) -> list[Unit]:
    """The units that the line above the table gives for all of it (`Speeds in knots:`), or the heading in
    brackets."""
    if table.lead is not None:
        said = (find_unit(found["unit"]) for found in _UNIT_IN.finditer(one_line(table.lead.plain)))
        if units := [unit for unit in dict.fromkeys(said) if unit is not None]:
            return units
    topic = table.topic[-1] if table.topic else ""
    unit = header_parts(topic).unit if topic.rstrip().endswith((")", "]")) else None
    return [unit] if unit else []
