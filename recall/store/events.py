"""Events: their ids, the writer that gives them out, and their form in JSON and in the table."""

import json
import random
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone
from typing import Any

from recall.base.errors import StoreError

TYPES = frozenset(
    (
        "reviewed",
        "deck loaded",
        "undone",
        "carried",
        "remarked",
        "setting",
        "tuned",
        "person joined",
        "clock corrected",
    )
)
_NEEDED: dict[str, dict[str, type | tuple[type, ...]]] = {
    "reviewed": {"card": str, "day": int, "answer_hash": str, "mark": int, "given": str, "mode": str},
    "deck loaded": {"deck": str, "revision": str, "day": int, "cards": list, "texts": dict, "record": dict},
    "undone": {"review": str},
    "carried": {"from": str, "to": str},
    "remarked": {"card": str, "text": str},
    "setting": {"name": str, "value": (str, int, float)},
    "tuned": {"parameters": list},
    "person joined": {"person": str},
    "clock corrected": {"of": str, "shift": (int, float), "days": int},
}
"""What an event that is read in must say, by type. `reviewed` may also say `claimed` (true), `sitting` (13 digits,
a hyphen, 8 hexadecimal digits) and `of` (questions of an oral, 1 or more)."""
COLUMNS = ("id", "type", "card", "day", "mark", "ok", "answer", "seconds", "body")
"""Columns of the event table that are written; the others follow from the id."""
INSERT = f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"

_ID = re.compile(r"(\d{13})-([0-9a-f]{16})-(\d{6})")
_START = datetime(1970, 1, 1, tzinfo=timezone.utc)
_MOST = 999_999

Row = tuple[Any, ...]
"""An event as COLUMNS."""


def milliseconds(moment: datetime) -> int:
    """Whole milliseconds since 1970, not below 0."""
    return max(0, (moment - _START) // timedelta(milliseconds=1))


def moment_of(event_id: str) -> datetime:
    """The moment that an id names, UTC."""
    return _START + timedelta(milliseconds=int(event_id[:13]))


def writer_of(event_id: str) -> str:
    """The writer that an id names."""
    return event_id[14:30]


def shifted(event_id: str, shift: int) -> str:
    """The id moved by `shift` milliseconds: its place in the order of replay once a clock is corrected."""
    return f"{max(0, int(event_id[:13]) + shift):013d}{event_id[13:]}"


@dataclass(slots=True)
class Writer:
    """One run of the program. machine: 6 hexadecimal digits, the same for all runs on a machine."""

    machine: str
    random: random.Random
    id: str = ""
    n: int = 0
    last: int = 0

    def next_id(self, now: datetime) -> str:
        """The id of the next event; its moment is never before the writer's last."""
        if not self.id or self.n >= _MOST:
            self.id = f"{self.machine}{self.random.getrandbits(40):010x}"
            self.n = 0
        self.n += 1
        self.last = max(self.last, milliseconds(now))
        return f"{self.last:013d}-{self.id}-{self.n:06d}"


def row_of(event_id: str, type: str, fields: Mapping[str, Any]) -> Row:
    """An event as a row of the table. fields: all it says, `day` a day number."""
    rest = dict(fields)
    right = rest.pop("right", None)
    return (
        event_id,
        type,
        rest.pop("card", None),
        rest.pop("day", None),
        rest.pop("mark", None),
        None if right is None else int(right),
        rest.pop("answer_hash", None),
        rest.pop("seconds", None),
        json.dumps(rest, ensure_ascii=False, separators=(",", ":"), sort_keys=True),
    )


def to_dict(row: Row) -> dict[str, Any]:
    """A row as it is written out: moments and days in ISO 8601, absent fields left out."""
    event_id, type, card, day, mark, ok, answer, seconds, body = row
    found = _ID.fullmatch(event_id)
    if found is None:
        raise StoreError(f"`{event_id}` is no id of an event", "run `recall doctor`")
    plain = {
        "id": event_id,
        "writer": found[2],
        "n": int(found[3]),
        "at": moment_of(event_id).isoformat(timespec="milliseconds").replace("+00:00", "Z"),
        "type": type,
        "day": None if day is None else date.fromordinal(day).isoformat(),
        "card": card,
        "answer_hash": answer,
        "mark": mark,
        "right": None if ok is None else bool(ok),
        "seconds": seconds,
    }
    said: dict[str, Any] = json.loads(body)
    return {name: value for name, value in plain.items() if value is not None} | said


def from_dict(plain: Mapping[str, Any]) -> Row:
    """The row that `to_dict` wrote out. Raises StoreError for what is no event of ours."""
    rest = dict(plain)
    event_id, type = rest.pop("id", None), rest.pop("type", None)
    if not isinstance(event_id, str) or not _ID.fullmatch(event_id):
        raise StoreError("that is no event of recall", "use a file that `recall events` wrote")
    if not isinstance(type, str) or type not in TYPES:
        raise StoreError(f"`{type}` is no event that this version knows", "use a later version of recall")
    for name in ("writer", "n", "at"):
        rest.pop(name, None)
    try:
        if "day" in rest:
            rest["day"] = date.fromisoformat(rest["day"]).toordinal()
        if wrong := [name for name, kind in _NEEDED[type].items() if not isinstance(rest.get(name), kind)]:
            raise ValueError(f"it lacks its {' and its '.join(wrong)}")
        return row_of(event_id, type, rest)
    except (TypeError, ValueError) as fault:
        raise StoreError(f"event {event_id} can't be read: {fault}", "write the events out again") from fault
