"""`deck loaded` events: what they say of a deck, and the loads of each line in their order."""

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import islice
from typing import Any

from recall.base.dataclass import asdict, dataclass, field, replace
from recall.base.text import canonical
from recall.deck.model import Deck, Record
from recall.kinds.model import Card, digest
from recall.kinds.wording import Face
from recall.store.core import Core, placed
from recall.store.events import writer_of
from recall.store.revisions import Listed, Load, Loaded, place_of


@dataclass(slots=True)
class Content:
    """A deck as its event tells it. fields: the event's own but for its lists; lists: what it says of each card, as
    JSON; texts: wording by hash, its line 0, as JSON; faces: the same read, as far as they were; points: by id of the
    card; place, fingerprint: of what it was read from, on this machine; looks: what the card table holds of each
    wording that the store doesn't know, where only that was read."""

    fields: dict[str, Any]
    lists: dict[str, str]
    cards: Sequence[Listed]
    texts: dict[str, str]
    faces: dict[str, Card]
    points: dict[str, str]
    place: str
    fingerprint: str
    looks: dict[str, Face] = field(default_factory=dict)

    @property
    def hash(self) -> str:
        """Digest of what it says, whoever read it and when."""
        return str(self.fields["content"])

    @classmethod
    def of(
        cls,
        said: Mapping[str, Any],
        cards: Sequence[Listed],
        texts: dict[str, str],
        faces: dict[str, Card],
        points: dict[str, str],
        place: str,
        fingerprint: str,
        **by: Any,
    ) -> "Content":
        """said: fields of the event but for its cards; by: fields that are no part of what it says."""
        lists = _lists(cards)
        parts = {name: json.dumps(value, sort_keys=True) for name, value in said.items()} | lists
        content = digest(("{" + ", ".join([f'"{name}": {parts[name]}' for name in sorted(parts)]) + "}",))
        fields = {**said, "content": content, **by}
        return cls(fields, lists, cards, texts, faces, points, place, fingerprint)

    def body(self) -> str:
        """The body of its event, as `row_of` writes one."""
        parts = {name: canonical(value) for name, value in self.fields.items() if name != "day"}
        parts |= {name: text.replace(", ", ",") for name, text in self.lists.items()}
        return "{" + ",".join([f'"{name}":{parts[name]}' for name in sorted(parts)]) + "}"


def _lists(cards: Sequence[Listed]) -> dict[str, str]:
    """What an event lists of each card, as JSON with a blank behind each comma: digits and names alone, which is
    several times faster than to have them written one by one."""
    listed = [f'["{id}", "{answer}", "{text}", {row}]' for id, answer, text, row, _, _ in cards]
    lists = {"cards": f"[{', '.join(listed)}]"}
    for name in ("sources", "also"):
        said = [getattr(card, name.removesuffix("s")) for card in cards]
        lists |= {name: json.dumps(said)} if any(said) else {}
    return lists


def content_of(deck: Deck, today: date, renamed: Mapping[str, str] | None = None) -> Content:
    """What a `deck loaded` event says of a deck. renamed: ids of cards that go on from others (new id → old id)."""
    faces: dict[str, Card] = {}
    texts: dict[str, str] = {}
    cards = []
    for card in deck.cards:
        face = replace(card, line=0, also=(), source="", key=())
        text = face.to_json()
        name = digest((text,))
        faces[name], texts[name] = face, text
        cards.append(Listed(card.id, card.answer_hash, name, card.line, card.source, card.also))
    said = {
        **head_of(deck.record),
        "paused_points": sorted(deck.paused_points),
        "paused_files": sorted(deck.paused_files),
        **({"renamed": dict(renamed)} if renamed else {}),
    }
    points = {card.id: card.point for card in deck.cards}
    place, mark = str(deck.source.place), deck.fingerprint
    by = {"day": today.toordinal(), "notes": deck.notes, "reading": deck.reading}
    return Content.of(said, cards, texts, faces, points, place, mark, **by)


def head_of(record: Record) -> dict[str, Any]:
    """What a `deck loaded` event says of a deck's record."""
    plain = asdict(record)
    for name in ("columns", "accept", "line"):
        del plain[name]
    if not plain["aircraft"]:
        del plain["aircraft"]
    effective = plain.pop("effective")
    return {
        "deck": record.deck,
        "revision": record.revision,
        "effective": None if effective is None else effective.isoformat(),
        "formerly": record.formerly,
        "record": json.loads(json.dumps(plain, default=str)),
    }


_AT_ONCE = 100
"""Wordings in one statement."""


def note_load(core: Core, event_id: str) -> str:
    """Take a `deck loaded` event into the table of loads; its deck's slug."""
    core.db.execute(
        "INSERT OR IGNORE INTO load SELECT id, json_extract(body, '$.deck'), json_extract(body, '$.revision'),"
        " json_extract(body, '$.effective'), json_extract(body, '$.formerly'), day,"
        " json_extract(body, '$.content'), coalesce(json_extract(body, '$.notes'), ''),"
        " coalesce(json_extract(body, '$.reading'), ''), coalesce(json_extract(body, '$.earlier'), '{}')"
        " FROM event WHERE id = ?",
        [event_id],
    )
    return str(core.one("SELECT deck FROM load WHERE id = ?", [event_id]))


