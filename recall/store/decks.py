"""Each deck's line of revisions, folded into the deck, link and card tables."""

import json
import sys
from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial
from operator import attrgetter
from typing import Any

from recall.base.dataclass import dataclass, field, replace
from recall.base.errors import StoreError
from recall.base.text import canonical
from recall.kinds.effectivity import applies_to, spelled
from recall.kinds.model import Card, digest
from recall.kinds.wording import Face
from recall.store.aim import renew_aim
from recall.store.core import Core, by_id
from recall.store.fold import fold
from recall.store.loads import Content, Told, distinct, line_of, loads_of, read_load, told_later
from recall.store.revisions import Again, CardState, Loaded, Step, together

_NOW = CardState._fields[:5]
_LIFE = CardState._fields[5:]
_FRESH = CardState("", "", 0, 0)[5:]
"""_LIFE of a card that nothing has happened to, as the card table has it by itself."""
_STATE = ", ".join(CardState._fields)
_FACE = (*Face._fields, "asking")
_memory = attrgetter("answer", "text", "same", "present", "epoch", "renewed", "moved")
"""What of a card's state its memory hangs on."""


@dataclass(slots=True)
class Line:
    """A deck's line of revisions, folded up to the one in force. steps: what each of those folded now did;
    fresh_start: it was folded from the first revision on."""

    head: str
    chain: tuple[str, ...]
    loads: list[Loaded]
    states: dict[str, CardState]
    steps: list[tuple[Loaded, Step]] = field(default_factory=list)
    faces: dict[str, Card] = field(default_factory=dict)
    content: Content | None = None
    """What was just loaded."""
    stored: dict[str, CardState] = field(default_factory=dict)
    """Where it didn't begin afresh: each card as it stands in the card table."""
    current: Loaded | None = None
    fresh_start: bool = False

    def since(self, event: str | None) -> Step:
        """What those behind a load did together; what the last one did, where none stands behind it."""
        at = next((at for at, (load, _) in enumerate(self.steps, 1) if load.event == event), 0)
        return together([step for _, step in self.steps[at:] or self.steps[-1:]])

    @property
    def links(self) -> list[tuple[str, str, str]]:
        """What they moved."""
        return [link for _, step in self.steps for link in step.links]

    def face(self, core: Core, card: str) -> Card:
        """A card's wording."""
        return look_up(core, self.faces, self.states[card].text)


def carried_cards(core: Core) -> dict[str, str]:
    """Accepted renamings, new id to old id: the first per source, none that closes a cycle."""
    goes: dict[str, str] = {}
    for _, plain in core.told("carried"):
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
    core: Core, slug: str, today: date, *, content: Content | None = None, scratch: bool = False
) -> Line:
    """Fold a line up to the last revision whose effective date has come; nothing is written.

    content: what was just loaded, so that it needn't be read again; scratch: from the first revision on, whatever
    was folded before.
    """
    head, chain = line_of(core, slug)
    loads = loads_of(core, chain)
    told = told_later(loads)
    loads = distinct(loads, told)
    into = carried_cards(core)
    last = max((at for at, load in enumerate(loads) if load.comes <= today.toordinal()), default=-1)
    loads[: last + 1] = _in_time(loads[: last + 1])
    line = Line(head, chain, loads, {}, [], dict(content.faces) if content else {}, content)
    start = -1
    stored = core.rows("SELECT chain, folded FROM deck WHERE slug = ?", [head])
    if stored and not scratch and tuple(json.loads(stored[0][0])) == chain:
        start = next((at for at in range(last, -1, -1) if _mark(loads[: at + 1], told) == stored[0][1]), -1)
    if start >= 0:
        line.stored = _stored(core, head)
        line.states.update(line.stored)
    line.fresh_start = start < 0
    look = partial(look_up, core, line.faces)
    before_run: dict[str, CardState] | None = None
    for at in range(start + 1, last + 1):
        load, before = loads[at], loads[at - 1] if at else None
        if load.by is not None and before_run is None:
            before_run, first = dict(line.states), len(line.steps)
        listed = read_load(core, load, told, content)
        again, renamed = Again.between(before, load), before is not None and before.deck != load.deck
        carried = {**into, **listed.renamed}
        line.steps.append(
            (load, fold(line.states, load, listed, look, carried, renamed=renamed, again=again))
        )
        if load.by is None and before_run is not None:
            _pass_over(line, before_run, first)
            before_run = None
    line.current = loads[last] if last >= 0 else None
    return line


def _pass_over(line: Line, before: Mapping[str, CardState], first: int) -> None:
    """What revisions changed that were overtaken before their day nobody was asked: a card that says again what it
    said before them goes on as it was, and another one's answer before is that one. first: of their steps."""
    for card, own in before.items():
        now = line.states[card]
        if not (own.asked and now.asked) or now.life == own.life:
            continue
        if own.answers.isdisjoint(now.answers):
            line.states[card] = now._replace(was=own.text)
            continue
        line.states[card] = now._replace(
            same=own.same, epoch=own.epoch, was=own.was, since=own.since, renewed=own.renewed
        )
        for _, step in line.steps[first:]:
            step.changed.discard(card)


def _in_time(loads: Sequence[Loaded]) -> list[Loaded]:
    """Loads that are folded, in their order: one that waits is in force with a later one that doesn't."""
    kept, day = [], sys.maxsize
    for load in reversed(loads):
        kept.append(replace(load, by=day) if load.in_force > day else load)
        day = min(day, load.in_force)
    return kept[::-1]


