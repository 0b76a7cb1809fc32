"""What a person types against what is right: exact in the same unit, to the written precision in another."""

from fractions import Fraction

from recall.answers.data import step_of
from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.quantity.cell import read_typed
from recall.quantity.model import Reading, Span
from recall.quantity.number import Number, rounded
from recall.quantity.unit import COUNT, Unit, convert, find_unit, in_si, nearest_units, with_reference


@dataclass(frozen=True, slots=True)
class Match:
    """right, and why not: one short plain sentence without a stop ("" when right)."""

    right: bool
    why: str


_RIGHT = Match(True, "")
_SHORT_TEMPERATURES = {"c": "°C", "f": "°F", "k": "K"}


def read_answer(text: str, *, unit_hint: Unit | None = None) -> Span | None:
    """One typed amount: `870`, `870 C`, `1,598 °F`, `10 to 110`, `>= 60`, `5 min`. None when it isn't one amount.

    unit_hint: the right answer's unit; it settles `min`, `c` and `°`. A unit that wasn't typed stays None.
    """
    reading = read_whole_answer(text, unit_hint=unit_hint)
    if reading is None or reading.shape != "single" or reading.duration or reading.condition:
        return None
    return reading.spans[0]


def read_whole_answer(text: str, *, unit_hint: Unit | None = None) -> Reading | None:
    """A typed answer of any shape: `230/215`, `870 for 20 s`, `40 s on / 60 s off`. None when it isn't an amount."""
    bare = text.strip()
    if unit_hint is not None and bare[-2:-1] in set("0123456789 "):
        dimension, letter = unit_hint.dimension.split(" ")[0], bare[-1:].casefold()
        short = find_unit(_SHORT_TEMPERATURES.get(letter, "")) if dimension == "temperature" else None
        if dimension in ("time", "calendar") and unit_hint.name.startswith(letter):
            short = unit_hint  # `50m` of minutes, `30 d` of days
        if short is not None:
            text = _DEGREES.sub("", bare[:-1]) + f" {short.name}"
    return read_typed(_in_case(text, unit_hint), unit_hint)


_DEGREES = re.any_case(r"\s*(?:\bdeg(?:ree)?s?\b\.?)?\s*$")
_EIGHTHS = re.compile(r"^(\d) ?/ ?8(?: \w+)?$")
_COUNTED_TOO = {"eighth": ("okta", "oktas"), "person": ("people",)}
"""Other names of things that are counted, by the singular."""


def _in_case(text: str, hint: Unit | None) -> str:
    """The typed text with the right unit's own case, where only that differs and it says no other unit of the
    dimension: `400 a` of amperes, `900 kn` of kilonewtons."""
    if hint is None or not hint.name.isalpha():
        return text
    if hint.dimension == COUNT:
        text = _EIGHTHS.sub(r"\1 eighths", text)
        for said in (hint.reference, *_COUNTED_TOO.get(hint.reference, ())):
            if text.casefold().endswith(f" {said}"):
                return text[: -len(said)] + hint.name  # `1 eighth`
    if hint.before and text.lstrip()[: len(hint.before)].casefold() == hint.before.casefold():
        return hint.before + text.lstrip()[len(hint.before) :]
    bare = text.rstrip()
    typed = bare[-len(hint.name) :]
    if typed == hint.name or typed.casefold() != hint.name.casefold() or bare[: -len(typed)][-1:].isalpha():
        return text
    found = find_unit(typed)
    return bare[: -len(typed)] + hint.name if found is None or found.dimension != hint.dimension else text


def matches(given: Span, right: Span) -> Match:
    """Whether the typed amount is the right one.

    A number in the right unit (or without one) must equal; one in another unit of the same dimension and reference is
    converted (see `_equal`). A bare number answers a one-sided limit; a comparison, a range or a tolerance that is
    typed must be the right one, and a number that is about right is none where the right one is exact.
    """
    unit, fault = _readable_in(given.unit, right.unit)
    if fault:
        return Match(False, fault)
    if given.approximate and not right.approximate:
        return Match(False, "the answer is exact, not about that")
    pairs = _pairs(given, right)
    if isinstance(pairs, str):
        return Match(False, pairs)
    for typed, due in pairs:
        if not _equal(typed, unit, due, right.unit):
            if unit is not None and right.unit is not None and typed.value == due.value:
                return Match(
                    False, f"the unit is wrong: {unit.name} typed, the answer is in {right.unit.name}"
                )
            return Match(False, "the number differs" if len(pairs) == 1 else "the numbers differ")
    return _RIGHT


def matches_whole(given: Reading, right: Reading) -> Match:
    """Whether a typed reading of any shape is the right one: each amount, and the duration where there is one."""
    if right.shape == "duty":
        if given.shape != "duty":
            return Match(False, "times on and off are asked")
    elif given.shape == "duty":
        return Match(False, "one amount is asked")
    if len(given.spans) != len(right.spans):
        asked = len(right.spans)
        return Match(False, f"{asked} amounts are asked" if asked > 1 else "one amount is asked")
    due = list(right.spans)
    if right.shape == "limits" and given.spans[0].unit is not None:
        due.sort(key=lambda span: span.unit is None or span.unit.dimension != _dimension(given.spans[0]))
    for typed, span in zip(given.spans, due, strict=True):
        match = matches(typed, span)
        if not match.right:
            return match
    if right.duration is not None:
        if given.duration is None:
            return Match(False, "the duration is missing")
        match = matches(given.duration, right.duration)
        return match if match.right else Match(False, f"the duration is wrong: {match.why}")
    return _RIGHT if given.duration is None else Match(False, "no duration belongs to it")


