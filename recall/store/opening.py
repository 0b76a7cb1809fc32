"""Opening a store: made, migrated, derived anew where that is needed; closing it."""

import random
import sqlite3
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Self

from recall.base.clock import Clock
from recall.base.errors import StoreError
from recall.store import damage, private, schema
from recall.store.core import PATIENCE, Core, connect, examine
from recall.store.errors import code_of, guarded, said
from recall.store.events import COLUMNS


class Opened(Core):
    """A store that opens and closes itself."""

    @classmethod
    def open(
        cls,
        path: Path | str,
        clock: Clock,
        *,
        create: bool = True,
        derived: bool = True,
        person: bool = True,
        patience: float = PATIENCE,
        rng: random.Random | None = None,
    ) -> Self:
        """Open a store, made where there is none (unless `create` is False). patience: seconds to wait for others.

        derived: False leaves what is derived as it is, for the doctor. person: a new store is a new person's.
        """
        path = Path(path)
        if path.exists() and not path.is_file():
            what = "a folder" if path.is_dir() else "a device or a pipe"
            raise StoreError(f"the store can't be {what}: {path}", "name a file, such as --store recall.db")
        if not create and not path.exists():
            help = "load a deck first, or name another with --store"
            raise StoreError(f"there is no store yet: {path}", help)
        rng = rng or random.SystemRandom()
        try:
            with guarded(path):
                if create:
                    private.make_folder(path.parent)
                    private.make(path)
                private.open_beside(path)
                db = _connect(path, patience)
        except StoreError as error:
            if derived or create:
                raise
            return cls._torn(path, clock, rng, error)
        store = cls(path, db, clock, rng)
        try:
            with guarded(path):
                version = examine(path, db)
                private.tighten(path)
                if version < schema.VERSIONS:
                    store._migrate(version, person=person)
                if derived:
                    with suppress(StoreError):  # it may be read-only; a backup that was put back is one file
                        store.rows("PRAGMA journal_mode = WAL")
                    store.derive_anew()
        except BaseException as fault:
            with suppress(sqlite3.Error):
                store._say_damage(fault)
            db.close()
            if not derived and not create and isinstance(fault, StoreError):
                return cls._torn(path, clock, rng, fault)
            raise
        return store

    @classmethod
    def _torn(cls, path: Path, clock: Clock, rng: random.Random, error: StoreError) -> Self:
        """A store whose head or tables are damaged, for reading what is left. Raises the error where nothing is."""
        db = torn(path) if damage.RESCUE in error.help or error.help == damage.BACKUP else None
        if db is None:
            raise StoreError(error.what, error.help.replace(damage.RESCUE, damage.BACKUP)) from error
        store = cls(path, db, clock, rng)
        store.harm = error.what
        return store

    @classmethod
    def from_json(
        cls, path: Path | str, lines: Iterable[str], clock: Clock, name: str = "the events"
    ) -> Self:
        """A new store of exactly the events that `events_json` gave. name: of the file they come from."""
        path = Path(path)
        if path.exists():
            raise StoreError(f"there is a file already: {path}", "name a file that isn't there yet")
        from recall.store import merge

        store = cls.open(path, clock, person=False)
        try:
            merge.read_json(store, lines, name, same_person=True)
        except BaseException:
            store.close()
            for tail in ("", "-wal", "-shm"):
                path.with_name(path.name + tail).unlink(missing_ok=True)
            raise
        return store

    def derive_anew(self) -> None:
        """Bring what is derived up to this version and this day."""
        if self.one("SELECT value FROM state WHERE name = 'derived'") != schema.DERIVATION:
            from recall.store import derive

            with self.writing():
                derive.rebuild(self)
        if slugs := self.out_of_day():
            from recall.store import derive

            try:
                derive.refresh(self, slugs)
            except StoreError as error:  # a file that can only be read goes without
                if code_of(error.__cause__) != sqlite3.SQLITE_READONLY:
                    raise

    def out_of_day(self) -> list[str]:
        """Decks of which another revision is in force today than the one that was taken up: the day of a later one
        has come, or the clock that took it up was ahead."""
        today = self.today()
        sql = "SELECT slug FROM deck LEFT JOIN load ON id = current WHERE pending <= ? OR load.effective > ?"
        return [row[0] for row in self.rows(sql, [today.toordinal(), today.isoformat()])]

    def _migrate(self, version: int, *, person: bool) -> None:
        from recall.store import derive, steps

        if version:
            from recall.store import backup

            backup.backup(self)
        with self.writing():
            if examine(self.path, self.db) == schema.VERSIONS:
                return
            steps.take(self.db)
            self.db.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
            self.db.execute(f"PRAGMA user_version = {schema.VERSIONS}")
            if version == 0:
                self.set_local("machine", f"{self.writer.random.getrandbits(80):020x}")
            if version == 0 and person:
                self.append("person joined", {"person": f"{self.writer.random.getrandbits(80):020x}"})
            derive.rebuild(self)

    def __enter__(self) -> Self:
        """The store itself."""
        return self

    def __exit__(self, kind: object, fault: BaseException | None, *_: object) -> None:
        """Close it, with the weekly backup where it is due; one that fails is tried again next time.

        Raises StoreError for a fault that a damaged store explains.
        """
        try:
            if fault is not None:
                self._say_damage(fault)
            elif self.wrote:
                from recall.store import backup

                with suppress(StoreError):
                    backup.backup_if_due(self)
        finally:
            self.close()

    def _say_damage(self, fault: BaseException) -> None:
        """Raise what SQLite said in our words, and for any other fault of values whatever damage explains it."""
        with suppress(sqlite3.ProgrammingError):
            if self.db.in_transaction:
                self.db.execute("ROLLBACK")
        if isinstance(fault, sqlite3.Error):
            raise said(fault, self.path) from fault
        if isinstance(fault, ArithmeticError | AttributeError | LookupError | TypeError | ValueError):
            from recall.store import doctor

            harm = doctor.harm(self)
            if harm is not None:
                raise harm from fault


def torn(path: Path) -> sqlite3.Connection | None:
    """A connection that reads events past a damaged head, a torn end or damaged tables; None where there are none."""
    db = sqlite3.connect(path.resolve().as_uri() + "?mode=rw", uri=True, isolation_level=None)
    damage.add_functions(db)
    # Under it SQLite goes on with as much of the schema as it could read, once a statement has failed.
    for sql in ("PRAGMA writable_schema = ON", "PRAGMA query_only = ON", "SELECT 1 FROM sqlite_master"):
        with suppress(*damage.UNREADABLE):
            db.execute(sql)
    try:
        db.execute(f"SELECT {', '.join(COLUMNS)} FROM event LIMIT 0")
    except damage.UNREADABLE:
        db.close()
        return None
    return db


def _connect(path: Path, patience: float) -> sqlite3.Connection:
    """A connection that can read; one where nothing may be written beside the file reads the file alone."""
    db = None
    try:
        db = connect(path, patience=patience)
        db.execute("SELECT count(*) FROM sqlite_master")
        return db
    except sqlite3.OperationalError as error:
        if db is not None:
            db.close()
        alone = code_of(error) in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY)
        real = path.resolve()
        if not alone or real.with_name(real.name + "-wal").exists():
            raise
        return connect(path, mode="ro&immutable=1", patience=patience)
