"""Units: what a spelling means, and exact conversion within one dimension and one reference.

A reference is what an amount is measured against: indicated or true airspeed, height above ground or above sea level,
gauge or absolute pressure, direct or alternating current, N1 or N2. Rule for one that is left out: `kt` is short for
what the right answer says (`KIAS`), so a stated reference may be dropped, but none is ever added or exchanged: `KTAS`
answers neither `KIAS` nor a plain `kt`, whose reference nobody stated.
"""

from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache

from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.base.text import one_slip, word_set
from recall.quantity.things import COUNTED, NOT_THINGS, TWO_UNITS, left_open
from recall.quantity.units_table import BEFORE, JOINED, MEASURES, OFFSETS, QUOTIENTS, REFERENCES, UNITS

UNKNOWN = "unknown"
COUNT = "count"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit. name: as shown; dimension: `pressure`, `count`, `unknown`, …; reference: "" when none is stated.

    An amount x is x * factor + offset in the SI unit of the dimension.
    """

    name: str
    dimension: str
    reference: str
    factor: Fraction
    offset: Fraction

    def __hash__(self) -> int:
        """By name: hashing fractions is slow, and readings are cached by unit."""
        return hash((self.name, self.dimension))

    @property
    def known(self) -> bool:
        """Whether the spelling was recognised."""
        return self.dimension != UNKNOWN

    @property
    def before(self) -> str:
        """The sign that stands before the amount (`M`, `FL`), or ""."""
        return BEFORE.get(self.name, "")


_SIGNS = str.maketrans(
    {"º": "°", "˚": "°", "∘": "°", "⋅": "·", "×": "·", "’": "'", "″": '"', "”": '"', "µ": "μ"}
)
_PER = re.exact(r"\s*/\s*|\s+per\s+|\s+an?\s+(?=hour|minute|second)", holds=("/", " per ", " a ", " an "))
_SAID = dict.fromkeys(("mile", "miles"), "mi") | dict.fromkeys(
    ("revolution", "revolutions", "revs", "turns"), "rev"
)
"""What is no unit by itself, but a part of one."""


_ROWS = {row[0]: row for row in UNITS}
_Key = tuple[str, str]
"""A unit of the table by its name, and what it is measured against, where that isn't the table's."""


def _reckoned(said: str) -> Fraction:
    """Numbers and measures, multiplied and divided."""
    value = Fraction(1)
    for factor in said.split("*"):
        over, *under = (Fraction(MEASURES.get(part, part)) for part in factor.split("/"))
        value *= over
        for each in under:
            value /= each
    return value


@cache
def _label(name: str, reference: str) -> str:
    """How a unit of the table is shown that is measured against something; its name, where it never is."""
    labels = (label for names, said, label, _ in REFERENCES if said == reference and name in names.split())
    label = next(labels, "")
    return JOINED.get((name, reference), (f"{name} {label}" if label else name, ""))[0]


@cache
def _unit(name: str, reference: str) -> Unit:
    _, dimension, own, factor, _ = _ROWS[name]
    shown, offset = _label(name, reference), OFFSETS.get(name, "0")
    return Unit(shown, dimension, reference or own, _reckoned(factor), _reckoned(offset))


@cache
def _spellings() -> tuple[dict[str, _Key], dict[str, _Key]]:
    """The units by their spellings of one piece: as they stand, and with the case folded."""
    exact: dict[str, _Key] = {}
    folded: dict[str, _Key] = {}
    for name, _, _, _, short in UNITS:
        ways = (each.replace("~", sign) for each in short.split() for sign in ("-_" if "~" in each else "-"))
        key, own = (name, ""), True
        for way in ways:
            for end in ("", "s") if "*" in way else ("",):
                spelling = way.replace("*", end).replace("_", " ")
                if spelling.startswith("="):
                    exact[spelling[1:]], own = key, False
                else:
                    folded.setdefault(spelling, key)
        if own:
            folded.setdefault(name.casefold(), key)
    for key, (_, one_word) in JOINED.items():
        for spelling in one_word.split():
            folded.setdefault(spelling.replace("_", " "), key)
    return exact, folded


@cache
def _ends() -> dict[str, list[_Key]]:
    """What stands behind a unit and says what it is measured against, with the units that it is said of."""
    ends: dict[str, list[_Key]] = {}
    for names, reference, _, suffixes in REFERENCES:
        for end in suffixes.split():
            ends.setdefault(end.replace("_", " "), []).extend((name, reference) for name in names.split())
    return ends


_BRIEF = ("dc", "ac", "(g)", "(a)")
"""What may stand behind a unit without a blank; behind a `%` all may."""


@cache
def _names(least: int, most: int) -> frozenset[str]:
    """Spellings of one word. least, most: of letters."""
    known = _spellings()[1]
    plain = {name for name in known if name.isascii() and name.isalpha()}
    plain |= {
        head + end
        for end, keys in _ends().items()
        for head in known
        if end.isalpha() and head.isalpha() and _key_of(head + end, head + end) in keys
    }
    return frozenset(name for name in plain if least <= len(name) <= most)


def _key_of(spelling: str, folded: str) -> _Key | None:
    """The unit of a spelling. folded: with the case of its letters folded."""
    as_written, in_any_case = _spellings()
    if key := as_written.get(spelling) or in_any_case.get(folded):
        return key
    for end, keys in _ends().items():
        if not folded.endswith(end):
            continue
        head, said = spelling[: -len(end)], spelling[-len(end) :]
        blank = head[-1:] == " "
        head = head.removesuffix(" ")
        exact = said in (end, end.upper(), end.capitalize())
        own = as_written.get(head) if exact else None, in_any_case.get(folded[: -len(end)].removesuffix(" "))
        for whole in keys:
            if (whole[0], "") in own and (blank or whole[0] == "%" or end in _BRIEF):
                return whole
    return None


def _spelt(spelling: str) -> Unit | None:
    key = _key_of(spelling, spelling.casefold())
    return _unit(*key) if key else None


LONGEST = 5  # words in the longest spelling
_SHORT = 4
_PLAIN_WORDS = word_set("""
    a air all any at bag bar bat bit but by can car cold cool dry each east fan fast few foot full gear good half hi
    high hot in just last late left less lift lo loss low main man many max men mid min more most near new no none
    north not of off ok old on once one only or out over pair part pass per plus port ramp right run safe same set
    side six slow south star tail ten test than that the then tip to ton tons top turn two up used use via way well
    west wet when wing with yes zero bars knot feet inch mile
