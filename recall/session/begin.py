"""Sittings begun from what a person asked for, which goes into plain data and back: so any front end goes on with
what another left off."""

import json
import random
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from recall.base.dataclass import asdict
from recall.session.course import Course
from recall.session.desk import Desk, Selection, order_of
from recall.session.end import ahead
from recall.session.helps import Notes
from recall.session.model import Mode, Today
from recall.session.oral import Drawn
from recall.session.sitting import Sitting
from recall.store import Store


def today_of(store: Store, chosen: Selection, *, reserve: bool = True) -> Today:
    """What a review would ask today. reserve: of a plan's day, time is kept for missed cards."""
    if not chosen.plan:
        return Today(order_of(store, chosen))
    from recall.session.planned import sitting_today

    return sitting_today(store, random.Random(str(store.today())), decks=chosen.decks, reserve=reserve)


def begin_review(
    store: Store, chosen: Selection, today: Today, notes: Notes, *, timed: bool = True
) -> Sitting:
    """A review of what today has; it goes on where one of the same selection was left off. timed: a plan's minutes
    end it."""
    minutes = chosen.minutes or (today.minutes if timed else None)
    each, desk = today.each or store.usual_seconds(), Desk(store)

    def next_up() -> dict[str, Any]:
        left = today.minutes - desk.spent() / 60 if chosen.plan and today.minutes is not None else None
        return ahead(store, chosen, left)

    return Sitting.begin(
        desk,
        Course(today.order, store.clock, minutes, chosen.cards, each),
        scope=asdict(chosen),
        mode=today.mode,
        pause=store.settings().wait_after,
        notes=notes,
        begins=_begun(store, chosen),
        ahead=next_up,
    )


def _begun(store: Store, chosen: Selection) -> str:
    """The topic that a review begins, where it has one and nothing of it was asked."""
    if chosen.topic is None:
        return ""
    asked = (known.asked for known in store.cards(decks=chosen.decks, topic=chosen.topic))
    return chosen.topic if not any(asked) else ""


def oral_scope(decks: Sequence[str] | None, questions: int | None, examiner: bool) -> dict[str, Any]:
    """What an oral was asked for, as a sitting's scope. decks: None for what the checkride asks."""
    return {"decks": None if decks is None else list(decks), "questions": questions, "examiner": examiner}


def oral_drawn(store: Store, scope: Mapping[str, Any], rng: random.Random) -> Drawn:
    """The questions of an oral: those of one that was left off today, or a fresh draw."""
    if left := Desk(store).left("oral", scope):
        return Drawn.of(left["drawn"])
    from recall.session.draw import draw_oral
    from recall.session.target import Scope

    decks = scope["decks"]
    return draw_oral(store, None if decks is None else Scope(tuple(decks)), rng, scope["questions"])


def begin_oral(store: Store, scope: Mapping[str, Any], drawn: Drawn, notes: Notes) -> Sitting:
    """A mock oral of these questions; it goes on where one of the same scope was left off."""
    return Sitting.begin(
        Desk(store),
        Course(drawn.order(), store.clock),
        scope=scope,
        mode="oral",
        drawn=drawn,
        examiner=bool(scope["examiner"]),
        notes=notes,
    )


def usual_aircraft(store: Store) -> frozenset[str]:
    """What whole decks apply to: it isn't said at each question."""
    return frozenset(str(deck.record.get("applies_to", "")) for deck in store.decks())


def cautions(store: Store) -> Iterator[str]:
    """What is said before one: decks past their date of review, and revisions that wait for their day."""
    today = store.today()
    for deck in store.decks():
        due = str(deck.record.get("review_by") or "")
        if due and date.fromisoformat(due) < today:
            yield f"Caution: {deck.slug} was to be looked over by {due}; ask whether it still holds."
        if deck.pending is not None:
            yield f"{deck.slug} has a revision that takes effect on {deck.pending}."


def left_today(store: Store, mode: Mode) -> dict[str, Any] | None:
    """The scope of the sitting that was left off today; None where there is none."""
    found = json.loads(store.local(Desk.kept_as(mode)) or "null")
    return found["scope"] if found and found["day"] == store.today().isoformat() else None
