"""What a sitting leaves behind at each step, and how another run of the program goes on from it."""

import random
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from recall.answers import Verdict
from recall.base.dataclass import replace
from recall.base.text import count
from recall.session.model import Kept
from recall.session.view import Line

if TYPE_CHECKING:
    from recall.session.sitting import Sitting


def note_of(sitting: "Sitting") -> dict[str, Any] | None:
    """What is needed to go on beside the answers that are kept, as plain data; None once it is over."""
    if sitting.phase == "over":
        return None
    note = {
        "id": sitting.id,
        "day": sitting.desk.store.today().isoformat(),
        "scope": dict(sitting.scope),
        "step": sitting.step,
        "gone": sitting.course.gone,
        "card": sitting.waiting.card if sitting.waiting is not None else None,
        "marking": sitting.phase == "marking",
        "given": sitting.given,
        "seconds": sitting.seconds,
        "stopped": sitting.stopped,
    }
    if sitting.drawn is not None:
        said = [(kept.event, kept.given, kept.seconds) for kept in sitting.kept]
        note |= {"drawn": sitting.drawn.plain(), "said": said}
    return note


def go_on(sitting: "Sitting", note: Mapping[str, Any]) -> None:
    """Take up the answers kept and the question that was put."""
    order = sitting.course.order
    sitting.step, sitting.course.before, sitting.stopped = note["step"], note["gone"], note["stopped"]
    sitting.kept = sitting.desk.answers_of(sitting.id)
    if sitting.drawn is not None:
        sitting.kept = _said(sitting, note["said"])
    sitting.kept = [replace(kept, returns=order.go_on(kept.waiting, kept.again)) for kept in sitting.kept]
    after = f", after {count(len(sitting.kept), 'answer')}" if sitting.kept else ""
    sitting.told.append(Line("head", f"Going on where it was left{after}."))
    if (waiting := order.take(note["card"])) is None:
        sitting.step += not note["marking"]  # an outcome that stood is passed over
        sitting.ask()
        return
    order.put_now(waiting)
    sitting.pose(waiting)
    sitting.given, sitting.seconds = note["given"], note["seconds"]
    if note["marking"]:
        sitting.phase = "marking"


def _said(sitting: "Sitting", said: Sequence[Any]) -> list[Kept]:
    """An oral's answers in the order of the draw; prose waits for its mark."""
    events = {kept.event: kept for kept in sitting.kept}
    found = []
    for event, given, seconds in said:
        waiting = sitting.course.order.waiting.pop(0)
        if event in events:
            found.append(replace(events[event], waiting=waiting))
        else:
            card = sitting.desk.put(waiting, random.Random(0), sitting.drawn)
            found.append(Kept(waiting, card, given, Verdict(None), None, seconds=seconds))
    return found
