"""Reviews as statements for a training organisation's record store (Experience API 1.0.3, ADL)."""

import hashlib
import json
import uuid
from collections.abc import Collection, Iterator
from functools import cache, partial
from typing import Any

from recall import __version__
from recall.base.errors import RecallError
from recall.base.marks import MARKS
from recall.kinds.model import Card
from recall.store import Store
from recall.store.answers import given

HOME = "https://recall.invalid"
"""Where accounts and activities are named. No such place is ever reached: `.invalid` is kept free by RFC 2606."""
VERB = {"id": "http://adlnet.gov/expapi/verbs/answered", "display": {"en": "answered"}}
QUESTION = "http://adlnet.gov/expapi/activities/cmi.interaction"
COURSE = "http://adlnet.gov/expapi/activities/course"
_NAMES = uuid.UUID("0c0c9a30-27f5-4c57-8ac8-0a5f8a7c3f10")


def statements(store: Store, decks: Collection[str] = (), name: str = "") -> Iterator[dict[str, Any]]:
    """A statement a review, in order; undone ones are left out. decks: slugs, empty for all; name: the person's,
    withheld where it is empty: then an account stands for them that tells nothing."""
    person = person_of(store)
    actor: dict[str, Any] = {"objectType": "Agent", "account": {"homePage": HOME, "name": person}}
    if name:
        actor["name"] = name
    card_of = cache(partial(_card, store))
    for event in given(store):
        if not decks or event["deck"] in decks:
            yield _statement(event, actor, card_of(event["card"]))


def person_of(store: Store) -> str:
    """A name for the store's person that tells nothing of them, and stays the same on all their devices."""
    first = min((said["person"] for _, said in store.told("person joined")), default="")
    return hashlib.sha256(f"person {first}".encode()).hexdigest()[:20]


def _card(store: Store, card: str) -> Card | None:
    try:
        return store.card(card)
    except RecallError:
        return None


def _interaction(card: Card | None) -> str:
    """The standard's type; `other` for answers that follow no pattern of it."""
    if card is None or not card.answer.typed or card.answer.drawn:
        return "other"
    if card.answer.ordered:
        return "long-fill-in"
    return "other" if card.answer.several else "fill-in"


def _statement(event: dict[str, Any], actor: dict[str, Any], card: Card | None) -> dict[str, Any]:
    deck = f"{HOME}/deck/{event['deck']}"
    definition: dict[str, Any] = {"type": QUESTION, "interactionType": _interaction(card)}
    if card is not None:
        definition["name"] = {"en": f"{' / '.join(card.topic)}: {card.subject}, {card.aspect}"}
        definition["description"] = {"en": card.prompt}
    told = {
        "mark": MARKS[event["mark"] - 1],
        "overruled": event["overruled"],
        "marked-by": event["marked_by"],
    }
    result: dict[str, Any] = {
        "success": event["mark"] > 1,
        "completion": True,
        "extensions": {f"{HOME}/{name}": value for name, value in told.items()},
    }
    if event.get("given"):
        result["response"] = event["given"]
    if event.get("seconds") is not None:
        result["duration"] = f"PT{max(0.0, event['seconds']):.2f}S"
    course = {"type": COURSE, "name": {"en": event["deck"]}}
    context: dict[str, Any] = {
        "platform": f"recall {__version__}",
        "contextActivities": {"parent": [{"objectType": "Activity", "id": deck, "definition": course}]},
        "extensions": {f"{HOME}/mode": event["mode"], f"{HOME}/day": event["day"]},
    }
    if event.get("revision"):
        context["revision"] = event["revision"]
    return {
        "id": str(uuid.uuid5(_NAMES, event["id"])),
        "actor": actor,
        "verb": VERB,
        "object": {"objectType": "Activity", "id": f"{deck}/card/{event['card']}", "definition": definition},
        "result": result,
        "context": context,
        "timestamp": event["at"],
        "version": "1.0.3",
    }


def as_batch(found: Iterator[dict[str, Any]]) -> Iterator[str]:
    """One JSON array, as a record store takes a batch, a statement a line."""
    yield "[\n"
    for number, statement in enumerate(found):
        yield (",\n" if number else "") + json.dumps(statement, ensure_ascii=False)
    yield "\n]\n"
