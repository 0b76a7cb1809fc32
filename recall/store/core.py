"""The open file: connection, transactions, appending events, what a person has set."""

import json
import platform
import random
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from recall.base.clock import Clock, day_of
from recall.base.dataclass import replace
from recall.base.errors import StoreError
from recall.base.settings import Settings
from recall.base.text import digest
from recall.schedule import DEFAULT, Parameters
from recall.store import schema
from recall.store.damage import BACKUP, add_functions
from recall.store.errors import guarded, said
from recall.store.events import INSERT, Writer, row_of, shifted, writer_of

PATIENCE = 15.0
"""Seconds to wait for another run of the program."""


def connect(path: Path, *, mode: str = "rwc", patience: float = PATIENCE) -> sqlite3.Connection:
    """A connection with every safety on. mode: SQLite's, for the file. Raises sqlite3.Error."""
    target = f"{path.resolve().as_uri()}?mode={mode}"
    connection = sqlite3.connect(target, uri=True, timeout=patience, isolation_level=None)
    try:
        add_functions(connection)
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA cell_size_check = ON")
        connection.execute("PRAGMA recursive_triggers = ON")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA cache_size = -65536")
        return connection
    except BaseException:
        connection.close()
        raise


class Core:
    """An open store. What it can do stands in the modules beside this one; `Store` puts them together."""

    def __init__(self, path: Path, db: sqlite3.Connection, clock: Clock, rng: random.Random) -> None:
        self.path = path
        self.db = db
        self.clock = clock
        self.writer = Writer("", rng)
        self.wrote = False
        self._file = _which(path)
        self.harm = ""
        """What is damaged in a store that is open all the same, to read what is left."""

    # The file

    def local(self, name: str) -> str | None:
        """A value that concerns this file alone."""
        found = self.db.execute("SELECT value FROM local WHERE name = ?", [name]).fetchone()
        return None if found is None else str(found[0])

    def set_local(self, name: str, value: str) -> None:
        """Set it; inside a transaction."""
        self.db.execute("INSERT OR REPLACE INTO local VALUES (?, ?)", [name, value])

    @cached_property
    def machine(self) -> str:
        """6 digits for this file on this machine: a copy elsewhere is another one."""
        return digest((self.local("machine") or "", platform.node()))[:6]

    def next_id(self) -> str:
        """The id of the next event of this run; inside a transaction."""
        self.writer.machine = self.machine
        return self.writer.next_id(self.clock.now())

    @contextmanager
    def writing(self) -> Iterator[None]:
        """One transaction: all of it is on the disk when the block is left, or nothing."""
        if self.db.in_transaction:
            yield
            return
        before = replace(self.writer)
        with guarded(self.path):
            self.db.execute("BEGIN IMMEDIATE")
            try:
                if _which(self.path) != self._file:
                    raise StoreError(
                        f"the store was moved, deleted or replaced while it was in use: {self.path}",
                        "put it back, then try again; every answer before this is in the file that was there",
                    )
                yield
                self.db.execute("COMMIT")
            except BaseException:
                self.writer.id, self.writer.n, self.writer.last = before.id, before.n, before.last
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")
                raise
        self.wrote = True

    @contextmanager
    def reading(self) -> Iterator[None]:
        """Reads that see one state of the store."""
        if self.db.in_transaction:
            yield
            return
        with guarded(self.path):
            self.db.execute("BEGIN")
            try:
                yield
            finally:
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")

    def rows(self, sql: str, parameters: Any = ()) -> list[tuple[Any, ...]]:
        """All rows of a query."""
        try:
            return self.db.execute(sql, parameters).fetchall()
        except sqlite3.Error as error:
            raise said(error, self.path) from error

    def one(self, sql: str, parameters: Any = ()) -> Any:
        """The first value of the first row, or None."""
        for row in self.rows(sql, parameters):
            return row[0]
        return None

    def append(self, type: str, fields: Mapping[str, Any]) -> str:
        """Write one event and give its id; inside a transaction."""
        event_id = self.next_id()
        self.db.execute(INSERT, row_of(event_id, type, fields))
        return event_id

    def told(self, type: str, after: int = 0) -> list[tuple[str, dict[str, Any]]]:
        """Ids of all events of a type (but reviews) and what they say, in the order of replay. after: of rows behind
        this one."""
        corrections = self.corrections()
        sql = "SELECT id, body FROM event WHERE type = ? AND type <> 'reviewed' AND no > ?"
        rows = sorted(self.rows(sql, [type, after]), key=lambda row: placed(row[0], corrections))
        return [(id, json.loads(body)) for id, body in rows]

    # What is set

    def settings(self) -> Settings:
        """The person's settings; the last event of each name wins. Unless they say it themselves, critical points
        are to be recalled as the checkrides of their decks ask."""
        rows = self.rows(
            "SELECT 'critical_target', value FROM state WHERE name = 'critical target'"
            " UNION ALL SELECT name, value FROM setting"
        )
        known = {name: json.loads(value) for name, value in rows}
        names = Settings.__slots__
        return Settings(**{name: value for name, value in known.items() if name in names})

    def parameters(self) -> Parameters:
        """The memory model in force."""
        found = self.one("SELECT value FROM state WHERE name = 'parameters'")
        return DEFAULT if found is None else Parameters.of(json.loads(found))

    def today(self) -> date:
        """The day that it is at home."""
        settings = self.settings()
        return day_of(self.clock.now(), settings.home, settings.turn)

    def corrections(self) -> dict[str, tuple[int, int]]:
        """Writers whose clock was wrong: milliseconds and days to add."""
        rows = self.rows("SELECT writer, shift, days FROM correction")
        return {writer: (shift, days) for writer, shift, days in rows}

    def close(self) -> None:
        """Let go of the file."""
        with guarded(self.path):
            self.db.close()


