"""The cards of a published revision as they are asked: written into it, and read back strictly.

`cards.jsonl` begins with a line that names its format and says what holds for all: the deck's record, a digest of the
notes and one of the program that read them. Then comes a line a card: the key that its id is the hash of, what stands
beside its wording in a store, and the wording itself, letter for letter. What is under the signature is what is
asked, on every version that knows the format; the notes in the file are for reading.
"""

import json
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date

from recall.base.errors import UnverifiedError
from recall.base.text import canonical, digest
from recall.deck.model import Deck
from recall.kinds.model import Card
from recall.kinds.wording import name_of, read_wording
from recall.store.loads import Content, head_of
from recall.store.needs import NEEDS
from recall.store.revisions import Listed

CARDS = "cards.jsonl"
FORMAT = 1
"""Raised when a version that knows only the format before would ask or mark otherwise what is in the file."""
_HELP = "ask whoever published it"
_WORDING = ',"wording":'
_BESIDE = {"also", "hash", "key", "line", "point", "source"}
_HEAD = {"deck", "revision", "effective", "formerly", "record", "notes", "reading"}

Known = Callable[[Collection[str]], Collection[str]]
"""Which of some wordings, by their hash, a store has already."""


def cards_file(deck: Deck) -> bytes:
    """The cards of a deck as they are published: lines that end in a line feed."""
    head = {"format": FORMAT, **head_of(deck.record), "notes": deck.notes, "reading": deck.reading}
    return "".join(f"{line}\n" for line in (canonical(head), *map(_line, deck.cards))).encode()


def _line(card: Card) -> str:
    beside = {
        "also": card.also,
        "hash": card.answer_hash,
        "key": card.key,
        "line": card.line,
        "point": card.point,
        "source": card.source,
    }
    wording = replace(card, line=0, also=(), source="", key=()).to_json()
    return f"{canonical(beside)[:-1]}{_WORDING}{wording}}}"


def format_of(content: bytes) -> int | None:
    """The format of a file of cards; None for one of before there were formats."""
    try:
        head = json.loads(content.partition(b"\n")[0])
    except (ValueError, RecursionError):
        return None
    found = head.get("format") if isinstance(head, dict) else None
    if found is not None and (type(found) is not int or found != FORMAT):
        raise UnverifiedError(
            f"its cards are in a format that this version doesn't know (`{str(found)[:20]}`)",
            "use a later version of recall",
        )
    return found


def read_cards(
    content: bytes,
    today: date,
    place: str,
    fingerprint: str,
    known: Known,
    renamed: Mapping[str, str] | None = None,
) -> Content:
    """What the event of a load will say of the cards of a file. known: wordings that needn't be read again; renamed:
    ids of cards that go on from others.

    Raises UnverifiedError for anything that `cards_file` wouldn't write.
    """
    at = 1
    try:
        first, *lines = content.decode().removesuffix("\n").split("\n")
        head = json.loads(first)
        if head.keys() != _HEAD | {"format"}:
            raise ValueError("its head isn't what it must be")
        said = {name: head[name] for name in _HEAD - {"notes", "reading"}}
        slug = said["deck"]
        parted = []
        for at, line in enumerate(lines, start=2):  # noqa: B007
            parted.append(_parted(line, slug))
        here = set(known({card.text for card, *_ in parted}))
        texts, faces, points = {}, {}, {}
        for at, (card, point, wording) in enumerate(parted, start=2):  # noqa: B007
            if card.id in points:
                raise ValueError("a card is listed twice")
            points[card.id] = point
            if card.text in here:
                if f'"id":"{card.id}"' not in wording or f'"answer_hash":"{card.answer}"' not in wording:
                    raise ValueError("its wording is another card's")
            else:
                faces[card.text] = _face(card, point, slug, wording)
            texts[card.text] = wording
        at = 1
        by = {"day": today.toordinal(), "notes": head["notes"], "reading": head["reading"]}
        paused: dict[str, list[str]] = {"paused_points": [], "paused_files": []}
        said |= {"renamed": dict(renamed)} if renamed else {}
        found = Content.of(
            said | paused, [card for card, *_ in parted], texts, faces, points, place, fingerprint, **by
        )
        for name, value in found.fields.items():
            if not NEEDS["deck loaded"][name].fits(value):
                raise ValueError(f"its `{name}` isn't {NEEDS['deck loaded'][name].right}")
        if any(found.fields["record"].get(name) != said[name] for name in ("deck", "revision", "formerly")):
            raise ValueError("its record is another deck's")
    except (AttributeError, KeyError, TypeError, ValueError, RecursionError) as fault:
        raise UnverifiedError(f"`{CARDS}` line {at} can't be read: {fault}", _HELP) from fault
    return found


def _parted(line: str, slug: str) -> tuple[Listed, str, str]:
    """A card as it is listed, its point, its wording."""
    at = line.find(_WORDING)
    if at < 0 or not line.endswith("}"):
        raise ValueError("it has no wording")
    beside, wording = json.loads(f"{line[:at]}}}"), line[at + len(_WORDING) : -1]
    if beside.keys() != _BESIDE:
        raise ValueError("it isn't what a card's line says")
    key, also = beside["key"], beside["also"]
    if not (isinstance(key, list) and key and all(isinstance(part, str) for part in key)):
        raise ValueError("its key isn't a list of texts")
    id, text = digest((slug, *key)), digest((wording,))
    return (
        Listed(id, beside["hash"], text, beside["line"], beside["source"], tuple(also)),
        beside["point"],
        wording,
    )


def _face(card: Listed, point: str, slug: str, wording: str) -> Card:
    """A wording that is read for the first time."""
    plain = json.loads(wording)
    face = read_wording(plain)
    if (face.id, face.answer_hash, face.point, face.deck) != (card.id, card.answer, point, slug):
        raise ValueError("its wording is another card's")
    if face.line or name_of(plain) != card.text:
        raise ValueError("its wording isn't written as wordings are")
    return face


def whole_deck(content: Content, deck: Deck) -> Deck:
    """The deck of a content with all its cards. deck: all of it but those."""
    fields = content.fields
    faces = {name: content.faces.get(name) or Card.from_json(text) for name, text in content.texts.items()}
    sources: Iterable[str] = fields.get("sources") or [""] * len(fields["cards"])
    cards = (
        replace(faces[text], line=line, source=source)
        for (_, _, text, line), source in zip(fields["cards"], sources, strict=True)
    )
    return replace(deck, cards=tuple(cards), notes=fields["notes"], reading=fields["reading"])
