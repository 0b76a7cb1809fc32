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


def ahead(store: Store, selection: Selection) -> dict[str, Any]:
    """What may come next, as plain data: how many cards of the selection are still `due`, how many `more` could be
    begun today beyond what the settings leave for it; `days` to the checkride that is set, None where none is to
    come."""
    target, today = target_of(store.settings()), store.today()
    days = (target.on - today).days if target is not None and target.on >= today else None
    more = len(unasked_of(store, selection)) - store.unasked_left_today()
    return {"due": len(due_of(store, selection)), "more": max(0, more), "days": days}
