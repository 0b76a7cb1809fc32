"""Limits written as bullets or sentences: `Vne: 180 KIAS`, `Ice must not be more than 9 mm`, or bare numbers under a
parent, heading or line that gives the unit. They become tables, and are read as such.
"""

from collections.abc import Iterator

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.limits.columns import side_of
from recall.kinds.limits.facts import with_notes
from recall.kinds.limits.headers import NUMBERED, QUANTITY
from recall.kinds.limits.units import NO_QUANTITY
from recall.kinds.limits.words import is_held, says_quantity
from recall.kinds.model import Scope
from recall.kinds.prose.sentence import MOST_SIGNS
from recall.kinds.prose.shortform import is_sentence
from recall.kinds.steps.telling import LEADER, is_dotted, is_order, names_steps
from recall.notes.model import List, Row, Table, Text
from recall.quantity import Blank, Reading, Unit, Unreadable, find_unit, header_parts, read_cell
from recall.quantity.unit import UNKNOWN, thing_counted

_MOST_WORDS = 8
"""Of a parameter's name."""
_MOST_BESIDE = 5
_BULLET = re.compile(r"(?P<name>[^:=]*?[^\s:=–—<>≤≥])\s*(?::\s+|=\s*|\s[-–—]\s+)(?P<amount>\S.*)")
_COMPARED = re.any_case(
    r"(?P<name>[^:=]*?\S) (?:(?:always|ranges|lies|stays|runs) )?(?P<amount>(?:at least|at most|up to|"
    r"(?:not?|never) (?:more|less|above|below|over|under)(?: than)?|"
    r"max(?:imum)?\.?|min(?:imum)?\.?|below|above|between|[<>]=|[<>≤≥]) ?[+\-−]?\d.*)"
)
_OPEN = re.any_case(r"(?:above|below|between|less|more|over|under|[<>])(?!=)")
"""Compares without saying a limit: behind an order or a state it says when that holds (`No start above 5000 m`)."""
_AMOUNT_LAST = re.compile(r"\s\d\S*(?: [^\W\d]\S{0,3})?$")
_BESIDE = re.compile(r"(?P<name>[^\d:=,;]*?[^\W\d]\S*) (?P<amount>[+\-−~]?\d.*)")
_EXTREME = re.any_case(r"(?P<name>(?:max|min)(?:imum|\.)? [^\d:=,;()]+?) (?P<amount>[+\-−]?\d.*)")
_DOTS = re.compile(r"(?<!\d)(?<!\d )(?:\.{2,}|…)|(?:\.{2,}|…)(?! ?[\d+−-])")
"""Leaders, and no range."""
_AT = re.any_case(r"(?P<name>.*\S)\s*(?:@\s*|\s(?=at \d))(?P<at>(?:at )?\d.*)")
_WHILE = re.any_case(r"(?P<name>.*\S)\s(?P<when>(?:when|while|during|with|without)\s.+)")
_TAIL = re.any_case(
    r"\s+(?=(?:when|while|if|with|without|at(?! (?:most|least)\b)|in|on|during|from|below|above|between|after|before|"
    r"for|per|unless|except|cold|hot|wet|dry|loaded|empty|charging|running|idling|stopped)\b)"
)
_SECOND = re.compile(r"(?:[,;/]|\b(?:and|or))\s*\D{0,20}\d")
"""A second amount in a condition: whose it is can't be told."""
_DANGLES = re.any_case(
    r"(?:with|without|at|in|on|during|from|below|above|between|after|before|for|per|except)\W*"
)
"""A condition of which only its first word stands there."""
_RANGE = re.compile(r"\d ?[^\W\d]\S{0,3} [-–—] [+\-−\d]$")
"""A dash inside a range (`Insert 1.5 K – 300 K`), and not behind a name."""
_PARTED = re.compile(r"\s*[,;]\s+(?!±)(?:and |but )?")
_DIGITS = re.compile(r"\d[\d.,]*")
_BELOW_ZERO = re.compile(r"(?<!\d)[-−]\d")
"""A depth may be given from above: `between −12 and −18 m`."""
_UNSURE = NO_QUANTITY | {UNKNOWN}
_STORES = re.any_case(
    r"\b(?:carry|carried|equipment|materials?|tools?|parts?|need|inventory|stores|stock|shopping|prices?|ingredients|log|"
    r"rota|schedule|versions?|releases?)\b"
)
"""Words of a heading over things that are had, not limits."""
_LIMITS = re.any_case(r"\b(?:limits?|limitations?|maximum|minimum)\b")
_HEADS = ("Parameter", "Side", "Value", "Unit", "When")


