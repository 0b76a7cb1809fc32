"""What is known, asked of the derived tables: single indexed queries."""

import json
from dataclasses import replace
from datetime import date
from functools import lru_cache
from itertools import pairwise
from statistics import median
from typing import TYPE_CHECKING, Any

from recall.base.errors import RecallError
from recall.base.text import key_form
from recall.deck.topics import in_topic
from recall.schedule import Memory
from recall.store.core import Core, by_id, day_from
from recall.store.model import Confusion, DeckInForce, Known, Was

if TYPE_CHECKING:
    from recall.kinds.model import Card

_KNOWN = (
    "id, deck, point, kind, aspect, topic, critical, file, row, answer, standing, holds, difficulty, last_day,"
    " due, fresh, asked, right, first_day"
)
USUAL_SECONDS = 12.0
"""Seconds from one answer to the next, until the person's own times are known."""
_WINDOW, _TIMES, _PAUSE, _MOST_ALIKE = 5_000, 200, 120_000, 3


@lru_cache(maxsize=4096)
def _topic(text: str) -> tuple[str, ...]:
    return tuple(json.loads(text))


def known_of(row: tuple[Any, ...]) -> Known:
    """A row of _KNOWN."""
    id, deck, point, kind, aspect, topic, critical, file, line, answer, standing = row[:11]
    holds, difficulty, last_day, due, fresh, asked, right, first_day = row[11:]
    return Known(
        id=id,
        deck=deck,
        point=point,
        kind=kind,
        aspect=aspect,
        topic=_topic(topic),
        critical=bool(critical),
        file=file,
        line=line,
        answer_hash=answer,
        standing=standing,
        memory=None if holds is None else Memory(holds, difficulty, last_day),
        due=day_from(due),
        fresh=bool(fresh),
        asked=asked,
        right=right,
        first_day=day_from(first_day),
    )


def _picked(
    core: Core,
    sql: str,
    parameters: Any,
    limit: int | None,
    topic: str | None,
    kind: str | None,
    deck: str | None,
    critical: bool = False,
) -> list[Known]:
    found: list[Known] = []
    if limit == 0:
        return found
    for row in core.db.execute(sql, parameters):
        if (kind is not None and row[3] != kind) or (deck is not None and row[1] != deck):
            continue
        if critical and not row[6]:
            continue
        known = known_of(row)
        if topic is not None and not in_topic(known.topic, topic):
            continue
        found.append(known)
        if len(found) == limit:
            break
    return found


def due_cards(
    core: Core,
    day: date,
    limit: int | None,
    topic: str | None,
    kind: str | None,
    deck: str | None,
    critical: bool,
) -> list[Known]:
    """See `Store.due_cards`."""
    which = "asking = 1 AND due IS NOT NULL AND fresh = ? AND due <= ?"
    sql = f"SELECT {_KNOWN} FROM card WHERE {which} ORDER BY due, rank"
    found: list[Known] = []
    for fresh in (1, 0):
        left = None if limit is None else limit - len(found)
        found += _picked(core, sql, [fresh, day.toordinal()], left, topic, kind, deck, critical)
    return found


def unasked_cards(
    core: Core, limit: int | None, topic: str | None, kind: str | None, deck: str | None
) -> list[Known]:
    """See `Store.unasked_cards`."""
    sql = f"SELECT {_KNOWN} FROM card WHERE asking = 1 AND due IS NULL ORDER BY deck, rank"
    return _picked(core, sql, [], limit, topic, kind, deck)


def cards(core: Core, deck: str | None, topic: str | None, kind: str | None, everything: bool) -> list[Known]:
    """See `Store.cards`."""
    which = "" if everything else "WHERE asking = 1"
    return _picked(
        core, f"SELECT {_KNOWN} FROM card {which} ORDER BY deck, rank", [], None, topic, kind, deck
    )


def cards_of(core: Core, point: str) -> list[Known]:
    """See `Store.cards_of`."""
    which = "point = ? AND present = 1"
    return [
        known_of(row) for row in core.rows(f"SELECT {_KNOWN} FROM card WHERE {which} ORDER BY rank", [point])
    ]


def known(core: Core, card: str) -> Known:
    """What is known of one card, by its whole id."""
    for row in core.rows(f"SELECT {_KNOWN} FROM card WHERE id = ?", [card]):
        return known_of(row)
    raise RecallError(f"there is no card `{card}`", "`recall cards PATH` shows the ids")


def card(core: Core, id: str) -> "Card":
    """A card with its wording."""
    from recall.kinds.model import Card

    for text, row in core.rows(
        "SELECT text.card, card.row FROM card JOIN text ON hash = text WHERE id = ?", [id]
    ):
        return replace(Card.from_json(text), line=row)
    raise RecallError(f"there is no card `{id}`", "`recall cards PATH` shows the ids")


