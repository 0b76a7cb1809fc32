"""What may help with a card that is missed again and again, and what the notes say where they are at hand."""

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from recall.base.text import count
from recall.kinds.model import Card
from recall.session import tell
from recall.session.desk import Desk, waits
from recall.session.model import Kept
from recall.session.order import Waiting
from recall.session.view import HELPS, Line

if TYPE_CHECKING:
    from recall.session.sitting import Sitting

OFTEN = 4
"""Days on which a card was missed, from which on its question alone doesn't help."""


class Notes:
    """What the notes say, where they are at hand; here they aren't."""

    def lines(self, card: Card) -> Sequence[tuple[int, str]]:
        """The lines around a card, numbered."""
        return ()

    def page(self, decks: Sequence[str], topic: str) -> Sequence[Line]:
        """What a sheet says of a topic."""
        return ()


def offered(desk: Desk, kept: Kept, asked: Collection[str]) -> tuple[str, ...]:
    """What may help with a card that was just missed on its fourth day; nothing before and after. asked: cards of the
    sitting."""
    known = desk.store.known(kept.card.id)
    if kept.right or not kept.first or known.asked - known.right != OFTEN:
        return ()
    may = {"beside": twin(desk, kept), "others": others(desk, kept.card, asked)}
    return tuple(one for one in HELPS if may.get(one, True))


def others(desk: Desk, card: Card, asked: Collection[str]) -> list[Waiting]:
    """The other cards of its point, but for those asked."""
    found = desk.store.beside(card.id)
    return [waits(known, unasked=known.memory is None) for known in found if known.id not in asked]


def twin(desk: Desk, kept: Kept) -> Card | None:
    """The card that it is most taken for: by this answer, by the person's earlier ones, then by its looks."""
    near = [*(card.id for card in desk.answered_instead(kept)), *desk.near(kept.card.id)]
    which = f"asking = 1 AND id IN ({', '.join('?' * len(near))})"
    here = {other for (other,) in desk.store.rows(f"SELECT id FROM card WHERE {which}", near)}
    return next((desk.store.card(one) for one in near if one in here), None)


def take(sitting: "Sitting", which: str, text: str) -> tuple[Line, ...]:
    """Take a help for the last card; what it says."""
    card = sitting.kept[-1].card
    if which == "remark":
        if text.strip():
            sitting.desk.store.remark(card.id, text.strip())
            return (Line("note", f"Kept, and told with the answer from now on: {text.strip()}"),)
        return (Line("note", "Nothing was typed, so there is no remark."),)
    if which == "beside":
        other = twin(sitting.desk, sitting.kept[-1])
        put = sitting.question if sitting.phase == "asking" else None
        if other is not None and put is not None and put.id == other.id:
            return (Line("note", "It is taken for what is asked now: answer that first."),)
        return () if other is None else tuple(tell.beside(card, other))
    first = others(sitting.desk, card, {one.card.id for one in sitting.kept})
    sitting.course.order.bring(first)
    return (Line("note", f"{count(len(first), 'other card')} of its point first."),)
