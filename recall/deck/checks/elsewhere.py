"""`differs-elsewhere` and `duplicate-point` between topics and files: what instructors fear most."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import product

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import key_form, words_of
from recall.deck.combine import apart
from recall.deck.material import Asked, Material
from recall.kinds.effectivity import overlap
from recall.kinds.kind import Kind
from recall.kinds.limits.words import quantity_above, says_quantity
from recall.kinds.model import Point, named, where
from recall.kinds.prose.lexicon import QUANTITIES
from recall.quantity import Reading, Unit

_POINTING = frozenset(("it", "its", "this", "that", "these", "those", "they", "their", "here", "there"))
"""Words by which a question leans on its topic."""
_BY_HEADING = ("flow", "memory-item")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def is_bare(subject: str) -> bool:
    """Whether a subject is nothing but bare quantity words, and means another thing under another topic."""
    return set(words_of(subject)) <= QUANTITIES


def _quantity_of(point: Point) -> tuple[str, ...]:
    """What the amount of a mere thing is of: the quantity that is named above it, and the dimension. Nothing for
    other points."""
    if point.kind != "limit" or says_quantity(point.subject):
        return ()
    unit = unit_of(point)
    return quantity_above(point.topic), unit.dimension if unit else ""


def unit_of(point: Point) -> Unit | None:
    """The unit of a limit's amount: the first that has one."""
    read = (amount for role, amount in point.amounts.items() if role not in ("duration", "for"))
    spans = (one.spans for one in read if isinstance(one, Reading) and one.shape in ("single", "values"))
    return next((span.unit for some in spans for span in some if span.unit is not None), None)


def check(material: Material) -> Iterator[Finding]:
    """Same kind, subject and condition under another topic, compared aspect by aspect."""
    kinds = {kind.name: kind for kind in material.kinds}
    groups: dict[tuple[str, ...], list[Asked]] = defaultdict(list)
    for asked in material.asked:
        if not asked.point.faulty:
            kind, _, subject, condition = asked.point.about()
            groups[kind, subject, condition].append(asked)
    for group in groups.values():
        if len(group) < 2 or _leans_on_topic(group[0].point):
            continue
        of = [_quantity_of(one.point) for one in group]
        for at in range(1, len(group)):
            before = [one for one, its in zip(group[:at], of, strict=False) if its == of[at]]
            before = [one for one in before if _one_thing(one.point, group[at].point)]
            said = _compared(group[at], before, kinds[group[at].point.kind])
            if said is not None:
                yield said


def _leans_on_topic(point: Point) -> bool:
    """Whether a subject says by itself what it is about."""
    if point.kind == "question":
        return not _POINTING.isdisjoint(words_of(point.subject))
    return is_bare(point.subject)


def _one_thing(one: Point, two: Point) -> bool:
    """Whether two of one name are about one thing: procedures under a heading as common as `Before start` are where
    half of their steps are the same."""
    if one.kind not in _BY_HEADING:
        return True
    first, second = _steps(one), _steps(two)
    return len(first & second) * 2 >= max(len(first), len(second))


def _steps(point: Point) -> set[str]:
    return set(map(key_form, point.fields.get("steps", ()) or [part.subject for part in point.parts]))


def _add_up(kind: Kind, one: Point, two: Point) -> bool:
    """Whether two points that differ would be one under one heading (two conditions that inhibit one function), and
    no answer of the one is that of the other with another number."""
    if not kind.rows_add_up or kind.joins(one, two) is None:
        return False
    pairs = (
        pair for role in kind.sets for pair in product(one.fields.get(role, ()), two.fields.get(role, ()))
    )
    return not any(a != b and _NUMBER.sub("0", a) == _NUMBER.sub("0", b) for a, b in pairs)


def _compared(later: Asked, before: list[Asked], kind: Kind) -> Finding | None:
    """The worst that can be said of a point against those before it."""
    same: Asked | None = None
    for earlier in before:
        if not overlap(earlier.point.fits, later.point.fits):
            continue
        if (differ := earlier.differs(later)) and not _add_up(kind, earlier.point, later.point):
            what = apart(earlier, later, differ[0])
            help = "correct the wrong one; if both are right, name the two apart"
            return finding("differs-elsewhere", later.point.place, what, help)
        if same is None and not differ and earlier.answers.keys() & later.answers.keys():
            same = earlier
    if same is None:
        return None
    what = f"{named(later.point)} is said again, the same as in {where(same.point)}"
    help = "keep it in one place, so that a revision changes it once"
    return finding("duplicate-point", later.point.place, what, help)
