"""What a column's header says besides its name: unit, condition, duration."""

from functools import lru_cache

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.quantity.amount import ALONE, is_time, read_amounts
from recall.quantity.model import NotReadError, Span
from recall.quantity.scan import scan
from recall.quantity.unit import COUNT, Unit, find_unit, referenced
from recall.quantity.words import has_digit

_BRACKET = re.exact(r"[(\[]([^()\[\]]{1,80})[)\]]", holds="([")
_SIDES = frozenset(("min", "minimum", "max", "maximum"))
_WORD_UNITS = frozenset(("in", "min", "day", "days", "g", "gs", "bar", "bars", "t", "h", "true"))
_SPELT_TIMES = frozenset(("hours", "minutes", "seconds", "hour", "minute", "second"))
_IN = re.compile(r"(?:,|\ball\b|\bgiven\b|\s)*\bin$")
"""What leads to a unit: `Oil temp, all in °C`."""
_PARTS = re.exact(r"(.+) ?(?:[,:;|]| [-–—/](?= )) ?([^,:;|]+)", holds=(*",:;|", " - ", " – ", " — ", " / "))


@dataclass(frozen=True, slots=True)
class HeaderParts:
    """name: without unit and brackets ("" when the unit is all of it), with the side that a bracket names."""

    name: str
    unit: Unit | None
    condition: str = ""
    duration: Span | None = None


def header_parts(header: str) -> HeaderParts:
    """A header (or a row's condition) taken apart: `Wt (kg)`, `Oil psi`, `TGT, °C`, `KIAS`, `Takeoff (5 min)`.

    What isn't surely a unit stays in the name; other words in brackets are the condition. The name's own reference is
    taken into the unit: `N1, %` has the unit `% N1`.
    """
    rest = " ".join(header.split())
    return HeaderParts(rest, None) if len(rest) > 200 else _parts(rest)


@lru_cache(maxsize=4096)
def _parts(rest: str) -> HeaderParts:
    whole = _whole_unit(rest)
    if whole is not None:
        return HeaderParts("", whole)
    unit: Unit | None = None
    duration: Span | None = None
    sides: list[str] = []
    condition: list[str] = []
    for note in map(str.strip, _BRACKET.findall(rest)):
        found, words = find_unit(note), re.split(r"[\s,]+", note)
        said = [word for word in words if found is None and _is_side(word)]
        found = found or find_unit(" ".join(word for word in words if word not in said))
        span = _span(note)
        if (found is not None and unit is None) or len(said) == len(words) == 1:
            unit, sides = unit or found, sides + said
        elif span is not None and is_time(span.unit) and duration is None:
            duration = span
        else:
            condition.append(note)
    name = " ".join(_BRACKET.sub(" ", rest).split()).rstrip(",:;").strip()
    whole = _whole_unit(name) if condition and unit is None else None
    if whole is not None and whole.dimension != "rotation":  # `KIAS (light)`, but not `RPM (idle)`
        name, unit = "", whole
    elif unit is None:
        name, unit = _trailing(name)
    before, _, last = name.rpartition(" ")
    if unit is None and before and _is_side(last):  # `Oil psi max`
        before, unit = _trailing(before.rstrip(",:;- "))
        name = f"{before} {last}" if unit else name
    if unit is not None:
        unit = referenced(unit, name)
    return HeaderParts(" ".join((name, *sides)).strip(), unit, "; ".join(condition), duration)


def _is_side(word: str) -> bool:
    return word.casefold().rstrip(".") in _SIDES


def _whole_unit(text: str) -> Unit | None:
    """A header that is nothing but a unit; single letters and words of other meaning aren't."""
    unit = find_unit(text)
    bare = text.rstrip(".").casefold()
    if unit is None or bare in _SIDES or (len(bare) == 1 and bare.isalpha()) or bare in _WORD_UNITS:
        return None
    if unit.name.startswith("% ") and not text.startswith("%"):
        return None  # `Torque %` is a quantity with its unit
    return None if unit.dimension in ("time", "calendar time") else unit


def _span(note: str) -> Span | None:
    if not has_digit(note):
        return None
    try:
        spans = read_amounts(scan(note, False), ALONE)[1]
    except NotReadError:
        return None
    return spans[0] if len(spans) == 1 else None


def _trailing(name: str) -> tuple[str, Unit | None]:
    """Name and unit of `TGT, °C`, `Torque - %`, `Oil psi`, `Range/km`."""
    parted = _PARTS.fullmatch(name)
    unit = find_unit(parted.group(2)) if parted is not None else None
    if parted is not None and unit is not None:
        return parted.group(1).rstrip(), unit
    words = name.split(" ")
    for count in (4, 3, 2, 1):
        said = " ".join(words[-count:])
        numbered = len(words) > count and words[-count - 1].lstrip("+-−±<>≤≥")[:1].isdigit()  # `Stop at 6 m`
        rate = len(words) > count and words[-count - 1].casefold() == "per"  # of a price
        unit = find_unit(said) if len(words) > count and not numbered and not rate else None
        if unit is not None and _surely(said, unit):
            spelt = said.casefold() in _SPELT_TIMES
            return name if spelt else _IN.sub("", " ".join(words[:-count])).rstrip(",:;- "), unit
    before, _, behind = name.rpartition("/")
    unit = find_unit(behind.strip()) if before else None
    if unit is not None and unit.dimension != "time" and _surely(behind.strip(), unit):
        return before.rstrip(), unit
    return name, None


def _surely(said: str, unit: Unit) -> bool:
    """Whether words at the end of a header are its unit: `Bus A`, `Gear in`, `Time min` have none."""
    plain = said.rstrip(".")
    if plain.casefold() in _WORD_UNITS or unit.dimension in (COUNT, "calendar time", "mach"):
        return False
    return plain in "%°" if len(plain) == 1 else True