def _dimension(span: Span) -> str:
    return span.unit.dimension if span.unit is not None else ""


def _readable_in(given: Unit | None, right: Unit | None) -> tuple[Unit | None, str]:
    """The typed unit as it is meant, and why it can't stand for the right one ("" when it can)."""
    if given is None or right is None or given == right:
        return right, ""
    if (given.name == "°" and right.dimension.startswith("temperature")) or (given.name, right.name) in _SAME:
        return right, ""
    if not given.known:
        if _is_slip_of(given.name, right):
            return right, ""
        same = given.reference == right.reference and not right.known
        return right, "" if same else f"`{given.name}` is no unit known here"
    if given.dimension == "temperature" and right.dimension == "temperature difference":
        given = step_of(given)
    if given.dimension != right.dimension:
        return given, f"{given.name} typed, the answer is in {right.name}"
    meant = with_reference(given, right.reference)
    if meant.reference == right.reference:
        return meant, ""
    if not right.reference and given.reference == "vertical":  # `ft/min` says it by itself
        return replace(given, reference=""), ""
    if not right.reference:
        read_off = given.dimension == "speed" and given.reference == "indicated"  # what the instrument shows
        return (right, "") if read_off else (given, f"the answer doesn't say {given.reference}")
    if given.dimension == "speed" and {given.reference, right.reference} <= _AIRSPEEDS:
        return given, f"{given.reference} airspeed is not {right.reference} airspeed"
    if given.dimension == COUNT:
        return given, f"{given.name} typed, the answer is in {right.name}"
    return given, f"{given.reference} is not {right.reference}"


def _is_slip_of(spelling: str, right: Unit) -> bool:
    """Whether a word that is no unit is the right one's name with a slip (`knotts`), or miles where they are statute
    ones: visibility in bare miles is."""
    if spelling.casefold() in ("mile", "miles"):
        return right.name == "SM"
    near = nearest_units(spelling) if len(spelling) > _SHORTEST else ()  # `ksi` is no psi
    return any(with_reference(unit, right.reference).name == right.name for unit in near)


_SHORTEST = 3
_SAME = (("in", "inHg"), ("SM", "miles"))
_AIRSPEEDS = frozenset(("indicated", "calibrated", "equivalent", "true"))
_Pairs = list[tuple[Number, Number]]


def _pairs(given: Span, right: Span) -> _Pairs | str:
    """Typed and right numbers to compare, or why the two have different shapes."""
    ends = [
        (typed, due) for typed, due in ((given.low, right.low), (given.high, right.high)) if due is not None
    ]
    bare = given.value if given.low is None and given.high is None else None
    if right.value is not None and not ends:
        return [(bare, right.value)] if bare is not None else "one number is asked"
    if right.value is not None and bare is not None:
        return "the tolerance is missing"
    if len(ends) == 1 and bare is not None:
        return [(bare, ends[0][1])]
    if bare is not None:
        return "both ends are asked"
    if (given.low is None) != (right.low is None) or (given.high is None) != (right.high is None):
        if len(ends) == 2:
            return "both ends are asked"
        return "a minimum is asked" if right.low is not None else "a maximum is asked"
    plain = (
        len(ends) == 2 and not given.low_open and not given.high_open
    )  # `40 to 200` can't say which ends belong
    if not plain and (given.low_open != right.low_open or given.high_open != right.high_open):
        still = right.low_open or right.high_open
        return "the end itself is left out" if still else "the end itself belongs to it"
    pairs = [(typed, due) for typed, due in ends if typed is not None]
    if right.value is not None and given.value is not None:
        pairs.append((given.value, right.value))
    return pairs


_NEAR = Fraction(2, 100)


def _equal(typed: Number, unit: Unit | None, due: Number, right: Unit | None) -> bool:
    """Whether two numbers are one amount. Converted, the right one must come to the typed one at the typed digits and
    lie within 2 % of it; by an exact factor (hours and minutes, kg and t) exactly, where that number ends."""
    if unit is None or right is None or (unit.factor, unit.offset) == (right.factor, right.offset):
        return typed.value == due.value
    there = convert(due.fraction, right, unit)
    factor = unit.factor / right.factor
    ends = 10**30 % there.denominator == 0  # 25 m/min, which are 0.41666… m/s, don't
    if ends and unit.offset == right.offset and 1 in (factor.numerator, factor.denominator):
        return typed.fraction == there
    off = abs(in_si(typed.fraction, unit) - in_si(there, unit))
    return rounded(there, typed.value) == typed.fraction and off <= _NEAR * abs(in_si(there, unit))
