"""`overlong-answer` and `overlong-flow`: more than one recall can hold."""

from recall.base.finding import Finding, finding
from recall.deck.checks.material import Material
from recall.deck.combine import named

MOST_WORDS = 25
MOST_STEPS = 9


def check(material: Material) -> list[Finding]:
    """One finding a point, for its longest answer; of a set, for its longest member."""
    findings = []
    for asked in material.asked:
        point = asked.point
        if point.faulty:
            continue
        steps = len(point.parts) if point.kind == "flow" else 0
        if steps > MOST_STEPS:
            findings.append(
                finding(
                    "overlong-flow",
                    point.place,
                    f"flow {named(point)} has {steps} steps",
                    f"part it into flows of at most {MOST_STEPS} steps",
                )
            )
            continue
        answers = [answer for card in asked.cards if not card.answer.ordered for answer in card.answer.texts]
        longest = max((len(answer.split()) for answer in answers), default=0)
        if longest > MOST_WORDS:
            findings.append(
                finding(
                    "overlong-answer",
                    point.place,
                    f"{point.kind} {named(point)} has an answer of {longest} words",
                    f"keep an answer to about {MOST_WORDS} words, or part it into points",
                )
            )
    return findings