def tables_in(block: List, scope: Scope) -> list[tuple[str, Table]]:
    """The limits of a list as tables, each with the bullet that it stands under; none where fewer than a quarter of
    the bullets are limits. Numbered or dotted ones may be steps: they are limits where all are, numbered ones below
    words that say so, dotted ones unless the place names a procedure."""
    above = one_line(block.lead.plain) if block.lead else ""
    dotted = sum(is_dotted(item.text.plain) for item in block.items) * 2 > len(block.items)
    if block.ordered and not any(map(_LIMITS.search, (above, scope.heading))):
        return []
    if dotted and names_steps(above or scope.heading):
        return []
    if _STORES.search(scope.heading):
        return []
    lead, title = (header_parts(words.rstrip(":. ")) for words in (above, scope.heading))
    unit = lead.unit or (title.unit if title.name else None)  # `Meters` are dials
    bullets = list(_bullets(block, unit, "", scope))
    found = [(under, row) for under, row in bullets if row is not None]
    read = sum(isinstance(read_cell(row.cells[2].plain), Reading) for _, row in found)
    alone = len(found) == 1 and says_quantity(found[0][1].cells[0].plain)
    if read < (1 if alone else 2) or read * (1 if block.ordered or dotted else 4) < len(bullets):
        return []
    by: dict[str, list[Row]] = {}
    for under, row in found:
        by.setdefault(under, []).append(row)
    return [(under, table_of(rows, block.topic)) for under, rows in by.items()]


def table_of(rows: list[Row], topic: tuple[str, ...]) -> Table:
    """Lines as a table of limits."""
    place = rows[0].place
    return Table(tuple(Text(name, place) for name in _HEADS), tuple(rows), topic, place)


def _bullets(block: List, unit: Unit | None, under: str, scope: Scope) -> Iterator[tuple[str, Row | None]]:
    """Every bullet down the list with the one above it, None for one that gives no amount and stands over none."""
    for item in block.items:
        lists = [below for below in item.below if isinstance(below, List)]
        own = [] if lists else bullet_of(item.text, unit, under, scope)
        if own and not item.below:
            yield from ((("" if row.cells[0].plain == under else under), row) for row in own)
        elif not own and lists and len(lists) == len(item.below) and not under:
            parts = header_parts(one_line(item.text.plain).rstrip(":"))
            for below in lists:
                yield from _bullets(below, parts.unit or unit, parts.name, scope)
        else:
            yield under, None


def bullet_of(text: Text, unit: Unit | None, under: str, scope: Scope) -> list[Row]:
    """What one line gives as rows; none where it isn't surely amounts of a parameter. under: the bullet above it,
    without its unit."""
    if len(text.plain) > MOST_SIGNS:
        return []
    plain, bold = one_line(text.plain), one_line(text.lead.text) if text.lead and text.lead.bold else ""
    if bold and NUMBERED.match(behind := plain.removeprefix(bold).strip()):
        plain = f"{bold}: {behind}"  # `**Tyres** 2.4 bar`
    if _DOTS.search(plain) and is_dotted(plain):
        plain = ": ".join(LEADER.split(plain))
    parted = _BULLET.fullmatch(plain)
    found = parted or _COMPARED.fullmatch(plain) or _EXTREME.fullmatch(plain) or _beside(plain)
    if found is None or _DOTS.search(plain) or _RANGE.search(plain[: found.start("amount") + 1]):
        return []
    name, said = found["name"], found["amount"]
    if not parted and _OPEN.match(said) and (_AMOUNT_LAST.search(name) or not says_quantity(name)):
        return []
    if whole := amount_of(name, said, text, scope, unit=unit, under=under):
        return [whole]
    rows = [
        amount_of(name, part, text, scope, unit=unit, under=under)
        for part in _PARTED.split(said)  # `2.5 bar min, 6 bar max`; `40 km/h on road, 15 km/h in the yard`
    ]
    read = [row for row in rows if row is not None]
    told = [(*_ends(row.cells[2].plain), row.cells[-1].plain) for row in read]
    alike = len({dimension for dimension, *_ in told} - {""}) < 2  # `1800 rpm, 10 min` is one thing
    return read if len(set(told)) == len(rows) > 1 and alike else []


