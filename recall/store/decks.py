"""Loaded decks: their events read and written, and each line of revisions folded into the card table."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from functools import partial
from typing import Any

from recall.base.errors import StoreError
from recall.base.text import key_form
from recall.deck.model import Deck
from recall.kinds.effectivity import applies_to
from recall.kinds.model import Card, digest
from recall.store.core import Core, placed
from recall.store.revisions import CardState, Listed, Load, Step, fold, place_of

_STATE = "answer, text, row, rank, present, paused, epoch, was, since, renewed, moved"
_FACE = "line, deck, point, kind, aspect, topic, applies, file, critical, form"
_LONGEST_FORM = 80


@dataclass(slots=True)
class Content:
    """A deck as its event tells it. fields: the event's own, without texts; faces: wording by hash, its line 0."""

    fields: dict[str, Any]
    texts: dict[str, str]
    faces: dict[str, Card]
    hash: str


def content_of(deck: Deck, today: date) -> Content:
    """What a `deck loaded` event says of a deck."""
    faces: dict[str, Card] = {}
    texts: dict[str, str] = {}
    cards = []
    for card in deck.cards:
        face = replace(card, line=0)
        text = face.to_json()
        name = digest((text,))
        faces[name], texts[name] = face, text
        cards.append([card.id, card.answer_hash, name, card.line])
    record = asdict(deck.record)
    for name in ("columns", "accept", "line"):
        del record[name]
    effective = record.pop("effective")
    fields = {
        "deck": deck.record.deck,
        "revision": deck.record.revision,
        "effective": None if effective is None else effective.isoformat(),
        "formerly": deck.record.formerly,
        "record": json.loads(json.dumps(record, default=str)),
        "cards": cards,
        "paused_points": sorted(deck.paused_points),
        "paused_files": sorted(deck.paused_files),
    }
    content = digest((json.dumps(fields, sort_keys=True),))
    return Content(fields | {"content": content, "day": today.toordinal()}, texts, faces, content)


def note_load(core: Core, event_id: str) -> str:
    """Take a `deck loaded` event into the tables of loads and texts; its deck's slug."""
    core.db.execute(
        "INSERT OR IGNORE INTO load SELECT id, json_extract(body, '$.deck'), json_extract(body, '$.revision'),"
        " json_extract(body, '$.effective'), json_extract(body, '$.formerly'), day,"
        " json_extract(body, '$.content') FROM event WHERE id = ?",
        [event_id],
    )
    core.db.execute(
        "INSERT OR IGNORE INTO text SELECT entry.key, entry.value FROM event, json_each(body, '$.texts') AS entry"
        " WHERE event.id = ?",
        [event_id],
    )
    return str(core.one("SELECT deck FROM load WHERE id = ?", [event_id]))


@dataclass(frozen=True, slots=True)
class Loaded:
    """A load without its cards, and its place in the line."""

    event: str
    place: str
    deck: str
    revision: str
    effective: int | None
    day: int
    content: str

    @property
    def comes(self) -> int:
        """Number of the first day on which it may be in force."""
        return self.effective or 0


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
        for event, revision, effective, day, content in core.rows(
            "SELECT id, revision, effective, day, content FROM load WHERE deck = ?", [slug]
        ):
            place = place_of(rank, revision, placed(event, corrections))
            number = None if effective is None else date.fromisoformat(effective).toordinal()
            found.append(Loaded(event, place, slug, revision, number, day, content))
    return sorted(found, key=lambda load: load.place)


def read_load(core: Core, loaded: Loaded) -> Load:
    """A load with its cards, from its event."""
    cards, points, files = core.rows(
        "SELECT json_extract(body, '$.cards'), json_extract(body, '$.paused_points'),"
        " json_extract(body, '$.paused_files') FROM event WHERE id = ?",
        [loaded.event],
    )[0]
    return Load(
        loaded.event,
        loaded.place,
        loaded.deck,
        loaded.revision,
        loaded.effective,
        loaded.day,
        [Listed(*entry) for entry in json.loads(cards)],
        frozenset(json.loads(points)),
        frozenset(json.loads(files)),
    )


@dataclass(slots=True)
class Line:
    """A deck's line of revisions, folded up to the one in force. step: what the last one did; fresh_start: it was
    folded from the first revision on; touched: ids of cards to replay."""

    head: str
    chain: tuple[str, ...]
    loads: list[Loaded]
    states: dict[str, CardState]
    step: Step
    faces: dict[str, Card] = field(default_factory=dict)
    current: Loaded | None = None
    fresh_start: bool = False
    touched: set[str] = field(default_factory=set)
    links: list[tuple[str, str, str]] = field(default_factory=list)


def carried_cards(core: Core) -> dict[str, str]:
    """Accepted renamings, new id to old id: the first per source, none that closes a cycle."""
    corrections = core.corrections()
    rows = core.rows("SELECT id, body FROM event WHERE type = 'carried' AND type <> 'reviewed'")
    rows.sort(key=lambda row: placed(row[0], corrections))
    goes: dict[str, str] = {}
    for _, body in rows:
        plain = json.loads(body)
        source, target = plain["from"], plain["to"]
        end: str | None = target
        while end is not None and end != source:
            end = goes.get(end)
        if source not in goes and end is None:
            goes[source] = target
    into: dict[str, str] = {}
    for source, target in goes.items():
        into.setdefault(target, source)
    return into


def look_up(core: Core, faces: dict[str, Card], name: str) -> Card:
    """Wording by its hash, remembered in `faces`."""
    if name not in faces:
        text = core.one("SELECT card FROM text WHERE hash = ?", [name])
        if text is None:
            raise StoreError(f"the wording {name} is missing from the store", "run `recall doctor`")
        faces[name] = Card.from_json(text)
    return faces[name]


