"""A card put as a question, and what is typed marked by its answer."""

import random
import re
from dataclasses import replace

from recall.answers import NO_LORE, Drawn, Lore, Verdict
from recall.base.text import one_line
from recall.kinds.limits.words import lower, under
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
        prompt, why = _asked(card, drawn)
        card = replace(card, prompt=prompt, answer=drawn.right, why=why)
    return card


def mark(card: Card, given: str, lore: Lore = NO_LORE) -> Verdict:
    """Mark what a person typed."""
    if _NOT_KNOWN.fullmatch(given):
        return Verdict(False, "not known")
    return card.answer.mark(given.strip(), replace(lore, prompt=card.prompt, names=card.kind == "supply"))


def _asked(card: Card, drawn: Drawn) -> tuple[str, str]:
    """The prompt of a reading, and why the answer is what it is."""
    # A count has no instrument that reads it, and is often a plural.
    link = ": " if drawn.counted else " is "
    said = under(f"{_bare(card.subject)}{link}{drawn.reads}", card.condition, drawn.held)
    alerts = [f"{lower(name)} {amount}" for name, amount in drawn.alerts]
    told = f"Alerts: {', '.join(alerts)}." if alerts else ""
    return f"{said}. Inside or outside its {drawn.what}?", one_line(f"{drawn.why} {told}")


def _bare(subject: str) -> str:
    """A subject without its `Maximum`: the quantity that is measured."""
    first, _, rest = subject.partition(" ")
    return rest if rest and first.casefold().rstrip(".") in ("maximum", "max", "minimum", "min") else subject
