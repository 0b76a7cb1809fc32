"""Limits written as bullets or sentences: `Vne: 180 KIAS`, `Ice must not be more than 9 mm`, or bare numbers under a
parent, heading or line that gives the unit. They become tables, and are read as such.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.limits.columns import side_of
from recall.kinds.limits.facts import with_notes
from recall.kinds.model import Scope
from recall.kinds.prose.doubts import MOST_SIGNS
from recall.kinds.prose.lexicon import SIGNALS
from recall.kinds.prose.shortform import is_sentence
from recall.kinds.supplies.lead import source_named
from recall.notes.model import List, Row, Table, Text
from recall.quantity import Reading, Unit, header_parts, read_cell
from recall.quantity.unit import COUNT, UNKNOWN, thing_counted

_MOST_WORDS = 8
"""Of a parameter's name."""
_BULLET = re.compile(r"(?P<name>[^:=]*?[^\s:=–—])\s*(?::\s+|=\s*|\s[-–—]\s+)(?P<amount>\S.*)")
_COMPARED = re.compile(
    r"(?P<name>[^:=]*?\S) (?P<amount>(?:at least|at most|no more than|no less than|not more than|not less than|up to|"
    r"max(?:imum)?\.?|min(?:imum)?\.?|below|above|[<>≤≥]) ?[+\-−]?\d.*)",
    re.IGNORECASE,
)
_DOTS = re.compile(r"(?<!\d)(?<!\d )(?:\.{2,}|…)|(?:\.{2,}|…)(?! ?[\d+−-])")
_AT = re.compile(r"(?P<name>.*\S)\s*(?:@\s*|\s(?=at \d))(?P<at>(?:at )?\d.*)", re.IGNORECASE)
_BARE = re.compile(r"[<>≤≥~±+−-]?\s?\d")
_TAIL = re.compile(
    r"\s+(?=(?:when|while|if|with|without|at|in|on|during|from|below|above|between|after|before|for|per|unless|except|cold|hot|wet|dry|loaded|empty)\b)",
    re.IGNORECASE,
)
_SECOND = re.compile(r"(?:[,;/]|\b(?:and|or))\s*\D{0,20}\d")
"""A second amount in a condition: whose it is can't be told."""
_SIDES = {
    "minimum": "minimum", "min": "minimum", "lower limit": "minimum", "maximum": "maximum", "max": "maximum",
    "upper limit": "maximum", "normal": "normal", "typical": "normal", "nominal": "normal",
}  # fmt: skip
_UNSURE = frozenset((UNKNOWN, COUNT, "data", "data rate"))
"""Dimensions of amounts that a list of anything holds (`README: 5 kB`, `Tests: 300 lines`)."""
_STORES = re.compile(
    r"\b(?:carry|carried|equipment|materials?|tools?|parts?|need|inventory|stores|stock|shopping|prices?|ingredients|log|"
    r"rota|schedule|versions?|releases?)\b",
    re.IGNORECASE,
)
"""Words of a heading over things that are had, not limits."""
_ROLES = ("minimum", "maximum", "normal", "value")
HEADS = ("Parameter", *map(str.capitalize, _ROLES), "Unit", "When")


@dataclass(frozen=True, slots=True)
class Bullet:
    """A line that gives an amount. place: the text it stands in; side: a column of the table; unit: where the amount
    has none; when: under which condition; under: the bullet above it, without its unit."""

    name: str
    amount: str
    place: Text
    side: str = "value"
    unit: str = ""
    when: str = ""
    under: str = ""


def tables_in(block: List, scope: Scope) -> list[tuple[str, Table]]:
    """The limits of a list as tables, each with the bullet that it stands under; none where fewer than a quarter of
    the bullets are limits."""
    if block.ordered or source_named(block.lead, scope) is not None or _STORES.search(scope.heading):
        return []
    around = _unit_of(one_line(block.lead.plain) if block.lead else "") or _unit_of(scope.heading)
    bullets = list(_bullets(block, around, "", scope))
    found = [bullet for bullet in bullets if bullet is not None]
    if len(found) < 2 or len(found) * 4 < len(bullets):
        return []
    groups: dict[str, list[Bullet]] = {}
    for bullet in found:
        groups.setdefault(bullet.under, []).append(bullet)
    return [(under, table_of(rows, block.topic)) for under, rows in groups.items()]