def _beside(plain: str) -> re.Match[str] | None:
    """An amount right behind a name, where the name gives the unit (`Oil sump (L) 14`) or is that of a quantity."""
    found = _BESIDE.fullmatch(plain)
    name = found["name"] if found and not is_order(plain) else ""
    quantity = QUANTITY.search(name) is not None and len(name.split()) < _MOST_BESIDE
    return found if quantity or (name and header_parts(name).unit) else None


def _ends(said: str) -> tuple[str, bool, bool, str]:
    """The dimension of an amount, which ends of its parameter it gives, and under which state."""
    read = read_cell(said)
    span = read.spans[0] if isinstance(read, Reading) else None
    condition = read.condition if isinstance(read, Reading) else ""
    dimension = span.unit.dimension if span and span.unit else ""
    return dimension, bool(span and span.low), bool(span and span.high), condition


def amount_of(
    name: str,
    said: str,
    text: Text,
    scope: Scope,
    *,
    unit: Unit | None = None,
    under: str = "",
) -> Row | None:
    """A parameter and what is said of it as a row; None where that isn't surely an amount, or the name no name."""
    name, said = name.strip(" *,"), said.rstrip(". *†‡§")
    bare = found["name"] if (found := _WHILE.fullmatch(name)) else name
    named_so = name[:1].isalpha() and len(name.split()) <= _MOST_WORDS and not is_sentence(bare)
    if (
        not named_so
        or name.count("(") != name.count(")")
        or name.casefold().startswith(("avoid ", "never ", "don't ", "do not ", "not "))
        or name.casefold().endswith((" only", " not", " over", " under", " than", " beyond", " exceeding"))
        or (_OPEN.match(said) and is_held(name))
    ):
        return None
    rest, side, _ = side_of(name)
    when, role = "", side if under and not rest else "value"
    if at := _AT.fullmatch(name):
        name, when = at["name"], at["at"] if at["at"].casefold().startswith("at ") else f"at {at['at']}"
    elif at := _WHILE.fullmatch(name):
        name, when = at["name"], at["when"]
    else:
        parts = header_parts(name)
        if parts.unit is not None and parts.name:
            unit, name = parts.unit, name if parts.condition or parts.duration else parts.name
    if unit is None and side and said.isdecimal():
        unit = thing_counted(name.split(" ")[-1])  # `Max persons: 6`
    for amount, tail in _cuts(said):
        cell = with_notes(amount, scope.footnotes)
        read = read_cell(cell, header_unit=unit, comma_decimal=scope.comma)
        if not isinstance(read, Reading) and not (amount == said and _is_owed(read, name)):
            continue
        if len(_DIGITS.findall(getattr(read, "condition", ""))) > 2:
            return None  # `2 L at 200 bar gives 40 min at 10 L/min`
        for own in (span.unit for span in getattr(read, "spans", ())):
            if own is None or (own.dimension in _UNSURE and own != unit and own.reference != "person"):
                return None
        subject = name if role == "value" else under
        cells = (subject, "" if role == "value" else role, amount, unit.name if unit else "", when or tail)
        return Row(tuple(Text(words, text.place) for words in cells), text.place)
    return None


def _is_owed(read: object, name: str) -> bool:
    """Whether what stands behind the name of a quantity is to come, or is a range that falls."""
    if isinstance(read, Unreadable):
        falls = read.rule == "minimum-above-maximum" and not _BELOW_ZERO.search(read.text)
        unit = find_unit(read.text.split()[-1]) if falls else None
        return unit is not None and unit.dimension != "time"
    return isinstance(read, Blank) and bool(read.text.strip("-–— ")) and QUANTITY.search(name) is not None


def _cuts(said: str) -> Iterator[tuple[str, str]]:
    """What may be an amount with the condition behind it: all of it, or parted before a word that begins one."""
    yield said, ""
    for found in _TAIL.finditer(said):
        tail = said[found.end() :]
        if not (_SECOND.search(tail) or _DANGLES.fullmatch(tail) or len(_DIGITS.findall(tail)) > 2):
            yield said[: found.start()], tail
