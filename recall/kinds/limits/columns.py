"""The columns of a table as limits see them: what a header says of its side, its unit and its quantity, and what its
cells are."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any
from unicodedata import normalize

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.text import one_line
from recall.kinds.limits.headers import ALERTS, ASIDE, DAY, HEADERS, JUDGED
from recall.kinds.limits.units import NO_QUANTITY, row_unit, units_around
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

LOOKED_AT = 200
"""So many rows show what a column holds."""

_ROLES = {name: role for role, names in HEADERS.items() for name in names}
_SURE = {
    word: side
    for side, words in (
        ("minimum", "minimum min minimal minimale minimaal minimo minima mindestens mindestwert kleinste laagste "
                    "minst"),
        ("maximum", "maximum max maximal maximale maximaal maximo maxima massimo massima maks maksimum hochstens "
                    "hochstwert großte hoogste hogst"),
    )
    for word in words.split()
}  # fmt: skip
"""Words of a side that may also stand inside a header (`Oil max temperature`), of neighbouring languages too, without
their accents."""
_SIDES = _SURE | {
    "lowest": "minimum", "least": "minimum", "lower": "minimum", "low": "minimum", "highest": "maximum",
    "peak": "maximum", "mini": "minimum", "maxi": "maximum", "upper": "maximum", "high": "maximum",
    "nominal": "normal", "nom": "normal", "normal": "normal", "typical": "normal", "typ": "normal",
}  # fmt: skip
SIDE = re.any_case(rf"\b(?P<abs>abs(?:olute)?\.? )?(?P<side>{'|'.join(_SIDES)})\b\.?", holds=_SIDES)
_NO_NAME = re.any_case(
    r"\b(?:limits?|limitations?|readings?|values?|settings?|figures?|valore?|valeur|waarde|allowed|permitted|"
    r"allowable|permissible|operating|range|threshold|safe)\b"
)
"""Words beside a side that name no quantity."""
_ALERT = re.any_case(
    rf"(?:(?P<way>low|high|under|over) )?(?P<alert>{'|'.join(sorted(ALERTS, key=len, reverse=True))})"
    r"(?:[ -]?(?:thresholds?|limits?|levels?|points?|set ?points?|ranges?|arcs?|lines?|bands?|values?|radial|at))*"
    r"(?: (?P<end>low|high|under|over))?",
    holds=ALERTS,
)
WAYS = dict.fromkeys(("low", "under"), "low side") | dict.fromkeys(("high", "over"), "high side")
_REMARK = re.any_case(r"(?:see|note|typ|approx|optional|nominal|if|min\W*max)\b")
_NO_UNIT_BEHIND = re.any_case(
    r"\b(?:bus|pump|generator|battery|channel|phase|class|type|category|engine|group|zone|panel|part|unit|gear|point|"
    r"station|no|number)$"
)


@dataclass(eq=False)
class Column:
    """One column. parts: its header without unit and brackets; name: without its side too, the quantity it names;
    side: minimum, maximum or normal, or the threshold, as its header says, empty where it says none; absolute: the
    side is an absolute one; rank, way: how grave a threshold is, on which side; units_of: the unit of each row;
    around: the one above the table."""

    at: int
    table: Table
    parts: HeaderParts
    units_of: Sequence[Unit | None] = ()
    name: str = ""
    side: str = ""
    absolute: bool = False
    rank: int = -1
    way: str = ""
    around: Unit | None = None

    @cached_property
    def cells(self) -> list[Reading | Words | Blank | Unreadable]:
        """The first of its cells as amounts, in the unit of the row or the header where they have none."""
        units = self.units_of or [None] * LOOKED_AT
        return [
            read_cell(row.cells[self.at].plain, header_unit=unit or self.parts.unit)
            for row, unit in zip(self.table.rows[:LOOKED_AT], units, strict=False)
        ]

    @cached_property
    def amounts(self) -> list[Reading]:
        """Those of its cells that are amounts."""
        return [cell for cell in self.cells if isinstance(cell, Reading)]

    @cached_property
    def units(self) -> list[Unit | None]:
        """The units of all its numbers."""
        return [span.unit for cell in self.amounts for span in cell.spans]

    @cached_property
    def dimensions(self) -> list[str]:
        """The dimension of each cell's first number, empty where there is none."""
        units = (cell.spans[0].unit if isinstance(cell, Reading) else None for cell in self.cells)
        return [unit.dimension if unit else "" for unit in units]

    @property
    def dimension(self) -> str:
        """That of its header's unit, or else of the first of its numbers."""
        unit = self.parts.unit or next(iter(self.units), None)
        return unit.dimension if unit else ""

    @cached_property
    def filled(self) -> int:
        """How many of its cells say something."""
        return sum(not isinstance(cell, Blank) for cell in self.cells)

    @cached_property
    def kinds(self) -> frozenset[str]:
        """The dimensions of its numbers, empty where one has no unit, if each filled cell is an amount, or words on
        purpose beside amounts (`not permitted`); none where it holds other things too."""
        said = sum(isinstance(cell, Words) for cell in self.cells)
        if len(self.amounts) + said < self.filled or said > len(self.amounts):
            return frozenset()
        return frozenset(unit.dimension if unit else "" for unit in self.units)

    @property
    def names(self) -> bool:
        """Whether it names things, though one or other may read as an amount (`+5V`)."""
        return 2 * len(self.amounts) < self.filled or not self.amounts

    @property
    def mostly(self) -> bool:
        """Whether half of its filled cells or more are amounts with a unit that is known."""
        return 0 < self.filled <= 2 * sum(dimension not in ("", "unknown") for dimension in self.dimensions)

    @property
    def united(self) -> bool:
        """Whether each amount has a unit that is known, in its cell, its row or the header."""
        return bool(self.kinds) and not self.kinds & {"", "unknown"}

    @property
    def bare(self) -> bool:
        """Whether each amount is a number without a unit."""
        return self.kinds == {""}

    @property
    def measured(self) -> bool:
        """Whether it surely holds amounts of a quantity: no times, counts or sizes of files."""
        return self.united and not self.kinds & {"time", "calendar time", *NO_QUANTITY}

    @property
    def ranged(self) -> bool:
        """Whether each of its amounts is a range, or open at one end."""
        return not any(span.value for cell in self.amounts for span in cell.spans)

    @property
    def holds_units(self) -> bool:
        """Whether its cells are units, and no mere letters below a header of other meaning."""
        sure = not self.parts.name or any(len(cell) > 1 or not cell.isalpha() for cell in self.said)
        return bool(self.said) and sure and all(find_unit(cell) is not None for cell in self.said)

    @cached_property
    def said(self) -> list[str]:
        """What its filled cells say."""
        cells = (one_line(row.cells[self.at].plain) for row in self.table.rows[:LOOKED_AT])
        return [cell for cell in cells if cell.strip("-–— ")]

    @cached_property
    def sides(self) -> bool:
        """Whether its cells are sides, a minimum or a maximum among them."""
        named = any(cell[:3].casefold() in ("min", "max") for cell in self.said)
        return named and all(map(pure_side, self.said)) and not self.holds_units

    @property
    def aside(self) -> bool:
        """Whether its header says that it is no limit."""
        return (ASIDE.search(self.parts.name) or DAY.fullmatch(self.parts.name)) is not None

    def stated(self, role: str, **more: Any) -> "Amount":
        """It as a column of quantities in a role, as its header gives them. more: what it says otherwise."""
        parts = self.parts
        condition = "" if not parts.condition or _REMARK.match(parts.condition) else parts.condition
        said = {"wording": parts.name or role, "condition": condition, "time": parts.duration}
        return Amount(self.at, role, **{"unit": parts.unit, **said, **more})