def _which(path: Path) -> tuple[int, int] | None:
    """Which file stands at a path; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


_AT_ONCE = 500


def by_id(core: Core, sql: str, ids: Iterable[Any]) -> Iterator[tuple[Any, ...]]:
    """Rows of a query that ends in `IN`, for any number of ids."""
    listed = list(ids)
    for at in range(0, len(listed), _AT_ONCE):
        part = listed[at : at + _AT_ONCE]
        yield from core.rows(f"{sql} ({', '.join('?' * len(part))})", part)


def spread(core: Core, sql: str, ids: Iterable[str]) -> tuple[set[str], list[tuple[Any, ...]]]:
    """Ids with all that a query leads to from them, over and over, and its rows, each of which ends in an id."""
    found, rows = set(ids), list[tuple[Any, ...]]()
    wave = found
    while wave:
        more = list(by_id(core, sql, wave))
        rows += more
        wave = {row[-1] for row in more} - found
        found = found | wave
    return found, rows


def placed(event_id: str, corrections: Mapping[str, tuple[int, int]]) -> str:
    """An event's place in the order of replay, as an id."""
    if not corrections:
        return event_id
    shift, _ = corrections.get(writer_of(event_id), (0, 0))
    return shifted(event_id, shift) if shift else event_id


def day_from(number: int | None) -> date | None:
    """A day from its number."""
    return None if number is None else date.fromordinal(number)


def examine(path: Path, db: sqlite3.Connection, help: str = "name another file with --store") -> int:
    """The version of the store in a file: 0 where nothing is in it yet. Raises StoreError for a foreign or later one,
    without touching it. help: for a foreign one."""
    mark = db.execute("PRAGMA application_id").fetchone()[0]
    version = int(db.execute("PRAGMA user_version").fetchone()[0])
    if mark != schema.APPLICATION_ID:
        tables = {row[0] for row in db.execute("SELECT name FROM sqlite_master")}
        if {"event", "local"} <= tables:
            raise StoreError(f"the head of the store is damaged: {path}", BACKUP)
        if mark or version or tables:
            raise StoreError(f"the file is not a store of recall: {path}", help)
        return 0
    if version < 1:
        raise StoreError(f"the head of the store is damaged: {path}", BACKUP)
    if version > schema.VERSIONS:
        raise StoreError(
            f"the store was made by a later version of recall: {path}",
            "upgrade to that version; the store was left as it is",
        )
    return version
