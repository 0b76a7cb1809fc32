"""What a review brought, and what may come next."""

from collections.abc import Sequence
from typing import Any

from recall.base.text import count
from recall.session.desk import Selection, due_of, unasked_of
from recall.session.model import Kept
from recall.session.target import target_of
from recall.store import Store


def brought(kept: Sequence[Kept], seconds: float) -> dict[str, Any]:
    """As plain data: a sentence of it (`said`), answers, cards, right ones, seconds; cards `learned` (right, asked
    for the first time) by their questions; `missed` ones with their answers, and whether they were right in the
    end."""
    last = {one.card.id: one for one in kept}
    missed = {one.card.id for one in kept if not one.right}
    minutes = f", {max(1, round(seconds / 60))} min" if seconds >= 1 else ""
    right = sum(one.right for one in kept)
    said = f"{count(len(kept), 'answer')} on {count(len(last), 'card')}, {right} right{minutes}."
    return {
        "said": said if kept else "Nothing was asked.",
        "answers": len(kept),
        "cards": len(last),
        "right": right,
        "seconds": seconds,
        "claimed": sum(one.claimed for one in kept),
        "learned": [
            one.card.prompt for one in kept if one.first and one.waiting.unasked and one.card.id not in missed
        ],
        "missed": [
            {"prompt": one.card.prompt, "answer": list(one.card.answer.texts), "mended": one.right}
            for card, one in last.items()
            if card in missed
        ],
    }


def ahead(store: Store, selection: Selection, planned: float | None = None) -> dict[str, Any]:
    """What may come next, as plain data: `next`, sentences each with what a terminal says behind it; how many `more`
    could be begun today beyond what it has time for. planned: minutes that a plan has left today."""
    target, today = target_of(store.settings()), store.today()
    unasked, room = len(unasked_of(store, selection)), store.unasked_left_today()
    waits, more = len(due_of(store, selection)) + min(unasked, room), max(0, unasked - room)
    found = []
    if planned is not None and planned >= 1:
        found.append((f"The plan has {planned:.0f} min more today", "`recall review --for-checkride`"))
    elif planned is None and waits:
        more_of = "`recall review`" if selection == Selection() else "go on with the same command"
        found.append((f"{count(waits, 'card still waits', 'cards still wait')} today", more_of))
    elif more:
        found.append((f"{more} more could be begun today", "`recall review --more`"))
    if target is not None and target.on >= today:
        days = (target.on - today).days
        left = f"{count(days, 'day')} to the checkride" if days else "The checkride is today"
        found.append((left, "`recall odds` says how you stand"))
    return {"next": found, "more": more}