def fold_line(
    core: Core,
    slug: str,
    today: date,
    *,
    faces: Mapping[str, Card] | None = None,
    scratch: bool = False,
) -> Line:
    """Fold a line up to the last revision whose effective date has come; nothing is written.

    scratch: from the first revision on, whatever was folded before.
    """
    head, chain = line_of(core, slug)
    loads = loads_of(core, chain)
    into = carried_cards(core)
    last = max((at for at, load in enumerate(loads) if load.comes <= today.toordinal()), default=-1)
    line = Line(head, chain, loads, {}, Step(), dict(faces or {}))
    start = -1
    stored = core.rows("SELECT chain, place, folded FROM deck WHERE slug = ?", [head])
    if stored and not scratch and tuple(json.loads(stored[0][0])) == chain:
        start = stored[0][2] - 1
        if start > last or (start >= 0 and loads[start].place != stored[0][1]):
            start = -1
    if start >= 0:
        rows = core.rows(f"SELECT id, {_STATE} FROM card WHERE line = ?", [head])
        for id, *values in rows:
            state = CardState(*values)
            state.present, state.paused, state.moved = map(bool, (state.present, state.paused, state.moved))
            line.states[id] = state
    line.fresh_start = start < 0
    look = partial(look_up, core, line.faces)
    for at in range(start + 1, last + 1):
        load = read_load(core, loads[at])
        renamed = at > 0 and loads[at - 1].deck != load.deck
        line.step = fold(line.states, load, look, into, renamed=renamed)
        line.touched |= line.step.touched
        line.links += line.step.links
    line.current = loads[last] if last >= 0 else None
    return line


def keep_line(core: Core, line: Line, today: date) -> set[str]:
    """Write a folded line into the deck, link and card tables; the ids of all cards to replay."""
    if line.fresh_start:
        slots = ", ".join("?" * len(line.chain))
        core.db.execute(f"DELETE FROM link WHERE line IN ({slots})", line.chain)
        core.db.execute(f"DELETE FROM deck WHERE slug IN ({slots})", line.chain)
        core.db.execute(f"DELETE FROM card WHERE line IN ({slots})", line.chain)
        line.touched = set(line.states)
    core.db.conn.executemany(
        "INSERT OR REPLACE INTO link VALUES (?, ?, ?, ?)", [(*link, line.head) for link in line.links]
    )
    _keep_cards(core, line)
    for source, _, target in line.links:
        core.db.execute("UPDATE card SET linked = 1 WHERE id IN (?, ?)", [source, target])
        line.touched |= {source, target}
    ahead = [load.comes for load in line.loads if load.comes > today.toordinal()]
    current = line.current
    record = (
        "{}"
        if current is None
        else core.one("SELECT json_extract(body, '$.record') FROM event WHERE id = ?", [current.event])
    )
    core.db.execute(
        "INSERT OR REPLACE INTO deck VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        [
            line.head,
            json.dumps(line.chain),
            None if current is None else current.event,
            "" if current is None else current.place,
            0 if current is None else line.loads.index(current) + 1,
            "" if current is None else current.revision,
            record,
            min(ahead, default=None),
        ],
    )
    return line.touched


def _keep_cards(core: Core, line: Line) -> None:
    columns = [name.strip() for name in f"{_STATE}, {_FACE}".split(",")]
    aircraft = core.settings().aircraft
    stored = {
        row[0]: row[1:] for row in core.rows(f"SELECT id, {_STATE} FROM card WHERE line = ?", [line.head])
    }
    rows, asking = [], []
    for id, state in line.states.items():
        values = (
            *(state.answer, state.text, state.row, state.rank, int(state.present), int(state.paused)),
            *(state.epoch, state.was, state.since, state.renewed, int(state.moved)),
        )
        if stored.get(id) == values:
            continue
        face = look_up(core, line.faces, state.text)
        form = key_form("; ".join(face.answer)) if face.form in ("words", "number") else ""
        rows.append(
            (
                *values,
                *(line.head, face.deck, face.point, face.kind, face.aspect),
                json.dumps(face.topic, ensure_ascii=False),
                *(face.applies, face.file, int(face.critical)),
                form if len(form) <= _LONGEST_FORM else "",
                id,
            )
        )
        asking.append((int(state.present and not state.paused and applies_to(face.applies, aircraft)), id))
        line.touched.add(id)
    slots = ", ".join("?" * len(columns))
    updates = ", ".join(f"{name} = excluded.{name}" for name in columns)
    core.db.conn.executemany(
        f"INSERT INTO card ({', '.join(columns)}, id) VALUES ({slots}, ?) ON CONFLICT (id) DO UPDATE SET {updates}",
        rows,
    )
    core.db.conn.executemany("UPDATE card SET asking = ? WHERE id = ?", asking)


def renew_asking(core: Core) -> None:
    """Decide again which cards are for the person's aircraft."""
    aircraft = core.settings().aircraft
    texts = [row[0] for row in core.rows("SELECT DISTINCT applies FROM card WHERE applies <> ''")]
    core.db.conn.executemany(
        "UPDATE card SET asking = present AND NOT paused AND ? WHERE applies = ?",
        [(int(applies_to(text, aircraft)), text) for text in texts],
    )


def comes_due(core: Core, today: date) -> list[str]:
    """Decks of which a later revision has come into effect."""
    return [row[0] for row in core.rows("SELECT slug FROM deck WHERE pending <= ?", [today.toordinal()])]
