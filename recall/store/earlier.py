"""What a load says of an earlier one whose event doesn't tell from what it was read.

Events of the first versions list no sources. Where the notes are byte for byte what this file loaded then, that is
said. Else a card whose answer is another one now was either changed in the notes or only read otherwise: it is taken
for the second where all it answered still stands in the piece of the notes that the new card was read from, and that
one says no word that no card of the earlier load said. The load
that finds this out writes it down, so that every device that has its event comes to the same.
"""

import hashlib
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from typing import Any

from recall.base import regex as re
from recall.base.text import key_form, words_of
from recall.deck.model import Deck
from recall.deck.source import whole_of
from recall.kinds.model import Card
from recall.store.core import Core
from recall.store.decks import look_up
from recall.store.loads import read_load, told_later
from recall.store.revisions import Loaded, revision_key

_MOST = 3
"""Earlier loads that are looked at."""
_READINGS = ("0.1.0/1", "0.1.0/2", "0.1.0/3")
"""How the versions that kept no sources named the way in which they read notes."""
_PARTED = re.compile(r"(?<=\d)[,\s\u2009\u202f](?=\d{3})")


def tell_earlier(
    core: Core, loads: Sequence[Loaded], revision: str, whole: Callable[[], Deck]
) -> dict[str, dict[str, Any]]:
    """Content of a load → what the event of this deck's load is to tell of it (see `Told`). loads: of its line;
    whole: the deck, where it is needed."""
    told = told_later(loads)
    newest = revision_key(revision)
    silent = {
        load.content: load
        for load in loads
        if not load.reading and load.content not in told and revision_key(load.revision) <= newest
    }
    latest = list(silent.values())[-_MOST:]
    if not latest:
        return {}
    deck = whole()
    loaded = _loaded_then(core, deck)
    return {
        load.content: {
            "notes": deck.notes if load.content in loaded else "",
            "sources": _sources(core, load, deck),
        }
        for load in latest
    }


def _loaded_then(core: Core, deck: Deck) -> set[str]:
    """The contents that earlier versions loaded from the very notes of this deck."""
    known = core.rows("SELECT load.content, fingerprint FROM source JOIN load ON load.id = source.load")
    path, source = deck.source.place, deck.source
    marks: set[str] = set()
    for way in _READINGS:
        if path.suffix.lower() == ".zip" and path.is_file():
            marks.add(hashlib.sha256(f"{way}\0".encode() + path.read_bytes()).hexdigest())
        else:
            marks.add(whole_of(source, way).hexdigest())
    return {content for content, mark in known if mark in marks}


def _sources(core: Core, load: Loaded, deck: Deck) -> dict[str, str]:
    """From what the cards of an earlier load were read, as far as that is sure."""
    now = {card.id: card for card in deck.cards}
    there: dict[tuple[str, int], list[Card]] = defaultdict(list)
    beside: dict[str, list[Card]] = defaultdict(list)
    for card in deck.cards:
        there[card.file, card.line].append(card)
        beside[card.point].append(card)
    faces: dict[str, Card] = {}
    found = {}
    listed = read_load(core, load, {}).cards
    known = {word for entry in listed for word in _words(look_up(core, faces, entry.text))}
    for entry in listed:
        own = now.get(entry.id)
        if own is not None and own.answer_hash == entry.answer:
            found[entry.id] = own.source
            continue
        old = look_up(core, faces, entry.text)
        likely = [own] if own is not None else there[old.file, entry.row] + beside[old.point]
        for card in likely:
            if card.source and _still_says(old, card, deck.pieces.get(card.source, ""), known):
                found[entry.id] = card.source
                break
        else:
            # What is worked out from several pieces, such as what stays alive, and isn't asked any more.
            stands = beside[old.point] if own is None else []
            if stands and _still_says(old, stands[0], _all_of(deck, old.kind), known):
                found[entry.id] = stands[0].source
    return found


def _all_of(deck: Deck, kind: str) -> str:
    return " ".join(
        deck.pieces.get(source, "") for source in {c.source for c in deck.cards if c.kind == kind}
    )


def _words(card: Card) -> Iterator[str]:
    beside = (part for pair in card.extra for part in pair)
    said = (card.prompt, card.subject, card.condition, card.why, card.cite)
    return (word for text in (*card.answer.texts, *said, *card.topic, *beside) for word in words_of(text))


def _still_says(old: Card, new: Card, piece: str, known: Collection[str]) -> bool:
    """Whether what a card answered stands in the notes that another one was read from, and that one answers with no
    word that is new. known: all words of the earlier load: one that was in none of its cards came with a change."""
    if old.answer.texts and [*map(key_form, old.answer.texts)] == [*map(key_form, new.answer.texts)]:
        return True
    if any(word.isalpha() and word not in known for text in new.answer.texts for word in words_of(text)):
        return False
    wording = " ".join(
        (piece, new.prompt, new.condition, *new.topic, *new.answer.texts, *_numbers(new.answer.data()))
    )
    there = set(words_of(wording)) | set(words_of(_PARTED.sub("", wording)))
    said = [*old.answer.texts, *(_numbers(old.answer.data()) if not old.answer.texts else ())]
    if old.id != new.id:
        said.append(old.subject)
    return bool(said) and all(there.issuperset(words_of(text)) for text in said)


def _numbers(data: Mapping[str, Any]) -> Iterator[str]:
    """The ends of a limit that a reading is drawn from."""
    for name, value in data.items():
        if name in ("low", "high") and value is not None:
            yield str(value)
        elif isinstance(value, Mapping):
            yield from _numbers(value)
        elif isinstance(value, list):
            for each in value:
                if isinstance(each, Mapping):
                    yield from _numbers(each)