def keep_wordings(core: Core, texts: Iterable[tuple[str, str]]) -> None:
    """Keep wordings, each behind its hash, that aren't here yet; inside a transaction."""
    left = iter(texts)
    while part := list(islice(left, _AT_ONCE)):
        sql = f"INSERT OR IGNORE INTO text (hash, card) VALUES {', '.join(['(?, ?)'] * len(part))}"
        core.db.execute(sql, [each for text in part for each in text])


def chains(core: Core) -> dict[str, tuple[str, ...]]:
    """Every deck's latest slug, with all its slugs from the oldest on."""
    rows = core.rows("SELECT deck, formerly, min(id) FROM load GROUP BY deck, formerly ORDER BY min(id)")
    known = {deck for deck, _, _ in rows}
    came_from: dict[str, str] = {}
    for deck, formerly, _ in rows:
        if formerly in known and formerly != deck and formerly not in came_from.values():
            earlier = formerly
            while earlier is not None and earlier != deck:
                earlier = came_from.get(earlier)
            if earlier is None and deck not in came_from:
                came_from[deck] = formerly
    found = {}
    for deck in known - set(came_from.values()):
        chain = [deck]
        while chain[0] in came_from:
            chain.insert(0, came_from[chain[0]])
        found[deck] = tuple(chain)
    return found


def line_of(core: Core, slug: str) -> tuple[str, tuple[str, ...]]:
    """The latest slug and the chain that a slug belongs to."""
    for head, chain in chains(core).items():
        if slug in chain:
            return head, chain
    return slug, (slug,)


def loads_of(core: Core, chain: Iterable[str]) -> list[Loaded]:
    """All loads of a line, in its order."""
    corrections = core.corrections()
    found = []
    for rank, slug in enumerate(chain):
        for event, revision, effective, day, *said in core.rows(
            "SELECT id, revision, effective, day, content, notes, reading, earlier FROM load WHERE deck = ?",
            [slug],
        ):
            place = place_of(rank, revision, placed(event, corrections))
            number = None if effective is None else date.fromisoformat(effective).toordinal()
            _, days = corrections.get(writer_of(event), (0, 0))
            found.append(Loaded(event, place, slug, revision, number, day + days, *said))
    return sorted(found, key=lambda load: load.place)


@dataclass(slots=True)
class Told:
    """What later events say of an earlier one. notes: digest of its notes, empty where nobody is sure; sources: from
    what its cards were read, by id."""

    notes: str = ""
    sources: dict[str, str] = field(default_factory=dict)


def told_later(loads: Sequence[Loaded]) -> dict[str, Told]:
    """What is said of loads whose events don't say it themselves, by their content. The first word counts, in the
    order of the line."""
    found: dict[str, Told] = {}
    for load in loads:
        for content, said in json.loads(load.earlier).items():
            told = found.setdefault(content, Told())
            told.notes = told.notes or said["notes"]
            told.sources = said["sources"] | told.sources
    return found


def distinct(loads: Iterable[Loaded], told: Mapping[str, Told]) -> list[Loaded]:
    """Loads in order without those that say what the one before them says (the same revision on another device); of
    which notes they were read, and by which program, is then the latest word. told: see `told_later`."""
    found: list[Loaded] = []
    for one in loads:
        load = one if one.notes or one.content not in told else replace(one, notes=told[one.content].notes)
        if not found or (found[-1].deck, found[-1].content) != (load.deck, load.content):
            found.append(load)
        elif load.notes:
            found[-1] = replace(found[-1], notes=load.notes, reading=load.reading)
    return found


def read_load(core: Core, loaded: Loaded, told: Mapping[str, Told], content: Content | None = None) -> Load:
    """What a load lists, from its event. told: see `told_later`; content: one that was just loaded, perhaps this
    one."""
    if content is not None and content.hash == loaded.content and "sources" in content.lists:
        fields = content.fields
        cards: Sequence[Listed] = content.cards
        points, files, renamed = fields["paused_points"], fields["paused_files"], fields.get("renamed", {})
    else:
        listed, own, forms, points, files, renamed = (
            json.loads(said or "null")
            for said in core.rows(
                "SELECT json_extract(body, '$.cards'), json_extract(body, '$.sources'), json_extract(body, '$.also'),"
                " json_extract(body, '$.paused_points'), json_extract(body, '$.paused_files'),"
                " coalesce(json_extract(body, '$.renamed'), '{}') FROM event WHERE id = ?",
                [loaded.event],
            )[0]
        )
        if own is None:
            later = told.get(loaded.content, Told())
            own = [later.sources.get(entry[0], "") for entry in listed]
        cards = [
            Listed(id, answer, text, row, source, tuple(form))
            for (id, answer, text, row), source, form in zip(
                listed, own, forms or [()] * len(listed), strict=True
            )
        ]
    return Load(cards, frozenset(points), frozenset(files), renamed)
