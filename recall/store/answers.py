"""Answers one by one, as they were given: when, how long they took, in which sitting."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from recall.base.dataclass import dataclass
from recall.store.core import Core, placed
from recall.store.events import COLUMNS, moment_of, to_dict, writer_of

NEWEST = 20_000
_LIVE = "id NOT IN (SELECT review FROM undone)"


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer. writer: the run that it was given in; mark: 1 missed to 4 instant; seconds: to the first key, None
    where no time was measured; drawn: the card was drawn at random."""

    card: str
    kind: str
    writer: str
    at: datetime
    day: date
    mark: int
    seconds: float | None
    mode: str
    drawn: bool = False


@dataclass(frozen=True, slots=True)
class Sitting:
    """A mock oral that was sat: its day, answers, right ones."""

    day: date
    asked: int
    right: int


def newest_answers(core: Core, most: int = NEWEST, since: date | None = None) -> list[Answer]:
    """The newest answers to cards that are still known, oldest first; undone ones left out. since: none of days
    before it."""
    corrections = core.corrections()
    first = 0 if since is None or corrections else since.toordinal()
    rows = core.rows(
        "SELECT event.id, event.card, card.kind, day, mark, seconds, json_extract(body, '$.mode'),"
        " instr(body, '\"drawn\":true')"
        f" FROM (SELECT * FROM event WHERE type = 'reviewed' AND {_LIVE} ORDER BY id DESC LIMIT ?) AS event"
        " JOIN card ON card.id = event.card WHERE day >= ?",
        [most, first],
    )
    found = []
    for id, card, kind, day, mark, seconds, mode, drawn in rows:
        writer, place = writer_of(id), placed(id, corrections)
        on = date.fromordinal(day + corrections.get(writer, (0, 0))[1])
        answer = Answer(card, kind, writer, moment_of(place), on, mark, seconds, mode, drawn > 0)
        found.append((place, answer))
    return [one for _, one in sorted(found, key=lambda pair: pair[0])]


def sittings(core: Core) -> list[Sitting]:
    """Every mock oral of this person that was sat to its end, oldest first. Of answers without the id of their
    sitting, those of one run of the program are one oral."""
    corrections = core.corrections()
    rows = core.rows(
        "SELECT writer, day, count(*), sum(mark > 1), min(at), max(json_extract(body, '$.of')) FROM event"
        f" WHERE type = 'reviewed' AND instr(body, '\"mode\":\"oral\"') AND {_LIVE}"
        " GROUP BY coalesce(json_extract(body, '$.sitting'), writer)"
    )
    placed = []
    for writer, day, asked, right, at, of in rows:
        if of is not None and asked < of:
            continue
        shift, days = corrections.get(writer, (0, 0))
        placed.append((at + shift, Sitting(date.fromordinal(day + days), asked, right)))
    return [sitting for _, sitting in sorted(placed, key=lambda pair: pair[0])]


def given(
    core: Core, since: str = "", which: str = "", parameters: Sequence[Any] = ()
) -> list[dict[str, Any]]:
    """Answers as events are written out, in the order of their ids. since: how the least of those begins; which: a
    further condition, in SQL."""
    rows = core.rows(
        f"SELECT {', '.join(COLUMNS)} FROM event WHERE id >= ? AND type = 'reviewed' AND {_LIVE} {which} ORDER BY id",
        [since, *parameters],
    )
    return [to_dict(row) for row in rows]


def given_in(core: Core, sitting: str) -> list[dict[str, Any]]:
    """The answers of one sitting, oldest first; `first`: the card had none before."""
    events = given(core, sitting[:13], "AND json_extract(body, '$.sitting') = ?", [sitting])
    first = f"SELECT min(id) FROM event WHERE card = ? AND type = 'reviewed' AND {_LIVE}"
    return [event | {"first": core.one(first, [event["card"]]) == event["id"]} for event in events]


@dataclass(frozen=True, slots=True)
class Claim:
    """An answer that was marked wrong and claimed to be right."""

    card: str
    day: date
    given: str


def claims(core: Core) -> list[Claim]:
    """Every claim that stands, newest first, of cards that are still known."""
    rows = core.rows(
        "SELECT event.card, day, json_extract(body, '$.given') FROM event JOIN card ON card.id = event.card"
        f" WHERE type = 'reviewed' AND instr(body, '\"claimed\":true') AND event.{_LIVE} ORDER BY event.id DESC"
    )
    return [Claim(card, date.fromordinal(day), given) for card, day, given in rows]


def marked_by_both(core: Core) -> dict[str, tuple[int, int]]:
    """Of the cards whose answers both the person (`self`) and an examiner (`examiner`) marked: right ones of all, by
    each. An overruled or claimed mark is no judgement of an answer that was shown."""
    own = (
        "SELECT card, json_extract(body, '$.marked_by') AS who, mark FROM event WHERE type = 'reviewed'"
        f" AND {_LIVE} AND who IN ('self', 'examiner') AND NOT json_extract(body, '$.overruled')"
        " AND NOT instr(body, '\"claimed\":true')"
    )
    rows = core.rows(
        f"WITH own AS ({own}) SELECT who, sum(mark > 1), count(*) FROM own WHERE card IN"
        " (SELECT card FROM own GROUP BY card HAVING count(DISTINCT who) = 2) GROUP BY who"
    )
    return {who: (right, of) for who, right, of in rows}


def not_right_yet(core: Core, day: date) -> list[str]:
    """Cards in force whose latest answer on a day was a miss, the earliest missed first."""
    number = day.toordinal()
    last: dict[str, tuple[str, int]] = {}
    for card, id, mark in core.rows(
        "SELECT card.id, event.id, mark FROM card JOIN event ON event.card = card.id"
        " WHERE last_day = ? AND asking = 1 AND type = 'reviewed' AND day = ?"
        " AND event.id NOT IN (SELECT review FROM undone) ORDER BY event.id",
        [number, number],
    ):
        last[card] = (id, mark)
    return [card for card, (_, mark) in sorted(last.items(), key=lambda item: item[1]) if mark == 1]
