"""What is known, asked of the derived tables: single indexed queries."""

import json
from collections.abc import Collection, Sequence
from datetime import date
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.base.text import key_form
from recall.deck.topics import in_topic
from recall.schedule import Memory
from recall.store.core import by_id, day_from
from recall.store.errors import guarded
from recall.store.model import Confusion, DeckInForce, Known, Was
from recall.store.opening import Opened

if TYPE_CHECKING:
    from recall.kinds.model import Card
    from recall.store.reports import LoadReport

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


def _known(row: tuple[Any, ...]) -> Known:
    id, deck, point, kind, aspect, topic, critical, file, line, answer, standing = row[:11]
    holds, difficulty, last_day, due, fresh, asked, right, first_day = row[11:]
    memory = None if holds is None else Memory(holds, difficulty, last_day)
    said = (id, deck, point, kind, aspect, _topic(topic), bool(critical), file, line, answer)
    return Known(*said, standing, memory, day_from(due), bool(fresh), asked, right, day_from(first_day))


class Wanted(TypedDict, total=False):
    """Which cards are asked for: under a heading, of a kind, of some decks (none: of all), critical ones alone."""

    topic: str | None
    kind: str | None
    decks: Collection[str]
    critical: bool


class Queries(Opened):
    """What is known of decks and cards."""

    def _cards(
        self, which: str, parameters: Sequence[Any] = (), limit: int | None = None, **wanted: Unpack[Wanted]
    ) -> list[Known]:
        """Cards by a condition and an order, in SQL; at most `limit` of those that the rest fits."""
        topic, kind, decks = wanted.get("topic"), wanted.get("kind"), wanted.get("decks", ())
        found: list[Known] = []
        if limit == 0:
            return found
        with guarded(self.path):
            for row in self.db.execute(f"SELECT {_KNOWN} FROM card {which}", parameters):
                if (kind is not None and row[3] != kind) or (decks and row[1] not in decks):
                    continue
                if wanted.get("critical") and not row[6]:
                    continue
                if topic is not None and not in_topic(_topic(row[5]), topic):
                    continue
                found.append(_known(row))
                if len(found) == limit:
                    break
        return found

    def decks(self) -> list[DeckInForce]:
        """Decks as they are asked now."""
        columns = "slug, revision, record, cards, pending"
        return [
            DeckInForce(slug, revision, json.loads(record), cards, day_from(pending))
            for slug, revision, record, cards, pending in self.rows(
                f"SELECT {columns} FROM deck WHERE current IS NOT NULL ORDER BY slug"
            )
        ]

    def due_cards(self, day: date, limit: int | None = None, **wanted: Unpack[Wanted]) -> list[Known]:
        """Cards due on a day: changed answers first, then the longest due."""
        which = "WHERE asking = 1 AND due IS NOT NULL AND fresh = ? AND due <= ? ORDER BY due, rank"
        found: list[Known] = []
        for fresh in (1, 0):
            left = None if limit is None else limit - len(found)
            found += self._cards(which, [fresh, day.toordinal()], left, **wanted)
        return found

    def among(self, ids: Sequence[str], **wanted: Unpack[Wanted]) -> list[Known]:
        """Those of some cards that are asked for, in their order."""
        found = {
            one.id: one for one in self._cards(f"WHERE id IN ({', '.join('?' * len(ids))})", ids, **wanted)
        }
        return [found[id] for id in ids if id in found]

    def unasked_cards(self, limit: int | None = None, **wanted: Unpack[Wanted]) -> list[Known]:
        """Cards never asked, in the order of the notes."""
        return self._cards("WHERE asking = 1 AND due IS NULL ORDER BY deck, rank", (), limit, **wanted)

    def cards(self, *, everything: bool = False, **wanted: Unpack[Wanted]) -> list[Known]:
        """All cards that are asked; with `everything` also withdrawn and paused ones and those of other aircraft."""
        which = "" if everything else "WHERE asking = 1"
        return self._cards(f"{which} ORDER BY deck, rank", **wanted)

    def cards_of(self, point: str) -> list[Known]:
        """The cards of a point, paused ones and those of other aircraft too; none where nothing has this id."""
        return self._cards("WHERE point = ? AND present = 1 ORDER BY rank", [point])

    def beside(self, card: str) -> list[Known]:
        """The other cards of a card's point that are asked, in the order of the notes."""
        which = "point = (SELECT point FROM card WHERE id = ?1) AND id <> ?1 AND asking = 1"
        return self._cards(f"WHERE {which} ORDER BY rank", [card])

    def places(self, deck: str) -> list[str]:
        """The folders and lone notes of this machine that a deck was loaded from, the latest load first."""
        sql = "SELECT root FROM source WHERE deck = ? ORDER BY load DESC"
        return [row[0] for row in self.rows(sql, [deck])]

    def as_loaded(self, place: str) -> "LoadReport":
        """What a load of an unchanged deck says: its cards as they are, nothing changed."""
        from recall.store.reports import LoadReport

        slug = str(self.one("SELECT deck FROM source WHERE root = ?", [place]))
        sql = (
            "SELECT sum(paused = 0), count(DISTINCT iif(paused, NULL, point)), sum(paused) FROM card"
            " WHERE deck = ? AND present = 1"
        )
        cards, points, paused = (number or 0 for number in self.rows(sql, [slug])[0])
        revision = str(self.one("SELECT revision FROM deck WHERE slug = ?", [slug]) or "")
        return LoadReport(slug, revision, points, cards, paused=paused, in_force=revision, recorded=False)

    def find(self, named: str) -> str:
        """The id of the one card whose id begins so, or whose question these words fit."""
        from recall.store.seek import seek

        return seek(self, named)

    def known(self, card: str) -> Known:
        """What is known of a card, by its whole id."""
        for known in self._cards("WHERE id = ?", [card]):
            return known
        raise _no_card(card)

    def card(self, card: str) -> "Card":
        """A card with its wording, as its deck last had it."""
        from recall.kinds.model import Card

        sql = "SELECT text.card, card.row FROM card JOIN text ON hash = text WHERE id = ?"
        for text, row in self.rows(sql, [card]):
            return replace(Card.from_json(text), line=row)
        raise _no_card(card)

    def was(self, card: str) -> Was | None:
        """The card before the last change, and the revision that changed it; None where it never changed."""
        from recall.kinds.model import Card

        for text, since in self.rows(
            "SELECT text.card, since FROM card JOIN text ON hash = was WHERE id = ?", [card]
        ):
            return Was(Card.from_json(text), since or "")
        return None

    def remark_on(self, card: str) -> str:
        """The person's remark on a card, or on what it was before it moved; empty where there is none."""
        wave, seen = [card], {card}
        while wave:
            here = wave.pop(0)
            text = self.one("SELECT text FROM remark WHERE card = ?", [here])
            if text is not None:
                return str(text)
            rows = self.rows("SELECT source FROM link WHERE target = ? ORDER BY place DESC", [here])
            wave += [source for (source,) in rows if source not in seen]
            seen.update(wave)
        return ""

    def pace(self) -> dict[str, list[tuple[float, int]]]:
        """Seconds of the newest right answers by kind, with the letters of the question; newest first, at most 200 of
        a kind."""
        found: dict[str, list[tuple[float, int]]] = {}
        rows = self.db.execute(
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

    def usual_seconds(self) -> float:
        """Seconds from one answer to the next: the median of the person's last times (those measured at a terminal:
        answers from a pipe come at once)."""
        sql = "SELECT writer, at, seconds FROM event WHERE type = 'reviewed' ORDER BY id DESC LIMIT ?"
        gaps = [
            later - earlier
            for (one, later, timed), (two, earlier, _) in pairwise(self.rows(sql, [_TIMES]))
            if timed is not None and one == two and 0 < later - earlier < _PAUSE
        ]
        if len(gaps) < 10:
            return USUAL_SECONDS
        from statistics import median

        return float(median(gaps)) / 1000

    def confusions(self) -> list[Confusion]:
        """Wrong answers that are another card's right one, the most frequent first."""
        rows = self.rows(
            "SELECT event.card, json_extract(body, '$.given'), day, card.kind, card.aspect FROM event JOIN card"
            " ON card.id = event.card WHERE ok = 0 AND asking = 1"
            " AND event.id NOT IN (SELECT review FROM undone) ORDER BY day DESC LIMIT 1000"
        )
        wrong = [
            (asked, (key_form(given or ""), kind, aspect), day) for asked, given, day, kind, aspect in rows
        ]
        alike: dict[tuple[str, ...], list[str]] = {}
        forms = {said[0] for _, said, _ in wrong} - {""}
        for id, *said in by_id(
            self, "SELECT id, form, kind, aspect FROM card WHERE asking = 1 AND form <> '' AND form IN", forms
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


def _no_card(id: str) -> RecallError:
    return RecallError(f"there is no card `{id}`", "`recall cards PATH` shows the ids")