def _mark(loads: Sequence[Loaded], told: Mapping[str, Told]) -> int:
    """A number that tells which loads were folded, in which order, and what later ones tell of them."""
    said = (
        f"{load.place} {load.notes} {load.reading} {told.get(load.content)}{load.by or ''}" for load in loads
    )
    return int(digest(said)[:15], 16)


def _stored(core: Core, head: str) -> dict[str, CardState]:
    """The cards of a line as the card table has them."""
    rows = core.rows(f"SELECT {_STATE}, id FROM card WHERE line = ?", [head])
    return {row[-1]: CardState._make(row[:-1]) for row in rows}


def keep_line(core: Core, line: Line) -> set[str]:
    """Write a folded line into the deck, link and card tables; the ids of all cards to replay."""
    touched = _keep_cards(core, line) | _keep_links(core, line)
    current = line.current
    folded = line.loads.index(current) + 1 if current else 0
    record = "{}"
    if current is not None and line.content is not None and line.content.hash == current.content:
        record = canonical(line.content.fields["record"])
    elif current is not None:
        record = core.one("SELECT json_extract(body, '$.record') FROM event WHERE id = ?", [current.event])
    before = core.one("SELECT record FROM deck WHERE slug = ?", [line.head]) or ""
    core.db.executemany("DELETE FROM deck WHERE slug = ?", [(slug,) for slug in line.chain])
    core.db.execute(
        "INSERT INTO deck VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            line.head,
            json.dumps(line.chain),
            *((current.event, current.place) if current else (None, "")),
            _mark(line.loads[:folded], told_later(line.loads)),
            current.revision if current else "",
            record,
            min((load.comes for load in line.loads[folded:]), default=None),
            sum(state.present for state in line.states.values()),
        ],
    )
    if '"aircraft"' in before + record:
        renew_asking(core)
    renew_aim(core)
    return touched


def _keep_links(core: Core, line: Line) -> set[str]:
    """Bring the link table in line; the cards at both ends of what changed."""
    stored = set(by_id(core, "SELECT source, place, target FROM link WHERE line IN", line.chain))
    wanted = set(line.links)
    gone, come = (stored - wanted if line.fresh_start else set()), wanted - stored
    core.db.executemany("DELETE FROM link WHERE source = ? AND place = ?", [link[:2] for link in gone])
    core.db.executemany(
        "INSERT OR REPLACE INTO link VALUES (?, ?, ?, ?)", [(*link, line.head) for link in come]
    )
    core.db.executemany("UPDATE link SET line = ? WHERE line = ?", [(line.head, slug) for slug in line.chain])
    touched = {end for source, _, target in gone | come for end in (source, target)}
    core.db.executemany(
        "UPDATE card SET linked = EXISTS (SELECT 1 FROM link WHERE source = id)"
        " OR EXISTS (SELECT 1 FROM link WHERE target = id) WHERE id = ?",
        [(card,) for card in touched],
    )
    return touched


def _keep_cards(core: Core, line: Line) -> set[str]:
    """Write the cards that differ from what is stored; those of them whose memory may be another."""
    aircraft = core.settings().aircraft
    core.db.executemany(
        "UPDATE card SET line = ? WHERE line = ?", [(line.head, slug) for slug in line.chain[:-1]]
    )
    stored = line.stored or _stored(core, line.head)
    looks: Mapping[str, Face] = line.content.looks if line.content is not None else {}
    new, changed, touched = list[str](), list[str](), set[str]()
    for id, state in line.states.items():
        before = stored.get(id)
        if before == state:
            continue
        if before is None:
            new.append(id)
        if before is not None or state[5:] != _FRESH:
            changed.append(id)
        if before is None or _memory(before) != _memory(state):
            touched.add(id)

    def row(id: str) -> tuple[Any, ...]:
        state = line.states[id]
        face = looks.get(state.text) or Face.of(line.face(core, id))
        asking = (
            state.present and not state.paused and (not face.applies or applies_to(face.applies, aircraft))
        )
        return (line.head, *state[:5], *face, 1 if asking else 0, id)

    columns = ("line", *_NOW, *_FACE, "id")
    insert = f"INSERT INTO card ({', '.join(columns)}) VALUES ({', '.join('?' * len(columns))})"
    if core.db.executemany(f"{insert} ON CONFLICT (id) DO NOTHING", map(row, new)).rowcount < len(new):
        changed += new  # another line had them
    sets = [f"{name} = ?{at}" for at, name in enumerate((*columns, *_LIFE), 1)]
    own = sets.pop(len(columns) - 1)
    core.db.executemany(
        f"UPDATE card SET {', '.join(sets)} WHERE {own}", (row(id) + line.states[id][5:] for id in changed)
    )
    if line.fresh_start:
        core.db.executemany(
            "DELETE FROM card WHERE id = ?", [(id,) for id in stored.keys() - line.states.keys()]
        )
    return touched


def renew_asking(core: Core) -> None:
    """Decide again which cards are for the person's aircraft, by the variants that each deck declares."""
    records = core.rows("SELECT slug, record FROM deck")
    declared = {slug: json.loads(record).get("aircraft", {}) for slug, record in records}
    aircraft = {line: spelled(core.settings().aircraft, own) for line, own in declared.items()}
    texts = core.rows("SELECT DISTINCT applies, line FROM card WHERE applies <> ''")
    core.db.executemany(
        "UPDATE card SET asking = present AND NOT paused AND ? WHERE applies = ? AND line = ?",
        [
            (int(applies_to(spelled(text, declared.get(line, {})), aircraft.get(line, ""))), text, line)
            for text, line in texts
        ],
    )
