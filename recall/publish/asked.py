"""The cards of a published revision as they are asked: written into it, and read back strictly.

`cards.jsonl` begins with a line that names its format and says what holds for all: the deck's record, a digest of the
notes and one of the program that read them. Then comes a line a card: the key that its id is the hash of, what stands
beside its wording in a store, and the wording itself, letter for letter. What is under the signature is what is
asked, on every version that knows the format; the notes in the file are for reading.
"""

import json
from collections.abc import Callable
from datetime import date
from functools import lru_cache
from io import BytesIO

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.errors import UnverifiedError
from recall.base.text import canonical, digest, fields_of, hashed, joined
from recall.deck.model import Deck, Record, Source
from recall.kinds.model import Card
from recall.kinds.wording import LONGEST, WRITTEN_LIST, WRITTEN_WORDING, Face, glance, read_wording, texts_in
from recall.publish.revision import Verified, naming
from recall.store.loads import Content, head_of
from recall.store.needs import NEEDS
from recall.store.revisions import Listed

CARDS = "cards.jsonl"
FORMAT = 1
"""Raised when a version that knows only the format before would ask or mark otherwise what is in the file."""
_HELP = "ask whoever published it"
_WORDING = ',"wording":'
_NAME = "[0-9a-f]{20}"
_NAMES = rf'\[((?:"(?:{_NAME})?"(?:,"(?:{_NAME})?")*)?)\]'
_LINE = re.compile(
    rf'\{{"also":{_NAMES},"hash":"({_NAME})","key":{WRITTEN_LIST},"line":(0|[1-9][0-9]{{0,8}}),"point":"({_NAME})"'
    rf',"source":"((?:{_NAME})?)"{_WORDING}({WRITTEN_WORDING})\}}\n'
)
"""A card's line, letter for letter as it is written."""
_BESIDE = {"also", "hash", "key", "line", "point", "source"}
_HEAD = {"deck", "revision", "effective", "formerly", "record", "notes", "reading"}


def cards_file(deck: Deck) -> bytes:
    """The cards of a deck as they are published: lines that end in a line feed."""
    head = {"format": FORMAT, **head_of(deck.record), "notes": deck.notes, "reading": deck.reading}
    return "".join(f"{line}\n" for line in (canonical(head), *map(_line, deck.cards))).encode()


def _line(card: Card) -> str:
    beside = {"hash": card.answer_hash, **fields_of(card, "also", "key", "line", "point", "source")}
    wording = replace(card, line=0, also=(), source="", key=()).to_json()
    return f"{canonical(beside)[:-1]}{_WORDING}{wording}}}"


def cards_of(file: Verified, today: date, known: Callable[[str], bool]) -> Content | None:
    """What the event of a load will say of the cards of a file; None for one of before there were formats.
    known: tells by its hash whether a wording needn't be read again.

    Raises UnverifiedError, which names the file, for anything that `cards_file` wouldn't write.
    """
    with naming(file.path):
        content = file.payload.get(CARDS, b"")
        return None if _format_of(content) is None else _read(file, content, today, known)


def _format_of(content: bytes) -> int | None:
    """The format of a file of cards; None for one of before there were formats."""
    try:
        head = json.loads(BytesIO(content).readline())
    except (ValueError, RecursionError):
        return None
    found = head.get("format") if isinstance(head, dict) else None
    if found is not None and (type(found) is not int or found != FORMAT):
        raise UnverifiedError(
            f"its cards are in a format that this version doesn't know (`{str(found)[:20]}`)",
            "use a later version of recall",
        )
    return found


