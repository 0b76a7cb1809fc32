"""What is told of each point by itself: its id, its source, the length of its answers."""

from collections.abc import Iterator

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.material import Asked, Material
from recall.kinds.model import Card, Point, named, where
from recall.notes.reader import LONGEST

MOST_WORDS = 25
MOST_STEPS = 9
_ID = re.compile(r"[A-Za-z0-9_-]+")
_FLOW = f"part it into flows of at most {MOST_STEPS} steps"
_ANSWER = f"keep an answer to about {MOST_WORDS} words, or part it into points"
_CRITICAL = "add a `Source` column, or a line `Source: …` under its heading"
_LIMIT = "add a `Source` column or line, or name the manual as `authority` in the record"


def ids(material: Material) -> Iterator[Finding]:
    """`bad-id`: one that is malformed, or given twice in a deck. Both points of a doubled id are faulty: nobody can
    tell whose history is whose."""
    first: dict[str, Point] = {}
    for point in (asked.point for asked in material.asked if asked.point.id):
        before = first.setdefault(point.id, point)
        if not _ID.fullmatch(point.id):
            message = f"id `{shown(point.id)}` is malformed"
            yield finding("bad-id", point.place, message, "use letters, digits, `-` and `_` only")
            point.faulty = True
        elif before is not point:
            message = f"id `{point.id}` is given twice, first in {where(before)}"
            yield finding("bad-id", point.place, message, "give each point an id of its own")
            point.faulty = before.faulty = True


def sources(material: Material) -> Iterator[Finding]:
    """`no-citation`: a critical point or a limit that names no source. The record's authority cites the manual as a
    whole: enough for a limit, not for a critical point."""
    for point in (asked.point for asked in material.live if not asked.point.cite):
        name = f"{named(point)} names no source"
        if point.critical:
            yield finding("no-citation", point.place, f"critical {point.kind} {name}", _CRITICAL)
        elif point.kind == "limit" and not material.record.authority:
            yield finding("no-citation", point.place, f"limit {name}", _LIMIT)


def length(material: Material) -> Iterator[Finding]:
    """`overlong-flow`, `overlong-answer`: more than one recall can hold. One finding a point, for its longest answer;
    of a set, for its longest member. A point that is longer than a store keeps is faulty."""
    for asked in material.live:
        point = asked.point
        if max(map(_characters, asked.cards), default=0) > LONGEST:
            point.faulty = True  # no other store would take it in
            what = f"{point.kind} {named(point)} holds more than 1 MiB of text"
            yield finding("overlong-answer", point.place, what, _ANSWER)
            continue
        steps = len(point.parts) if point.kind == "flow" else 0
        words = _most_words(asked)
        if steps > MOST_STEPS:
            yield finding("overlong-flow", point.place, f"flow {named(point)} has {steps} steps", _FLOW)
        elif words > MOST_WORDS:
            what = f"{point.kind} {named(point)} has an answer of {words} words"
            yield finding("overlong-answer", point.place, what, _ANSWER)


def _characters(card: Card) -> int:
    said = (card.prompt, card.subject, card.condition, card.why, card.cite, *card.topic, *card.answer.texts)
    return sum(map(len, said)) + sum(len(text) for pair in card.extra for text in pair)


def _most_words(asked: Asked) -> int:
    answers = (text for card in asked.cards if not card.answer.ordered for text in card.answer.texts)
    return max((len(text.split()) for text in answers if len(text) > MOST_WORDS), default=0)
