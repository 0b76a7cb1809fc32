"""Checks on the numbers of one limit: its ends against each other, its units, its normal value against its ends."""

from recall.base import regex as re
from recall.base.finding import Finding, Place, finding
from recall.base.text import shown as safe
from recall.kinds.limits.facts import Fact
from recall.kinds.model import Point
from recall.quantity import Number, Reading, Span, Unit, convert, same_reference, with_reference

_UNITLESS = re.compile(
    r"\b(?:number|count|ratio|mach|mmo|epr|swr|ph|factor|crew|passengers|occupants|seats|persons|people|starts|attempts|"
    r"cycles|landings)\b",
    re.IGNORECASE,
)


def check(point: Point, facts: list[Fact], unit_said: bool, strange: set[str]) -> tuple[list[Finding], bool]:
    """Findings about one point, and whether one of them is an error.

    unit_said: the row says on purpose that there is no unit. strange: unknown units already named for this
    table, added to.
    """
    errors = _mismatch(point, facts) or _ends(point, facts) or _normal(point, facts)
    return errors + _units(point, facts, unit_said, strange), bool(errors)


def _name(point: Point) -> str:
    return f"`{safe(point.subject)}`" + (f" ({safe(point.condition)})" if point.condition else "")


def _mismatch(point: Point, facts: list[Fact]) -> list[Finding]:
    first: tuple[Unit, Fact] | None = None
    for fact in facts:
        for unit in fact.units:
            if unit is None or not unit.known:
                continue
            if first is None:
                first = unit, fact
            elif unit.dimension != first[0].dimension:
                message = (
                    f"{_name(point)} has a {fact.role} in `{safe(unit.name)}` beside a {first[1].role} "
                    f"in `{safe(first[0].name)}`"
                )
                help = "give one parameter one kind of unit, or each its own row"
                return [finding("unit-mismatch", fact.place, message, help)]
    return []


def above(number: Number, unit: Unit | None, other: Number, other_unit: Unit | None) -> bool:
    """Whether a number is above another; False where the two can't be compared."""
    if unit == other_unit:
        return number.value > other.value
    if unit is None or other_unit is None:
        return False
    unit = with_reference(unit, other_unit.reference)
    other_unit = with_reference(other_unit, unit.reference)
    if not unit.known or not same_reference(unit, other_unit):
        return False
    return convert(number.fraction, unit, other_unit) > other.fraction


def span_of(point: Point, role: str) -> Span | None:
    """The one span of a role, where it has just one."""
    amount = point.amounts.get(role)
    return amount.spans[0] if isinstance(amount, Reading) and len(amount.spans) == 1 else None


def _place(facts: list[Fact], role: str) -> Place:
    return next(fact.place for fact in facts if fact.role == role)


def contradicts(point: Point) -> bool:
    """Whether its minimum is above its maximum."""
    low, high = span_of(point, "minimum"), span_of(point, "maximum")
    if low is None or high is None or low.low is None or high.high is None:
        return False
    return above(low.low, low.unit, high.high, high.unit)


def _ends(point: Point, facts: list[Fact]) -> list[Finding]:
    if not contradicts(point):
        return []
    low, high = point.amounts["minimum"], point.amounts["maximum"]
    message = f"{_name(point)} has a minimum of `{said(low)}` above its maximum of `{said(high)}`"
    help = "correct one of the two; they may stand in each other's column"
    return [finding("minimum-above-maximum", _place(facts, "minimum"), message, help)]


def said(amount: object) -> str:
    """An amount as the note writes it."""
    return safe(amount.text) if isinstance(amount, Reading) else ""


def _normal(point: Point, facts: list[Fact]) -> list[Finding]:
    normal, low, high = (span_of(point, role) for role in ("normal", "minimum", "maximum"))
    if normal is None:
        return []
    for number in (normal.low, normal.high, normal.value):
        if number is None:
            continue
        for role, end, side in (("minimum", low, "below"), ("maximum", high, "above")):
            limit = (end.low or end.high) if end else None
            if end is None or limit is None:
                continue
            ends = (number, normal.unit, limit, end.unit)
            if above(*ends) if side == "above" else above(*ends[2:], *ends[:2]):
                message = (
                    f"{_name(point)} has a normal `{said(point.amounts['normal'])}` that goes {side} "
                    f"its {role} of `{said(point.amounts[role])}`"
                )
                help = "correct one of the two"
                return [finding("normal-outside-limits", _place(facts, "normal"), message, help)]
    return []


def _units(point: Point, facts: list[Fact], unit_said: bool, strange: set[str]) -> list[Finding]:
    findings = []
    bare: Fact | None = None
    for fact in facts:
        for unit in fact.units:
            if unit is None:
                bare = bare or fact
            elif not unit.known and unit.name not in strange:
                strange.add(unit.name)
                findings.append(
                    finding(
                        "unknown-unit",
                        fact.place,
                        f"{_name(point)} is in `{safe(unit.name)}`, a unit that isn't known",
                        "write a usual unit (`psi`, `°C`, `KIAS`); for counted things, their name in the plural",
                    )
                )
    if bare is not None and not unit_said and not _UNITLESS.search(point.subject):
        message = f"{_name(point)} is given as `{said(bare.amount)}`, without a unit"
        help = "write the unit behind the number, in the header (`Maximum, °C`) or in a column `Unit`"
        findings.append(finding("limit-without-unit", bare.place, message, help))
    return findings
