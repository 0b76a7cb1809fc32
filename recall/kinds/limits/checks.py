"""Checks on the numbers of one limit: its ends against each other, its units, its normal value against its ends."""

from collections.abc import Mapping

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import shown as safe
from recall.kinds.limits.facts import Fact
from recall.kinds.model import Point, named
from recall.quantity import Number, Reading, Span, Unit, Words, convert, same_reference, with_reference

Amounts = Mapping[str, Reading | Words | None]

_UNITLESS = re.any_case(
    r"\b(?:number|count|ratio|mach|mmo|epr|swr|ph|factor|crew|passengers|occupants|seats|persons|people|starts|attempts|"
    r"cycles|landings)\b"
)


def check(point: Point, facts: list[Fact], unit_said: bool, strange: set[str]) -> tuple[list[Finding], bool]:
    """Findings about one point, and whether one of them is an error.

    unit_said: the row says on purpose that there is no unit. strange: unknown units already named for this
    table, added to.
    """
    errors = _mismatch(point, facts) or _contradictions(point, facts)
    return errors + _units(point, facts, unit_said, strange), bool(errors)


def _mismatch(point: Point, facts: list[Fact]) -> list[Finding]:
    units = [(unit, fact) for fact in facts for unit in fact.units if unit is not None and unit.known]
    first, of = units[0] if units else (None, None)
    for unit, fact in units:
        if first and of and unit is not first and unit.dimension != first.dimension:
            beside = f"beside a {of.role} in `{safe(first.name)}`"
            message = f"{named(point)} has a {fact.role} in `{safe(unit.name)}` {beside}"
            help = "give one parameter one kind of unit, or each its own row"
            return [finding("unit-mismatch", fact.place, message, help)]
    return []


def _above(number: Number | None, unit: Unit | None, other: Number | None, other_unit: Unit | None) -> bool:
    """Whether a number is above another; False where the two aren't there or can't be compared."""
    if number is None or other is None:
        return False
    if unit == other_unit or unit is None or other_unit is None:
        return unit == other_unit and number.value > other.value
    unit = with_reference(unit, other_unit.reference)
    other_unit = with_reference(other_unit, unit.reference)
    if not unit.known or not same_reference(unit, other_unit):
        return False
    return convert(number.fraction, unit, other_unit) > other.fraction


def span_of(amounts: Amounts, role: str) -> Span | None:
    """The one span of a role, where it has just one."""
    amount = amounts.get(role)
    return amount.spans[0] if isinstance(amount, Reading) and len(amount.spans) == 1 else None


def contradicts(point: Point) -> bool:
    """Whether its minimum is above its maximum."""
    low, high = span_of(point.amounts, "minimum"), span_of(point.amounts, "maximum")
    return low is not None and high is not None and _above(low.low, low.unit, high.high, high.unit)


def _contradictions(point: Point, facts: list[Fact]) -> list[Finding]:
    """Ends that contradict each other, or a normal value beyond one of them."""

    def said(role: str) -> str:
        return safe(point.amounts[role].text)

    def told(rule: str, role: str, message: str, help: str) -> list[Finding]:
        place = next(fact.place for fact in facts if fact.role == role)
        return [finding(rule, place, f"{named(point)} has a {message}", help)]

    if contradicts(point):
        message = f"minimum of `{said('minimum')}` above its maximum of `{said('maximum')}`"
        help = "correct one of the two; they may stand in each other's column"
        return told("minimum-above-maximum", "minimum", message, help)
    if "normal" not in point.amounts:
        return []
    normal, low, high = (span_of(point.amounts, role) for role in ("normal", "minimum", "maximum"))
    numbers = [(each, normal.unit) for each in (normal.low, normal.high, normal.value)] if normal else []
    for number in numbers:
        below = low is not None and _above(low.low, low.unit, *number)
        if below or (high is not None and _above(*number, high.high, high.unit)):
            side, role = ("below", "minimum") if below else ("above", "maximum")
            message = f"normal `{said('normal')}` that goes {side} its {role} of `{said(role)}`"
            return told("normal-outside-limits", "normal", message, "correct one of the two")
    return []


def _units(point: Point, facts: list[Fact], unit_said: bool, strange: set[str]) -> list[Finding]:
    findings = []
    for fact in facts:
        for unit in fact.units:
            if unit is not None and not unit.known and unit.name not in strange:
                strange.add(unit.name)
                message = f"{named(point)} is in `{safe(unit.name)}`, a unit that isn't known"
                help = (
                    "write a usual unit (`psi`, `°C`, `KIAS`); for counted things, their name in the plural"
                )
                findings.append(finding("unknown-unit", fact.place, message, help))
    bare = next((fact for fact in facts if None in fact.units), None)
    if bare is not None and bare.amount is not None and not unit_said and not _UNITLESS.search(point.subject):
        message = f"{named(point)} is given as `{safe(bare.amount.text)}`, without a unit"
        help = "write the unit behind the number, in the header (`Maximum, °C`) or in a column `Unit`"
        findings.append(finding("limit-without-unit", bare.place, message, help))
    return findings
