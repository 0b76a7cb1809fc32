"""A card put as a question, and what is typed marked by its answer."""

import random
import re
from dataclasses import replace

from recall.answers import NO_LORE, Drawn, Lore, Verdict
from recall.kinds.limits.words import are, measured, under, upper
from recall.kinds.model import Card

_NOT_KNOWN = re.compile(
    r"\s*(?:i )?(?:do not|don['’]?t|dunno|no idea|idk|pass|not sure|unknown)(?: know| remember| recall)?[\s.!]*",
    re.I,
)


def pose(card: Card, rng: random.Random) -> Card:
    """A card as it is put: a reading is drawn afresh, with the prompt and answer of this very question, all else is
    asked as it stands."""
    drawn = card.answer.draw(rng)
    if drawn is not None:
        card = replace(card, prompt=_asked(card, drawn), answer=drawn.right, why=drawn.why)
    return card


def mark(card: Card, given: str, lore: Lore = NO_LORE) -> Verdict:
    """Mark what a person typed."""
    if _NOT_KNOWN.fullmatch(given):
        return Verdict(False, "not known")
    return card.answer.mark(given.strip(), replace(lore, prompt=card.prompt, names=card.kind == "supply"))


def _asked(card: Card, drawn: Drawn) -> str:
    """The prompt of a reading."""
    subject = measured(card.subject)
    said = under(f"{subject} {'are' if are(subject) else 'is'} {drawn.reads}", card.condition, drawn.held)
    return f"{said}. {upper(drawn.asks)}"
