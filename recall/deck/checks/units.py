"""`unit-mismatch` across the deck: one parameter, under all its conditions, in units of two dimensions."""

from recall.base.finding import Finding, finding
from recall.base.text import key_form, shown
from recall.deck.checks.material import Material
from recall.deck.combine import where
from recall.kinds.model import Point
from recall.quantity import Reading, Unit


def check(material: Material) -> list[Finding]:
    """Compares a parameter with its first appearance; columns of a matrix name themselves and stand aside."""
    findings = []
    first: dict[tuple[str, ...], tuple[Unit, Point]] = {}
    for asked in material.asked:
        point = asked.point
        if point.kind != "limit" or point.faulty or point.matrix:
            continue
        unit = _unit(point)
        if unit is None or unit.dimension in ("unknown", "count"):
            continue
        key = (*map(key_form, point.topic), key_form(point.subject))
        known = first.setdefault(key, (unit, point))
        if known[0].dimension != unit.dimension:
            point.faulty = True
            findings.append(
                finding(
                    "unit-mismatch",
                    point.place,
                    f"`{shown(point.subject)}` is in `{unit.name}` here, in `{known[0].name}` in {where(known[1])}",
                    "give one parameter one kind of unit, or name the two parameters apart",
                )
            )
    return findings


def _unit(point: Point) -> Unit | None:
    for role, amount in point.amounts.items():
        if (
            role not in ("duration", "for")
            and isinstance(amount, Reading)
            and amount.shape in ("single", "values")
        ):
            for span in amount.spans:
                if span.unit is not None:
                    return span.unit
    return None