def table_of(bullets: list[Bullet], topic: tuple[str, ...]) -> Table:
    """The lines as a table of limits."""
    place = bullets[0].place.place

    def row(bullet: Bullet) -> Row:
        said = (
            bullet.name,
            *(bullet.amount if side == bullet.side else "" for side in _ROLES),
            bullet.unit,
            bullet.when,
        )
        return Row(tuple(Text(words, bullet.place.place) for words in said), bullet.place.place)

    return Table(tuple(Text(name, place) for name in HEADS), tuple(map(row, bullets)), topic, place)


def _unit_of(words: str) -> Unit | None:
    return header_parts(words.rstrip(":. ")).unit if words else None


def _bullets(block: List, unit: Unit | None, under: str, scope: Scope) -> Iterator[Bullet | None]:
    """Every bullet down the list, None for one that gives no amount and stands over none."""
    for item in block.items:
        lists = [below for below in item.below if isinstance(below, List)]
        own = None if lists else bullet_of(item.text, unit, under, scope)
        if own is not None and not item.below:
            yield own
        elif own is None and lists and len(lists) == len(item.below) and not under:
            parts = header_parts(one_line(item.text.plain).rstrip(":"))
            for below in lists:
                yield from _bullets(below, parts.unit or unit, parts.name, scope)
        else:
            yield None


def bullet_of(text: Text, unit: Unit | None, under: str, scope: Scope) -> Bullet | None:
    """What one line gives; None where it isn't surely an amount of a parameter."""
    if len(text.plain) > MOST_SIGNS:
        return None
    plain = one_line(text.plain)
    if (
        text.lead
        and text.lead.bold
        and _BARE.match(behind := plain.removeprefix(one_line(text.lead.text)).strip())
    ):
        plain = f"{one_line(text.lead.text)}: {behind}"  # `**Tyres** 2.4 bar`
    found = _BULLET.fullmatch(plain) or _COMPARED.fullmatch(plain)
    if found is None or _DOTS.search(plain):
        return None
    return amount_of(found["name"], found["amount"], text, scope, unit=unit, under=under)


def amount_of(
    name: str, said: str, text: Text, scope: Scope, *, unit: Unit | None = None, under: str = ""
) -> Bullet | None:
    """A parameter and what is said of it as a line; None where that isn't surely an amount, or the name no name."""
    name, said = name.strip(" *,"), said.rstrip(". *†‡§")
    side = _SIDES.get(name.casefold().rstrip("."), "") if under else ""
    if not name[:1].isalpha() or len(name.split()) > _MOST_WORDS or is_sentence(name):
        return None
    if name.casefold() in SIGNALS:
        return None
    when = ""
    if at := _AT.fullmatch(name):
        name, when = at["name"], at["at"] if at["at"].casefold().startswith("at ") else f"at {at['at']}"
    else:
        parts = header_parts(name)
        if parts.unit is not None and parts.name:
            unit, name = parts.unit, name if parts.condition or parts.duration or parts.sense else parts.name
    if unit is None and side_of(name)[1] and said.isdecimal():
        unit = thing_counted(name.split(" ")[-1])  # `Max persons: 6`
    for amount, tail in _cuts(said):
        read = read_cell(
            with_notes(amount, scope.footnotes), header_unit=unit, comma_decimal=scope.comma, sense=side
        )
        if not isinstance(read, Reading):
            continue
        if any(
            span.unit is None or (span.unit.dimension in _UNSURE and span.unit != unit) for span in read.spans
        ):
            return None
        whole = Bullet(name, amount, text, side or "value", unit.name if unit else "", when or tail, under)
        return replace(whole, name=under, under="") if side else whole
    return None


def _cuts(said: str) -> Iterator[tuple[str, str]]:
    """What may be an amount with the condition behind it: all of it, or parted before a word that begins one."""
    yield said, ""
    for found in _TAIL.finditer(said):
        if not _SECOND.search(said, found.end()):
            yield said[: found.start()], said[found.end() :]
