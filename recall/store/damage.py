"""Events that can't be relied on: those that don't fit their checksums, and those that can't be read at all; and
wordings that aren't what their hash says.

SQLite notices a page that makes no sense, not a changed letter on one that does; its own checksums need an extension
that Python's copy doesn't bring along.
"""

import sqlite3
import zlib
from collections.abc import Iterable, Iterator
from contextlib import suppress
from typing import Any

from recall.base.dataclass import dataclass
from recall.base.text import count, digest
from recall.store.events import COLUMNS, Row, checksum_of, text_of

BACKUP = "put back a backup from the folder beside it"
RESCUE = (
    f"{BACKUP}, or write out what can be read (`recall events > FILE`) and read it"
    " into a new store (`recall --store NEW events --read FILE`)"
)
UNREADABLE = (sqlite3.DatabaseError, UnicodeDecodeError)
"""What reading damage raises: the second where SQLite's own message quotes it."""
_LEAST_ROW = 60
"""Bytes that an event takes at least."""


@dataclass(frozen=True, slots=True)
class Damage:
    """Events of a store that are damaged. changed: their numbers, where the number can be read; lost: how many more
    can't be read; events: how many there are; wordings: how many wordings are damaged or can't be read."""

    changed: tuple[int, ...] = ()
    lost: int = 0
    events: int = 0
    wordings: int = 0

    def __bool__(self) -> bool:
        """Whether there are any."""
        return bool(self.changed or self.lost or self.wordings)

    @property
    def said(self) -> str:
        """In words, for a line."""
        parts = []
        if self.changed:
            named = ", ".join(map(str, self.changed[:8])) + (" …" if len(self.changed) > 8 else "")
            verb = "doesn't fit its checksum" if len(self.changed) == 1 else "don't fit their checksums"
            which = "number" if len(self.changed) == 1 else "numbers"
            parts.append(f"{len(self.changed)} of {count(self.events, 'event')} {verb} ({which} {named})")
        if self.lost:
            parts.append(f"{count(self.lost, 'event')} can't be read at all")
        if self.wordings:
            parts.append(f"{count(self.wordings, 'wording')} can't be relied on")
        return "; ".join(parts)


def damage_of(db: sqlite3.Connection) -> Damage:
    """Read every event and wording of a store. Never raises sqlite3.Error."""
    changed, events, lost = _unsound(db, "event", _fits(db))
    # Wordings stand beside the events in a store of this version, as far as its list of tables is whole.
    beside = db.execute("SELECT 1 FROM pragma_table_info('text') WHERE name = 'no'").fetchone()
    wrong, _, gone = _unsound(db, "text", "hash IS hash20(card)") if beside else ([], 0, 0)
    return Damage(tuple(sorted(changed)), lost, events, len(wrong) + gone)


def _unsound(db: sqlite3.Connection, table: str, fits: str) -> tuple[list[int], int, int]:
    """Numbers of a table's rows that don't fit, how many rows there are, and how many of them can't be read."""
    highest = beyond = 0
    try:
        numbers = [row[0] for row in db.execute(f"SELECT no FROM {table} NOT INDEXED WHERE NOT ({fits})")]
        read = int(db.execute(f"SELECT count(*) FROM {table} NOT INDEXED").fetchone()[0])
    except UNREADABLE:
        failed: list[int] = []
        sql = f"SELECT no, {fits} FROM {table} NOT INDEXED WHERE no BETWEEN ? AND ?"
        found = list(_scan(db, sql, failed))
        numbers, read = [number for number, sound in found if not sound], len(found)
        highest = max((number for number, _ in found), default=0)
        beyond = any(number > highest for number in failed)
    rows = max(_count(db, table) or highest + beyond, read)
    return numbers, rows, rows - read


def add_functions(db: sqlite3.Connection) -> None:
    """What the checks of events and wordings compute with, in SQL."""
    db.create_function("crc32", 1, zlib.crc32, deterministic=True)
    db.create_function("hash20", 1, _named, deterministic=True)


def _named(text: object) -> str | None:
    return digest((text,)) if isinstance(text, str) else None


def sound_events(db: sqlite3.Connection) -> Iterator[tuple[int, Row]]:
    """Number and row of every event that fits its checksum, in the order of ids."""
    sql = f"SELECT no, {', '.join(COLUMNS)} FROM event NOT INDEXED WHERE {_fits(db)}"
    try:
        cursor = db.execute(f"{sql} ORDER BY id")
        first = cursor.fetchone()
    except UNREADABLE:
        rows: Iterable[tuple[Any, ...]] = sorted(
            _scan(db, f"{sql} AND no BETWEEN ? AND ?"), key=lambda row: str(row[1])
        )
    else:
        if first is not None:
            yield first[0], first[1:]
        rows = cursor
    for number, *row in rows:
        yield number, tuple(row)


def sound_wordings(db: sqlite3.Connection, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Hash and JSON of wordings, in the order of their hashes. Raises ValueError where one isn't there as it was
    loaded."""
    for name in sorted(names):
        found = None
        with suppress(*UNREADABLE):
            sql = "SELECT card FROM text WHERE hash = ? AND hash IS hash20(card)"
            found = db.execute(sql, [name]).fetchone()
        if found is None:
            raise ValueError(f"the wording {name} can't be read")
        yield name, found[0]


def _fits(db: sqlite3.Connection) -> str:
    """The condition that an event is as it was written; in a store without checksums, that it is there."""
    sealed = db.execute("SELECT 1 FROM pragma_table_info('event') WHERE name = 'checksum'").fetchone()
    return f"checksum IS {checksum_of()}" if sealed else f"{text_of(COLUMNS)} IS NOT NULL"


def _scan(db: sqlite3.Connection, sql: str, failed: list[int] | None = None) -> Iterator[tuple[Any, ...]]:
    """Rows of a query over a range of numbers, past what can't be read. failed: takes up the numbers at which there
    may have been an event that can't be."""
    wave = [(1, _most(db))]
    while wave:
        low, high = wave.pop()
        try:
            found = db.execute(sql, [low, high]).fetchall()
        except UNREADABLE:
            if low < high:
                middle = (low + high) // 2
                wave += [(middle + 1, high), (low, middle)]
            elif failed is not None:
                failed.append(low)
            continue
        yield from found


def _count(db: sqlite3.Connection, table: str) -> int:
    """How many rows there must be: as many as their index holds, or as the highest number says, since they are
    counted from 1 and none is ever deleted. 0 where neither can be read."""
    for sql in (
        f"SELECT count(*) FROM {table} INDEXED BY sqlite_autoindex_{table}_1",
        f"SELECT max(no) FROM {table} NOT INDEXED",
    ):
        with suppress(*UNREADABLE):
            found = db.execute(sql).fetchone()[0]
            if found is not None and found <= _most(db):
                return int(found)
    return 0


def _most(db: sqlite3.Connection) -> int:
    """How many events the file can hold at most."""
    pages, size = (db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size"))
    return int(pages * size // _LEAST_ROW) + 1
