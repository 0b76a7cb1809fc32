"""`overlong-answer` and `overlong-flow`: more than one recall can hold."""

from collections.abc import Iterator

from recall.base.finding import Finding, finding
from recall.deck.material import Material
from recall.kinds.model import named

MOST_WORDS = 25
MOST_STEPS = 9


def check(material: Material) -> Iterator[Finding]:
    """One finding a point, for its longest answer; of a set, for its longest member."""
    for asked in material.asked:
        point = asked.point
        if point.faulty:
            continue
        steps = len(point.parts) if point.kind == "flow" else 0
        if steps > MOST_STEPS:
            help = f"part it into flows of at most {MOST_STEPS} steps"
            yield finding("overlong-flow", point.place, f"flow {named(point)} has {steps} steps", help)
            continue
        answers = (text for card in asked.cards if not card.answer.ordered for text in card.answer.texts)
        longest = max((len(text.split()) for text in answers if len(text) > MOST_WORDS), default=0)
        if longest > MOST_WORDS:
            what = f"{point.kind} {named(point)} has an answer of {longest} words"
            help = f"keep an answer to about {MOST_WORDS} words, or part it into points"
            yield finding("overlong-answer", point.place, what, help)
