"""Words of a deck: whether one stands in it, whose answer was given instead of another's, what looks alike."""

import json
from collections.abc import Iterator

from recall.base.text import key_form, words_of
from recall.kinds.model import Card
from recall.store.core import Core

_BEGINS = 4
"""So many letters of a word are the same in each spelling of it."""


def texts_with(core: Core, deck: str, words: str) -> Iterator[str]:
    """What cards of the deck name (subject, condition, answer, topic) where those words may stand in one of them."""
    names, at = _kept(core, "names", deck), 0
    while (at := names.find(f" {words[:_BEGINS]}", at + 1)) >= 0:
        end = names.find("\n", at)
        yield names[names.rfind("\n", 0, at) + 1 : end].strip()
        at = end - 1


def knows(core: Core, deck: str, word: str) -> bool:
    """Whether a word, case folded, stands in the deck."""
    return f" {word} " in _kept(core, "words", deck)


def _kept(core: Core, what: str, deck: str) -> str:
    """The `words` of a deck, or its `names`, a line each, kept beside the load that they are of, so that one is found
    without reading the cards; they are read anew when another load comes into force."""
    current = core.one("SELECT current FROM deck WHERE slug = ?", [deck]) or ""
    load, _, kept = (core.local(f"{what} {deck}") or "").partition("\n")
    return kept if load == current and kept else keep_words(core, deck)[what]


def keep_words(core: Core, deck: str) -> dict[str, str]:
    """Keep the words and the names of a deck."""
    texts, names = set[str](), set[str]()
    for (text,) in core.db.execute(
        "SELECT text.card FROM card JOIN text ON hash = text WHERE card.deck = ? AND present = 1", [deck]
    ):
        card = json.loads(text)
        names.update((card["subject"], card["condition"], *card["answer"], *card["topic"]))
        texts.update((card["prompt"], card["why"]))
    words = {word for text in texts | names for word in words_of(text)}
    current = core.one("SELECT current FROM deck WHERE slug = ?", [deck]) or ""
    found = {
        "words": f" {' '.join(sorted(words))} ",
        "names": "".join(f" {' '.join(words_of(name))} \n" for name in sorted(names)),
    }
    with core.writing():
        for what, kept in found.items():
            core.set_local(f"{what} {deck}", f"{current}\n{kept}")
    return found


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


def look_alikes(core: Core, card: str) -> frozenset[str]:
    """The cards that invite confusion with one."""
    sql = "SELECT json_extract(text.card, '$.data.near') FROM card JOIN text ON hash = text WHERE id = ?"
    return frozenset(json.loads(core.one(sql, [card]) or "[]"))