def columns_of(table: Table, unit_at: int = -1) -> list[Column]:
    """The table's columns. unit_at: the column that gives the rows their units, where there is one."""
    columns = [_column(at, header.plain, table) for at, header in enumerate(table.headers)]
    unit_at = next((each.at for each in columns[1:] if each.holds_units), -1) if unit_at < 0 else unit_at
    units = [row_unit(row, unit_at) for row in table.rows[:LOOKED_AT]]
    around = units_around(table) if not any(column.parts.unit for column in columns) else []
    if len(around) == 2 and columns[0].bare:
        columns[0].units_of, around = [around[0]] * len(units), around[1:]  # `Diameters in mm, speeds in rpm`
    for column in columns[1:]:
        column.around = around[0] if len(around) == 1 else None
        column.units_of = [unit or column.around for unit in units]
        judged = JUDGED.get(column.parts.name.casefold())
        if judged and column.mostly:
            column.name, (column.side, column.rank) = "", judged
    return columns


def role_of(name: str) -> str:
    """The role of a header without its unit, or empty."""
    return next((_ROLES[said] for said in spellings(name.casefold().rstrip(" .:*")) if said in _ROLES), "")


def _column(at: int, header: str, table: Table) -> Column:
    column = Column(at, table, header_parts(header))
    parts = _with_unit(column)
    name, side, absolute = side_of(parts.name)
    if side and not name and parts.unit is not None:  # `Max rpm`, `Max N1 %`: the unit says of which quantity
        name = "rpm" if parts.unit.dimension == "rotation" else parts.unit.name.partition("% ")[2]
        parts = replace(parts, name=f"{parts.name} {name}".rstrip())
    whole = f"{parts.name} {parts.condition}".rstrip()
    if alert := _ALERT.fullmatch(parts.name) or _ALERT.fullmatch(whole):
        rank, way = ALERTS[alert["alert"].casefold()], (alert["way"] or alert["end"] or "").casefold()
        if alert.string == whole != parts.name:
            parts = replace(parts, name=whole, condition="")
        side = "warning" if rank else "caution"
        return Column(at, table, parts, side=side, rank=rank, way=WAYS.get(way, ""))
    return Column(at, table, parts, name=name, side=side, absolute=absolute)


