"""A card put as a question, in one of its wordings."""

import random
from collections.abc import Sequence
from functools import lru_cache

from recall.answers import Drawn, ProseAnswer
from recall.base import regex as re
from recall.base.dataclass import replace
from recall.kinds.english import is_plural, lower, upper
from recall.kinds.model import Card
from recall.kinds.registry import kind_named


def pose(card: Card, rng: random.Random, way: int = 0) -> Card:
    """A card as it is put: a reading is drawn afresh, with the prompt and answer of this very question, all else is
    asked in one of its wordings. way: which of them, counted on and on."""
    drawn = card.answer.draw(rng)
    if drawn is not None:
        return replace(card, prompt=_asked(card, drawn), answer=drawn.right, why=drawn.why)
    asked = wordings(card) if way else ()
    return replace(card, prompt=asked[way % len(asked)]) if asked else card


def wordings(card: Card) -> tuple[str, ...]:
    """The ways in which a card may be asked: its prompt, and the other sentences of its kind with the same words."""
    kind = kind_named(card.kind)
    for first, *others in kind.ways if kind is not None else ():
        if found := _pattern(first).fullmatch(card.prompt):
            said = found.groupdict()
            said["It"] = upper(said.get("it", ""))
            return card.prompt, *(other.format_map(said) for other in others)
    return (card.prompt,)


def pose_open(card: Card, told: Sequence[Card]) -> Card | None:
    """All that cards of its subject say, asked at once and marked by a person; None where its kind has no such
    question, or they say too little. told: those cards, this one among them."""
    kind = kind_named(card.kind)
    if kind is None or not kind.open or len(told) < FEWEST_TOLD:
        return None
    texts = tuple(f"{one.prompt.rstrip('?')}: {one.answer.text}" for one in told)
    return replace(
        card, prompt=kind.open.format(subject=lower(card.subject)), answer=ProseAnswer(texts), why=""
    )


FEWEST_TOLD = 2


@lru_cache
def _pattern(sentence: str) -> re.Pattern[str]:
    parts = re.split(r"\{(\w+)\}", sentence)
    return re.compile(
        "".join(f"(?P<{part}>.+?)" if at % 2 else re.escape(part) for at, part in enumerate(parts))
    )


def _asked(card: Card, drawn: Drawn) -> str:
    """The prompt of a reading."""
    from recall.kinds.limits.words import balanced, measure, measured, when  # of limits alone

    subject = measured(card.subject)
    many = is_plural(subject.casefold())
    be = "are" if many else "is at" if balanced(subject, "minimum") else "is"
    said = when(
        f"{measure(subject)} {be} {drawn.reads}",
        card.condition,
        drawn.held,
    )
    asks = drawn.asks.replace(" its ", " their ") if many else drawn.asks
    return f"{said}. {upper(asks)}"
