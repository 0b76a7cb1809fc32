"""What a column's header says besides its name: unit, minimum or maximum, condition, duration."""

from functools import lru_cache

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.quantity.amount import ALONE, is_time, read_amounts
from recall.quantity.model import NotReadError, Span
from recall.quantity.scan import scan
from recall.quantity.unit import COUNT, Unit, find_unit, referenced
from recall.quantity.words import has_digit

_BRACKET = re.compile(r"[(\[]([^()\[\]]{1,80})[)\]]")
_SENSES = {
    "min": "minimum", "minimum": "minimum", "max": "maximum", "maximum": "maximum", "lower limit": "minimum",
    "upper limit": "maximum",
}  # fmt: skip
_WORD_UNITS = frozenset(("in", "min", "day", "days", "g", "gs", "bar", "bars", "t", "h", "true"))
_SPELT_TIMES = frozenset(("hours", "minutes", "seconds", "hour", "minute", "second"))
_PARTS = re.compile(r"(.+) ?(?:[,:;|]| [-–—/](?= )) ?([^,:;|]+)")


@dataclass(frozen=True, slots=True)
class HeaderParts:
    """name: without unit, brackets and sense ("" when the unit is all of it); sense: minimum, maximum or ""."""

    name: str
    unit: Unit | None
    sense: str
    condition: str
    duration: Span | None


def header_parts(header: str) -> HeaderParts:
    """A header (or a row's condition) taken apart: `Wt (kg)`, `Oil psi`, `TGT, °C`, `KIAS`, `Takeoff (5 min)`.

    What isn't surely a unit stays in the name; other words in brackets are the condition. The name's own reference is
    taken into the unit: `N1, %` has the unit `% N1`.
    """
    rest = " ".join(header.split())
    return HeaderParts(rest, None, "", "", None) if len(rest) > 200 else _parts(rest)


@lru_cache(maxsize=4096)
def _parts(rest: str) -> HeaderParts:
    unit: Unit | None = None
    sense, duration = "", None
    condition: list[str] = []
    whole = _whole_unit(rest)
    if whole is not None:
        return HeaderParts("", whole, "", "", None)
    for note in _BRACKET.findall(rest):
        found, said = _bracket(note.strip())
        span = _span(note.strip()) if found is None and not said else None
        if found is not None and unit is None:
            unit, sense = found, said or sense
        elif said and found is None:
            sense = said
        elif span is not None and is_time(span.unit) and duration is None:
            duration = span
        else:
            condition.append(note.strip())
    name = " ".join(_BRACKET.sub(" ", rest).split()).rstrip(",:;").strip()
    whole = _whole_unit(name) if condition and unit is None else None
    if whole is not None and whole.dimension != "rotation":  # `KIAS (light)`, but not `RPM (idle)`
        name, unit = "", whole
    elif unit is None:
        name, unit = _trailing(name)
    name, trailing = _sense(name)
    if unit is None and trailing:
        name, unit = _trailing(name)
    if unit is not None:
        unit = referenced(unit, name)
    return HeaderParts(
        name, unit, trailing or sense or _SENSES.get(name.casefold(), ""), "; ".join(condition), duration
    )


def _whole_unit(text: str) -> Unit | None:
    """A header that is nothing but a unit; single letters and words of other meaning aren't."""
    unit = find_unit(text)
    bare = text.rstrip(".").casefold()
    if unit is None or bare in _SENSES or (len(bare) == 1 and bare.isalpha()) or bare in _WORD_UNITS:
        return None
    if unit.name.startswith("% ") and not text.startswith("%"):
        return None  # `Torque %` is a quantity with its unit
    return None if unit.dimension in ("time", "calendar time") else unit


def _bracket(note: str) -> tuple[Unit | None, str]:
    """A unit, a sense, or both, when a bracket holds nothing else."""
    unit = find_unit(note)
    if unit is not None:
        return unit, ""
    sense, rest = "", []
    for word in re.split(r"[\s,]+", note):
        said = _SENSES.get(word.casefold().rstrip("."), "")
        if said and not sense:
            sense = said
        else:
            rest.append(word)
    if not rest:
        return None, sense
    unit = find_unit(" ".join(rest))
    return (unit, sense) if unit is not None else (None, "")


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
        unit = find_unit(said) if len(words) > count and not numbered else None
        if unit is not None and _surely(said, unit):
            spelt = said.casefold() in _SPELT_TIMES
            return name if spelt else " ".join(words[:-count]).rstrip(",:;- "), unit
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


def _sense(name: str) -> tuple[str, str]:
    """`Oil Min` into `Oil` and minimum; a header that is the sense alone keeps its name."""
    words = name.split(" ")
    sense = _SENSES.get(words[-1].casefold().rstrip("."), "")
    return (" ".join(words[:-1]).rstrip(",:;- "), sense) if sense and len(words) > 1 else (name, "")
