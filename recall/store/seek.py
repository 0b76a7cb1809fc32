"""Finding one card as a person names it: by its id, how that begins, or words of its question."""

from collections.abc import Callable, Iterable

from recall.base.errors import RecallError
from recall.base.text import key_form, one_line, words_of
from recall.kinds.model import Card
from recall.store.core import Core

SHORT = 8
"""Characters of an id that are shown."""
_MOST = 5


def short_ids(ids: Iterable[str]) -> dict[str, str]:
    """Each id cut to as few characters as tell it from the others, `SHORT` at least."""
    ids = list(ids)
    length = SHORT
    while len({id[:length] for id in ids}) < len(set(ids)):
        length += 1
    return {id: id[:length] for id in ids}


def seek(core: Core, named: str) -> str:
    """The id of the one card that is meant. Raises RecallError for none, and with those near it for several."""
    begins = named.strip().lower()
    if not begins:
        raise RecallError("no card was named", "name its id, or words of its question")
    found = _cards(core, "WHERE id >= ? AND id < ?", begins, begins + "g")
    cards = [card for card in found if card.id == begins] or found or _named(core, named)
    if not cards:
        raise RecallError(f"there is no card `{named}`", "`recall cards PATH` shows the cards with their ids")
    if len(cards) == 1:
        return cards[0].id
    short = short_ids(card.id for card in cards)
    told = [f"{short[card.id]} {one_line(card.prompt)}" for card in cards[:_MOST]]
    more = [f"and {len(cards) - _MOST} more"] if len(cards) > _MOST else []
    raise RecallError(f"`{named}` fits {len(cards)} cards", "name one by its id: " + "; ".join(told + more))


def _cards(core: Core, which: str, *parameters: object) -> list[Card]:
    """Wordings in the order of the notes."""
    sql = f"SELECT text.card FROM card JOIN text ON hash = text {which} ORDER BY deck, rank"
    return [Card.from_json(text) for (text,) in core.rows(sql, parameters)]


def _named(core: Core, named: str) -> list[Card]:
    """The cards that words fit: those that say just that, else those that hold them all; present ones first."""
    form, words = key_form(named), set(words_of(named))
    tests: tuple[Callable[[Card], bool], ...] = (
        lambda card: key_form(card.prompt) == form,
        lambda card: key_form(card.subject) == form,
        lambda card: bool(words) and words <= {*words_of(card.prompt), *words_of(card.subject)},
    )
    for which in ("WHERE present = 1", "WHERE present = 0"):
        cards = _cards(core, which)
        for fits in tests:
            if found := [card for card in cards if fits(card)]:
                return found
    return []