""")
"""Short words that look like a unit's name with a slip (`dry`, `day`) and are none."""


@lru_cache(maxsize=8192)
def find_unit(spelling: str) -> Unit | None:
    """The known unit of that spelling; None for anything else, counted things included."""
    key = _key_of(spelling, spelling)
    if key or len(spelling) > 60:
        return _unit(*key) if key else None
    plain = _PER.sub("/", " ".join(spelling.translate(_SIGNS).replace(".", "").replace("° ", "°").split()))
    found = _spelt(plain)
    if found is None and plain.count("/") == 1:
        found = _quotient(*plain.split("/"))
    if found is None and plain.endswith(")") and "(" in plain:  # `kt (IAS)`, `psi (gauge)`
        before, _, inside = plain[:-1].partition("(")
        one, other = find_unit(before.strip()), find_unit(inside.strip())
        if one and other and not one.reference and (one.factor, one.offset) == (other.factor, other.offset):
            return other  # `knots (KIAS)`
        return find_unit(f"{before.strip()} {inside.strip()}")
    return found


_DIVISORS = word_set("s min h day week month year m cm mm km L kg t ring rod link turn bolt leg wheel bag")


def _quotient(over: str, under: str) -> Unit | None:
    """A unit by a unit: one of the table (`kilometres/hour`), one of a dimension that is known (`lb/min`), or a rate
    that nothing names, by time, size or thing (`bar/min`, `kg/bag`)."""
    one, other = find_unit(over.strip()), find_unit(under.strip())
    parts = zip((one, other), (over, under), strict=True)
    said = "/".join(_SAID.get(part.casefold(), unit.name if unit else "") for unit, part in parts)
    if found := _spelt(said):
        return found
    if one is None or one.reference or one.dimension in (COUNT, "mach"):
        return None
    if other and not other.reference and (known := QUOTIENTS.get((one.dimension, other.dimension))):
        return Unit(f"{one.name}/{other.name}", known, "", one.factor / other.factor, Fraction(0))
    under = other.name if other else under
    sized = other is not None and other.dimension in ("time", "area", "volume")  # `V/µs`, `J/m²`
    if not (sized or under in _DIVISORS) or one.offset or (other and one.dimension == other.dimension):
        return None
    name = f"{over}/{under}"
    if other is None:
        return replace(one, name=name, dimension=f"{one.dimension} of one {under}")
    dimension = f"{one.dimension} by {other.dimension}"
    return replace(one, name=name, dimension=dimension, factor=one.factor / other.factor)


def thing_counted(word: str) -> Unit | None:
    """The unit of counted things: a listed word (`passengers`) or another plural; None for other words."""
    low = word.casefold().rstrip(".")
    if low in TWO_UNITS or not low.isalpha():
        return None
    for stem in (low, low[:-1] if low.endswith("s") else low, low[:-2] if low.endswith("es") else low):
        if stem in COUNTED:
            return Unit(low, COUNT, stem, Fraction(1), Fraction(0))
    plural = len(low) > 4 and low.endswith("s") and not low.endswith(("ss", "us", "is"))
    if not plural or low in NOT_THINGS or misspelt(low):
        return None
    one = low[:-2] if low.endswith(("sses", "xes", "ches", "shes")) else low[:-1]
    return Unit(low, COUNT, one, Fraction(1), Fraction(0))