def was(core: Core, id: str) -> Was | None:
    """See `Store.was`."""
    from recall.kinds.model import Card

    rows = core.rows("SELECT text.card, since FROM card JOIN text ON hash = was WHERE id = ?", [id])
    for text, since in rows:
        return Was(Card.from_json(text).answer.texts, since or "")
    return None


def decks(core: Core) -> list[DeckInForce]:
    """See `Store.decks`."""
    return [
        DeckInForce(slug, revision, json.loads(record), cards, day_from(pending))
        for slug, revision, record, cards, pending in core.rows(
            "SELECT slug, revision, record, cards, pending FROM deck WHERE current IS NOT NULL ORDER BY slug"
        )
    ]


def usual_seconds(core: Core) -> float:
    """Seconds a card takes from one answer to the next: the median of the person's last times (those measured at a
    terminal: answers from a pipe come at once)."""
    rows = core.rows(
        "SELECT writer, at, seconds FROM event WHERE type = 'reviewed' ORDER BY id DESC LIMIT ?", [_TIMES]
    )
    gaps = [
        later - earlier
        for (one, later, timed), (two, earlier, _) in pairwise(rows)
        if timed is not None and one == two and 0 < later - earlier < _PAUSE
    ]
    return median(gaps) / 1000 if len(gaps) >= 10 else USUAL_SECONDS


def pace(core: Core) -> dict[str, list[tuple[float, int]]]:
    """See `Store.pace`."""
    found: dict[str, list[tuple[float, int]]] = {}
    rows = core.db.execute(
        "SELECT kind, seconds, length(json_extract(text.card, '$.prompt'))"
        " FROM (SELECT id, card, ok, mark, seconds FROM event WHERE type = 'reviewed'"
        " ORDER BY id DESC LIMIT ?) AS newest JOIN card ON card.id = newest.card JOIN text ON hash = text"
        " WHERE seconds IS NOT NULL AND mark > 1 AND ok IS NOT 0"
        " AND newest.id NOT IN (SELECT review FROM undone) ORDER BY newest.id DESC",
        [_WINDOW],
    )
    for kind, seconds, letters in rows:
        times = found.setdefault(kind, [])
        if len(times) < _TIMES:
            times.append((seconds, letters))
    return found


def confusions(core: Core) -> list[Confusion]:
    """See `Store.confusions`."""
    rows = core.rows(
        "SELECT event.card, json_extract(body, '$.given'), day, card.kind, card.aspect FROM event JOIN card"
        " ON card.id = event.card WHERE ok = 0 AND asking = 1"
        " AND event.id NOT IN (SELECT review FROM undone) ORDER BY day DESC LIMIT 1000"
    )
    wrong = [(asked, (key_form(given or ""), kind, aspect), day) for asked, given, day, kind, aspect in rows]
    alike: dict[tuple[str, ...], list[str]] = {}
    forms = {said[0] for _, said, _ in wrong} - {""}
    for id, *said in by_id(
        core, "SELECT id, form, kind, aspect FROM card WHERE asking = 1 AND form <> '' AND form IN", forms
    ):
        alike.setdefault(tuple(said), []).append(id)
    times: dict[tuple[str, str], tuple[int, int]] = {}
    for asked, told, day in wrong:
        others = [id for id in alike.get(told, ()) if id != asked]
        for other in others if len(others) <= _MOST_ALIKE else ():
            count, last = times.get((asked, other), (0, day))
            times[asked, other] = (count + 1, max(last, day))
    ranked = sorted(times.items(), key=lambda item: (-item[1][0], item[0]))
    return [Confusion(*pair, count, date.fromordinal(last)) for pair, (count, last) in ranked]


def of_point(core: Core, card: str) -> list[Known]:
    """The other cards of a card's point that are asked, in the order of the notes."""
    which = "point = (SELECT point FROM card WHERE id = ?) AND id <> ? AND asking = 1"
    return [
        known_of(row)
        for row in core.rows(f"SELECT {_KNOWN} FROM card WHERE {which} ORDER BY rank", [card, card])
    ]


def remark(core: Core, card: str) -> str:
    """The person's remark on a card, or on what it was before it moved; empty where there is none."""
    wave, seen = [card], {card}
    while wave:
        here = wave.pop(0)
        text = core.one("SELECT text FROM remark WHERE card = ?", [here])
        if text is not None:
            return str(text)
        before = [
            row[0]
            for row in core.rows("SELECT source FROM link WHERE target = ? ORDER BY place DESC", [here])
        ]
        wave += [source for source in before if source not in seen]
        seen |= set(before)
    return ""
