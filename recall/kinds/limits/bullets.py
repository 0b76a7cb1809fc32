"""Limits written as bullets: `Vne: 180 KIAS`, or bare numbers under a parent, heading or line that gives the unit.

A list is taken only where every bullet reads: it becomes a table, and is read as one.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from recall.base.text import one_line
from recall.kinds.limits.labels import with_notes
from recall.kinds.limits.layout import Amount, Layout
from recall.kinds.limits.rows import RowReader
from recall.kinds.model import Read, Scope
from recall.kinds.prose.lexicon import SIGNALS
from recall.kinds.prose.shortform import is_sentence
from recall.kinds.supplies.lead import source_named
from recall.notes.model import Item, List, Row, Table, Text
from recall.quantity import Reading, Unit, header_parts, read_cell
from recall.quantity.unit import COUNT, UNKNOWN

_MOST_WORDS = 8
"""Of a parameter's name."""
_BULLET = re.compile(r"(?P<name>[^:=]*?[^\s:=–—])\s*(?::\s+|=\s*|\s[-–—]\s+)(?P<amount>\S.*)")
_DOTS = re.compile(r"\.{2,}|…")
_SIDES = {
    "minimum": "minimum", "min": "minimum", "lower limit": "minimum", "maximum": "maximum", "max": "maximum",
    "upper limit": "maximum", "normal": "normal", "typical": "normal", "nominal": "normal",
}  # fmt: skip
_UNSURE = frozenset((UNKNOWN, COUNT, "data", "data rate"))
"""Dimensions of amounts that a list of anything holds (`README: 5 kB`, `Tests: 300 lines`)."""
_COLUMNS = ("minimum", "maximum", "normal", "value")


@dataclass(frozen=True, slots=True)
class _Bullet:
    """A bullet that gives an amount. under: the bullet above it, without its unit; side: a column of the table."""

    name: Text
    amount: Text
    side: str
    unit: Unit | None
    under: str


def read_limit_list(block: List, scope: Scope) -> Read | None:
    """Points of a list of limits, or None where one bullet is anything else."""
    if block.ordered or source_named(block.lead, scope) is not None:
        return None
    around = _unit_of(one_line(block.lead.plain) if block.lead else "") or _unit_of(scope.heading)
    bullets = list(_bullets(block, around, "", scope))
    if len(bullets) < 2 or None in bullets:
        return None
    points, findings = [], []
    for under, rows in _by_parent([bullet for bullet in bullets if bullet]):
        below = replace(scope, topic=(*scope.topic, under)) if under else scope
        amounts = (Amount(at, role, rows[0].unit, role) for at, role in enumerate(_COLUMNS, 1))
        layout = Layout(tuple(amounts), subject=0)
        read = RowReader(_table(rows, block), layout, below).read()
        points += read[0]
        findings += read[1]
    return points, findings


def _unit_of(words: str) -> Unit | None:
    return header_parts(words.rstrip(":. ")).unit if words else None


def _bullets(block: List, unit: Unit | None, under: str, scope: Scope) -> Iterator[_Bullet | None]:
    """Every bullet down the list, None for one that gives no amount and stands over none."""
    for item in block.items:
        own = _bullet(item, unit, under, scope)
        lists = [below for below in item.below if isinstance(below, List)]
        if own is not None and not item.below:
            yield own
        elif own is None and lists and len(lists) == len(item.below) and not under:
            parts = header_parts(one_line(item.text.plain).rstrip(":"))
            for below in lists:
                yield from _bullets(below, parts.unit or unit, parts.name, scope)
        else:
            yield None


def _bullet(item: Item, unit: Unit | None, under: str, scope: Scope) -> _Bullet | None:
    plain = one_line(item.text.plain)
    found = _BULLET.fullmatch(plain)
    if found is None or _DOTS.search(plain):
        return None
    name, amount = found["name"].strip(" *"), found["amount"].rstrip(".")
    side = _SIDES.get(name.casefold().rstrip("."), "") if under else ""
    if (
        not name[:1].isalpha()
        or len(name.split()) > _MOST_WORDS
        or is_sentence(name)
        or name.casefold() in SIGNALS
    ):
        return None
    parts = header_parts(name)
    if parts.unit is not None and parts.name:
        unit, name = parts.unit, name if parts.condition or parts.duration or parts.sense else parts.name
    read = read_cell(with_notes(amount, scope), header_unit=unit, comma_decimal=scope.comma, sense=side)
    if not isinstance(read, Reading):
        return None
    if any(span.unit is None or span.unit.dimension in _UNSURE for span in read.spans):
        return None
    said = Text(under if side else name, item.text.place)
    return _Bullet(said, Text(amount, item.text.place), side or "value", unit, "" if side else under)


def _by_parent(bullets: list[_Bullet]) -> Iterator[tuple[str, list[_Bullet]]]:
    """Runs of bullets under one parent and one unit."""
    run: list[_Bullet] = []
    for bullet in bullets:
        if run and (run[0].under, run[0].unit) != (bullet.under, bullet.unit):
            yield run[0].under, run
            run = []
        run.append(bullet)
    if run:
        yield run[0].under, run


def _table(bullets: list[_Bullet], block: List) -> Table:
    heads = tuple(Text(name, block.place) for name in ("Parameter", *map(str.capitalize, _COLUMNS)))
    rows = tuple(
        Row(
            (
                bullet.name,
                *(
                    bullet.amount if side == bullet.side else Text("", bullet.amount.place)
                    for side in _COLUMNS
                ),
            ),
            bullet.name.place,
        )
        for bullet in bullets
    )
    return Table(heads, rows, block.topic, block.place, block.lead)