def pure_side(words: str) -> str:
    """The side that words are, and nothing else: `Maximum`, `Min.`."""
    name, side, _ = side_of(one_line(words))
    return "" if name else side


def side_of(name: str) -> tuple[str, str, bool]:
    """A header without the word for its side, the side, and whether it is an absolute one; no side where the words
    beside it are of another thing (`High pressure`, `Low alarm`)."""
    plain = name if name.isascii() else "".join(map(_without_accent, name))
    if alone := _SIDES.get(plain.removesuffix(".").lower()):
        return "", alone, False
    found = list(SIDE.finditer(plain))
    if not found:
        return name, "", False
    at = next((one for one in found if one["side"].lower() in _SURE), found[0])
    side = at["side"].lower()
    rest = one_line(_NO_NAME.sub(" ", name[: at.start()] + " " + name[at.end() :])).strip(" ,-–—:/.")
    return (name, "", False) if rest and side not in _SURE else (rest, _SIDES[side], bool(at["abs"]))


def _without_accent(sign: str) -> str:
    return normalize("NFD", sign)[0]


def _with_unit(column: Column) -> HeaderParts:
    """A header whose last word is its unit, though it is a word or a letter of other meaning too: where the name
    before it is known (`Max V`), or every cell is a bare number (`SWL t`, `A`)."""
    parts = column.parts
    name, _, said = parts.name.rpartition(" ")
    lacking = parts.unit is None and said and not name.split(" ")[-1][:1].isdigit()
    unit = find_unit(said) if lacking else None
    if unit is None or _NO_UNIT_BEHIND.search(name) or name.casefold() in ("per", "each"):
        return parts
    plain = (name and (len(said) > 1 or said.islower())) or said in "VAWK%°"
    if plain and unit.dimension not in ("mach", "count", "unknown") and column.bare:
        return replace(parts, name=name.rstrip(",:;- "), unit=unit)
    return parts


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
    """The columns of a table of limits; -1 where there is none. subject: of parameters; condition: that names a row
    by its condition; side: that names it by its side; matrix: columns are parameters; heading: the parameter that the
    heading names; arc: the rows are marks of an instrument, under this header; down: what the first of two conditions
    is of; under: columns of quantities that are conditions of a row; sure: the headers say that it is one of limits;
    around: the unit of cells without any; roles: the other columns."""

    amounts: tuple[Amount, ...]
    subject: int = -1
    condition: int = -1
    side: int = -1
    matrix: bool = False
    heading: str = ""
    arc: str = ""
    down: str = ""
    under: tuple[int, ...] = ()
    sure: bool = True
    around: Unit | None = None
    roles: Mapping[str, int] = field(default_factory=dict)

    @property
    def label(self) -> int:
        """The column that names a row."""
        return next((at for at in (self.subject, self.condition, self.side) if at >= 0), -1)

    @property
    def columns(self) -> set[int]:
        """All columns that are understood."""
        labels = {self.subject, self.condition, self.side} - {-1}
        return {amount.column for amount in self.amounts} | set(self.roles.values()) | {*self.under} | labels