@lru_cache(maxsize=1024)
def misspelt(word: str) -> bool:
    """Whether the word is one slip away from a unit's name: `knotz`, `pouns`, `celcius`."""
    return bool(nearest_units(word))


def nearest_units(word: str) -> list[Unit]:
    """The units whose names are one slip away from a word."""
    low = word.casefold()
    names = _names(_SHORT + 1, 99) if len(low) > _SHORT else _names(3, _SHORT)
    return (
        []
        if low in _PLAIN_WORDS
        else [unit for name in names if one_slip(low, name) and (unit := _spelt(name))]
    )


def unknown_unit(spelling: str) -> Unit:
    """A unit nobody knows, with its spelling kept."""
    return Unit(spelling, UNKNOWN, spelling.casefold(), Fraction(1), Fraction(0))


def read_unit(text: str) -> Unit | None:
    """What a `Unit` cell says: a known unit, a counted thing, or an unknown unit with its spelling.

    None where no unit stands: blank, a placeholder, a number, a sentence.
    """
    words = text[:400].split()
    spelling = " ".join(words)
    if not words or len(words) > LONGEST or len(spelling) > 60:
        return None
    known = find_unit(spelling)
    if known is not None:
        return known
    percent = find_unit("%")
    if percent is not None and words[0] == "%" and len(words) == 2 and words[1].isalpha():
        return replace(percent, name=spelling, reference=words[1])  # `% SWL`
    if (
        left_open(spelling)
        or spelling.casefold() in ("none", "nil")
        or not any(map(str.isalpha, spelling))
        or any(map(str.isdecimal, spelling))
    ):
        return None
    return (thing_counted(spelling) if len(words) == 1 else None) or unknown_unit(spelling)


def same_reference(a: Unit, b: Unit) -> bool:
    """Whether both amounts are measured against the same thing (two that don't say count as the same)."""
    return a.dimension == b.dimension and a.reference == b.reference


def with_reference(unit: Unit, reference: str) -> Unit:
    """The unit measured against `reference`, where it says nothing itself: `kt` with `indicated` is `KIAS`."""
    if unit.reference or not reference or not unit.known or unit.dimension == COUNT:
        return unit
    return replace(unit, name=_label(unit.name, reference), reference=reference)


def convert(value: Fraction | Decimal, source: Unit, target: Unit) -> Fraction:
    """The amount in another unit of the same dimension and reference, exactly; RecallError for any other."""
    if not same_reference(source, target) or not source.known:
        raise RecallError(
            f"{source.name} can't be converted into {target.name}",
            "only units of the same dimension, measured against the same reference, convert",
        )
    if source.factor == target.factor and source.offset == target.offset:
        return Fraction(value)
    return (Fraction(value) * source.factor + source.offset - target.offset) / target.factor


def in_si(value: Fraction | Decimal, unit: Unit | None) -> Fraction:
    """The amount in the SI unit of its dimension (as it is, without a unit)."""
    return Fraction(value) if unit is None else Fraction(value) * unit.factor + unit.offset


_NAMED = re.any_case(r"\b(N1|N2|N3|NG|NP|NF|NR|torque|RPM)\b")
_SPEED = re.any_case(r"\b(indicated|calibrated|equivalent|true) airspeed\b|\b([ICET])AS\b")
_MACH = re.any_case(r"\bmach\b|^M(?:MO|NE|FE|LE|LO)\b")
_WIND = re.any_case(r"wind\b|\bgusts?\b")
_AIRSPEEDS = {"I": "indicated", "C": "calibrated", "E": "equivalent", "T": "true"}


def of_name(unit: Unit, name: str) -> Unit:
    """The unit of a column of speeds, for one of its parameters: a Mach number is in no knots, a wind no airspeed."""
    if unit.dimension == "speed" and _MACH.search(name):
        return find_unit("Mach") or unit
    wind = unit.reference in _AIRSPEEDS.values() and _WIND.search(name)
    return find_unit("kt") or unit if wind and unit.name.startswith("K") else unit


def referenced(unit: Unit, name: str) -> Unit:
    """The unit with the reference in the parameter's own name: `%` of `N1` is `% N1`, `kt` of `TAS` is `KTAS`."""
    if unit.reference:
        return unit
    if unit.name == "%":
        found = {word.upper() for word in _NAMED.findall(name)}
        if len(found) == 1:
            word = found.pop()
            known = {"TORQUE": "torque", "RPM": "RPM"}.get(word, word.capitalize())
            return with_reference(unit, known)
    elif unit.dimension == "speed":
        speeds = {(said or letter)[0].upper() for said, letter in _SPEED.findall(name)}
        if len(speeds) == 1:
            return with_reference(unit, _AIRSPEEDS[speeds.pop()])
    return unit