def _read(file: Verified, content: bytes, today: date, known: Callable[[str], bool]) -> Content:
    at = 1
    try:
        written = content.decode()
        end = written.find("\n") + 1 or len(written)
        head = json.loads(written[:end])
        if head.keys() != _HEAD | {"format"}:
            raise ValueError("its head isn't what it must be")
        said = {name: head[name] for name in _HEAD - {"notes", "reading"}}
        slug = said["deck"]
        cards: list[Listed] = []
        texts: dict[str, str] = {}
        points: dict[str, str] = {}
        faces: dict[str, Face] = {}
        read: dict[tuple[str, ...], str] = {}
        while found := _LINE.match(written, end):
            at += 1
            end = found.end()
            also, answer, key, row, point, source, wording, *parts = found.groups()
            right, hash, applies, aspect, critical, data, deck, note, form, own, kind, owner, topic = parts
            id, text = _id(slug, key), hashed(f"{len(wording)}:{wording}")
            if id != own or answer != hash or point != owner:
                raise ValueError("its wording is another card's")
            cards.append(Listed(id, answer, text, int(row), source, tuple(texts_in(also)) if also else ()))
            points[id], texts[text] = point, wording
            if len(points) < len(cards):
                raise ValueError("a card is listed twice")
            if known(text):
                continue
            # Of wordings with one answer one is read: the others can be asked as well.
            form_of = read.get(made_of := (form, aspect, right, data))
            if form_of is None or len(wording) > LONGEST:
                form_of = read[made_of] = glance(wording)
            if deck != slug:
                raise ValueError("its wording is another deck's")
            if "\\" in wording:
                kind, aspect, applies, note = texts_in(f'"{kind}","{aspect}","{applies}","{note}"')
            must = 1 if critical == "true" else 0
            faces[text] = Face(slug, point, kind, aspect, topic, applies, note, must, form_of)
        if end < len(written):
            at += 1
            raise ValueError(_why(written[end:].partition("\n")[0]))
        at = 1
        by = {"day": today.toordinal(), "notes": head["notes"], "reading": head["reading"]}
        paused: dict[str, list[str]] = {"paused_points": [], "paused_files": []}
        said |= {"renamed": dict(file.renamed)} if file.renamed else {}
        place = str(file.path.resolve())
        made = Content.of(said | paused, cards, texts, {}, points, place, file.mark, **by)
        made.looks = faces
        for name, value in made.fields.items():
            NEEDS["deck loaded"][name].check(name, value)
        if any(made.fields["record"].get(name) != said[name] for name in ("deck", "revision", "formerly")):
            raise ValueError("its record is another deck's")
    except (AttributeError, KeyError, TypeError, ValueError, RecursionError) as fault:
        raise UnverifiedError(f"`{CARDS}` line {at} can't be read: {fault}", _HELP) from fault
    if (said["deck"], said["revision"]) != (file.slug, file.revision):
        raise UnverifiedError("its cards are of another deck or revision than its name says", _HELP)
    return made


def _id(slug: str, key: str) -> str:
    """The id that a deck's name and the group of a key make. The cards of one point differ in the last text alone."""
    start, parted, last = key.rpartition('","')
    if not parted or "\\" in key:
        return digest((slug, *texts_in(key)))
    return hashed(f"{_started(slug, start)}{len(last) - 1}:{last[:-1]}")


@lru_cache(maxsize=1)
def _started(slug: str, start: str) -> str:
    return joined((slug, *texts_in(f'{start}"')))


def _why(line: str) -> str:
    """What is wrong with a line that isn't a card's."""
    plain = json.loads(line)
    if not isinstance(plain, dict) or plain.keys() != _BESIDE | {"wording"}:
        return "it isn't what a card's line says"
    read_wording(plain["wording"])
    return "it isn't written as a card's line is"


def whole_deck(content: Content, found: Verified) -> Deck:
    """The deck of a content of a verified file, with all its cards and no points."""
    fields = content.fields
    faces = {name: content.faces.get(name) or Card.from_json(text) for name, text in content.texts.items()}
    cards = (replace(faces[card.text], line=card.row, source=card.source) for card in content.cards)
    record = Record(found.slug, revision=found.revision)
    source = Source(found.path, found.notes(), found.path.as_posix())
    bare = Deck(record, (), tuple(cards), source, found.mark)
    return replace(bare, notes=fields["notes"], read_by=fields["reading"])
