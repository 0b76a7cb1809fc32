"""Events: their ids, the writer that gives them out, and their form in JSON and in the table."""

import json
import random
from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta, timezone
from typing import Any

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.errors import StoreError

COLUMNS = ("id", "type", "card", "day", "mark", "ok", "answer", "seconds", "body")
"""Columns of the event table that are written; the others follow from the id."""
IN_COLUMNS = ("card", "day", "mark", "right", "answer_hash", "seconds")
"""What an event says in columns of their own."""


def text_of(names: Iterable[str]) -> str:
    """An event as one blob, in SQL. names: where the values of COLUMNS stand.

    A time in seconds is written as two whole numbers, since versions of SQLite write fractions differently.
    """
    id, type, card, day, mark, ok, answer, seconds, body = names
    whole = f"CAST({seconds} AS INTEGER)"
    fraction = f"CAST(({seconds} - {whole}) * {1 << 62}.0 AS INTEGER)"
    numbers = f"printf('|%s|%s|%s|%s.%s|', {day}, {mark}, {ok}, {whole}, {fraction})"
    texts = f"{id} || '|' || {type} || '|' || ifnull({card}, '~') || '|' || ifnull({answer}, '~')"
    return f"CAST({texts} || {numbers} || {body} AS BLOB)"


def checksum_of(names: Iterable[str] = COLUMNS) -> str:
    """An event's checksum, in SQL: the CRC-32 of ISO 3309, which `zlib` computes faster than anything else that
    Python brings along. It finds any damage within 32 bits, and misses other damage once in 4 thousand million."""
    return f"crc32({text_of(names)})"


INSERT = (
    f"INSERT INTO event ({', '.join(COLUMNS)}, checksum) VALUES ({', '.join(f'?{at}' for at in range(1, 10))},"
    f" {checksum_of(f'?{at}' for at in range(1, 10))})"
)

ID = re.compile(r"([0-9]{13})-([0-9a-f]{16})-([0-9]{6})")
LONGEST_TEXT = 1 << 16
"""Characters of an answer that was typed, a remark or a setting."""
MOST_SECONDS = 86_400
"""Seconds to an answer."""
END = 7_258_118_400_000
"""Milliseconds at the end of 2199: no event is later."""
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


def written_moment(event_id: str) -> str:
    """The moment of an id, as it is written out."""
    return moment_of(event_id).isoformat(timespec="milliseconds").replace("+00:00", "Z")


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
        """The id of the next event; its moment is never before the writer's last.

        Raises StoreError for a clock that is centuries ahead.
        """
        if not self.id or self.n >= _MOST:
            self.id = f"{self.machine}{self.random.getrandbits(40):010x}"
            self.n = 0
        self.n += 1
        self.last = max(self.last, milliseconds(now))
        if self.last >= END:
            raise StoreError(
                f"the clock says that it is {now:%Y}", "set this computer's clock, then try again"
            )
        return f"{self.last:013d}-{self.id}-{self.n:06d}"


def row_of(event_id: str, type: str, fields: Mapping[str, Any]) -> Row:
    """An event as a row of the table. fields: all it says, `day` a day number."""
    rest = dict(fields)
    card, day, mark, right, answer, seconds = (rest.pop(name, None) for name in IN_COLUMNS)
    ok = None if right is None else int(right)
    body = json.dumps(rest, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return event_id, type, card, day, mark, ok, answer, seconds, body


def to_dict(row: Row) -> dict[str, Any]:
    """A row as it is written out: moments and days in ISO 8601, absent fields left out.

    Raises ValueError for a row that no version wrote.
    """
    event_id, type, card, day, mark, ok, answer, seconds, body = row
    found = ID.fullmatch(event_id)
    if found is None:
        raise ValueError(f"`{event_id}` is no id of an event")
    plain = {
        "id": event_id,
        "writer": found[2],
        "n": int(found[3]),
        "at": written_moment(event_id),
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
