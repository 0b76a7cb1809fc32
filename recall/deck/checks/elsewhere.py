"""`differs-elsewhere` and `duplicate-point` between topics and files: what instructors fear most."""

from collections import defaultdict

from recall.base.finding import Finding, finding
from recall.base.text import words_of
from recall.deck.checks.material import Material
from recall.deck.combine import Asked, named, where
from recall.kinds.effectivity import overlap

_BARE = {"oil", "fuel", "air", "pressure", "temperature", "voltage", "current"}
_BARE |= {"speed", "level", "quantity", "load", "flow", "torque", "time"}
"""Words that name a quantity but no system: `Oil pressure` of the engine and of the APU are two things."""


def check(material: Material) -> list[Finding]:
    """Same kind, subject and condition under another topic, compared aspect by aspect."""
    groups: dict[tuple[str, str, str], list[Asked]] = defaultdict(list)
    for asked in material.asked:
        point = asked.point
        if not point.faulty:
            kind, _, subject, condition = point.about()
            groups[kind, subject, condition].append(asked)
    findings = []
    for group in groups.values():
        if len(group) < 2 or set(words_of(group[0].point.subject)) <= _BARE:
            continue
        for at in range(1, len(group)):
            said = _compared(group[at], group[:at])
            if said is not None:
                findings.append(said)
    return findings


def _compared(later: Asked, before: list[Asked]) -> Finding | None:
    """The worst that can be said of a point against those before it."""
    same: Asked | None = None
    for earlier in before:
        if not overlap(earlier.point.applies, later.point.applies):
            continue
        shared = [aspect for aspect in earlier.answers if aspect in later.answers]
        differ = [aspect for aspect in shared if earlier.answers[aspect] != later.answers[aspect]]
        if differ:
            return finding(
                "differs-elsewhere",
                later.point.place,
                f"{named(later.point)} {differ[0]} is `{later.answer_shown(differ[:1])}` here and "
                f"`{earlier.answer_shown(differ[:1])}` in {where(earlier.point)}",
                "correct the wrong one; if both are right, name the two apart",
            )
        if shared and same is None:
            same = earlier
    if same is None:
        return None
    return finding(
        "duplicate-point",
        later.point.place,
        f"{named(later.point)} is said again, the same as in {where(same.point)}",
        "keep it in one place, so that a revision changes it once",
    )
