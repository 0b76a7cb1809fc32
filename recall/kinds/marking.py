"""A card put as a question."""

import random
from dataclasses import replace

from recall.answers import Drawn
from recall.kinds.limits.words import are, measured, under, upper
from recall.kinds.model import Card


def pose(card: Card, rng: random.Random) -> Card:
    """A card as it is put: a reading is drawn afresh, with the prompt and answer of this very question, all else is
    asked as it stands."""
    drawn = card.answer.draw(rng)
    if drawn is not None:
        card = replace(card, prompt=_asked(card, drawn), answer=drawn.right, why=drawn.why)
    return card


def _asked(card: Card, drawn: Drawn) -> str:
    """The prompt of a reading."""
    subject = measured(card.subject)
    said = under(f"{subject} {'are' if are(subject) else 'is'} {drawn.reads}", card.condition, drawn.held)
    return f"{said}. {upper(drawn.asks)}"
