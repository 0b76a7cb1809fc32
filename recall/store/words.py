"""Words of a deck: whether one stands in it, whose answer was given instead of another's, what looks alike."""

import json
from collections.abc import Iterator, Sequence

from recall.base.text import key_form, words_of
from recall.kinds.model import Card
from recall.store.core import Core

_AT_ONCE = 500


def texts_with(core: Core, deck: str, words: str) -> Iterator[str]:
    """What cards of the deck ask, answer, tell as topic or reason, where those words may stand in one of them."""
    # SQLite folds the case of ASCII letters only: others stand for any.
    like = "%" + "".join(sign if sign.isalnum() and sign.isascii() else "%" for sign in words) + "%"
    for (text,) in core.db.execute(
        "SELECT text.card FROM card JOIN text ON hash = text"
        " WHERE card.deck = ? AND present = 1 AND text.card LIKE ?",
        [deck, like],
    ):
        yield from _texts_of(text)


def _texts_of(wording: str) -> Iterator[str]:
    """What a card asks, answers, tells as topic or reason."""
    card = json.loads(wording)
    yield from (
        card["subject"],
        card["condition"],
        card["prompt"],
        card["why"],
        *card["answer"],
        *card["topic"],
    )


def knows(core: Core, deck: str, word: str) -> bool:
    """Whether a word, case folded, stands in the deck."""
    current = core.one("SELECT current FROM deck WHERE slug = ?", [deck]) or ""
    found = core.rows(
        "SELECT instr(value, ?) FROM local WHERE name = ? AND substr(value, 1, ?) = ?",
        [f" {word} ", f"words {deck}", len(current), current],
    )
    return bool(found[0][0]) if found else f" {word} " in keep_words(core, deck)


def keep_words(core: Core, deck: str) -> str:
    """Keep the words of a deck beside the load that they are of, so that one is found without reading the cards; they
    are read anew when another load comes into force."""
    texts: set[str] = set()
    for (text,) in core.db.execute(
        "SELECT text.card FROM card JOIN text ON hash = text WHERE card.deck = ? AND present = 1", [deck]
    ):
        texts.update(_texts_of(text))
    words = {word for text in texts for word in words_of(text)}
    current = core.one("SELECT current FROM deck WHERE slug = ?", [deck]) or ""
    value = f"{current} {' '.join(sorted(words))} "
    with core.writing():
        core.set_local(f"words {deck}", value)
    return value


def abbreviations(core: Core, deck: str) -> dict[str, tuple[str, ...]]:
    """The deck's abbreviations as they are written, with their meanings."""
    rows = core.rows(
        "SELECT text.card FROM card JOIN text ON hash = text"
        " WHERE deck = ? AND present = 1 AND kind = 'abbreviation' AND aspect = 'meaning'",
        [deck],
    )
    cards = (json.loads(text) for (text,) in rows)
    return {card["subject"]: tuple(card["answer"]) for card in cards}


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
