"""Words of a deck: whether one stands in it, whose answer was given instead of another's, what looks alike."""

import json
from collections.abc import Sequence

from recall.base.text import key_form, words_of
from recall.kinds.model import Card
from recall.store.core import Core

_AT_ONCE = 500


def knows(core: Core, deck: str, word: str) -> bool:
    """Whether a word, case folded, stands in the deck: in what a card asks, its answer, topic or reason."""
    # SQLite folds the case of ASCII letters only: others stand for any.
    like = "%" + "".join(letter if letter.isalnum() and letter.isascii() else "%" for letter in word) + "%"
    for (text,) in core.db.execute(
        "SELECT text.card FROM card JOIN text ON hash = text"
        " WHERE card.deck = ? AND present = 1 AND text.card LIKE ?",
        [deck, like],
    ):
        card = Card.from_json(text)
        said = (card.subject, card.condition, card.prompt, card.why, *card.answer.texts, *card.topic)
        if any(word in words_of(part) for part in said):
            return True
    return False


def answered_elsewhere(core: Core, card: Card, given: str) -> list[Card]:
    """The one or two cards of the same kind and aspect whose right answer was given; none where there are more."""
    form = key_form(given)
    rows = core.rows(
        "SELECT text.card FROM card JOIN text ON hash = text WHERE form = ? AND form <> '' AND kind = ?"
        " AND aspect = ? AND asking = 1 AND id <> ? ORDER BY deck <> ?, rank LIMIT 3",
        [form, card.kind, card.aspect, card.id, card.deck],
    )
    return [Card.from_json(text) for (text,) in rows] if len(rows) < 3 else []


def look_alikes(core: Core, cards: Sequence[str]) -> dict[str, frozenset[str]]:
    """Of some cards, those that invite confusion with others, and with which."""
    near: dict[str, frozenset[str]] = {}
    for at in range(0, len(cards), _AT_ONCE):
        some = cards[at : at + _AT_ONCE]
        rows = core.rows(
            "SELECT id, json_extract(text.card, '$.data.near') FROM card JOIN text ON hash = text"
            f" WHERE id IN ({', '.join('?' * len(some))}) AND instr(text.card, '\"near\":[') > 0",
            some,
        )
        near |= {card: frozenset(json.loads(others)) for card, others in rows if others}
    return near
