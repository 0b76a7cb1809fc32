"""What SQLite says, in words that tell a person what to do."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from recall.base.errors import StoreError
from recall.base.text import one_line
from recall.store.damage import BACKUP, RESCUE

_PERMISSIONS = "change its permissions, or name another one"
_USED = "another run of recall is using the store", "wait until it is done, then try again"
_SAID: dict[int, tuple[str, str]] = {
    0: ("the store is damaged", RESCUE),  # text that isn't UTF-8: no code of SQLite's own
    sqlite3.SQLITE_FULL: ("the disk is full", "make room, then try again; every answer before this is kept"),
    sqlite3.SQLITE_READONLY: (
        "the store is read-only",
        "change its permissions, or name another store with --store",
    ),
    sqlite3.SQLITE_PERM: ("there is no permission for the store", _PERMISSIONS),
    sqlite3.SQLITE_BUSY: _USED,
    sqlite3.SQLITE_LOCKED: _USED,
    sqlite3.SQLITE_CANTOPEN: (
        "the store can't be opened",
        "look whether the folder exists and may be written, or name another store with --store",
    ),
    sqlite3.SQLITE_CORRUPT: ("the store is damaged", RESCUE),
    sqlite3.SQLITE_INTERRUPT: ("its pages lead round in circles", RESCUE),
    sqlite3.SQLITE_NOTADB: (
        "the file is not a store of recall",
        f"name another file with --store; if it was one, {BACKUP}",
    ),
    sqlite3.SQLITE_IOERR: ("the store can't be read or written", f"check the disk; {RESCUE}"),
}


def code_of(error: BaseException | None) -> int:
    """SQLite's code of a fault, without what it adds; 0 where it says none."""
    code = getattr(error, "sqlite_errorcode", None) or 0
    # No room for the file that readers share is said as a fault of the disk.
    return sqlite3.SQLITE_FULL if code == sqlite3.SQLITE_IOERR_SHMSIZE else code & 0xFF


def said(error: sqlite3.Error, path: Path) -> StoreError:
    """The error as a request that can't be met."""
    what, help = _SAID.get(code_of(error), (f"the store is damaged ({one_line(str(error))})", RESCUE))
    return StoreError(f"{what}: {path}", help)


@contextmanager
def guarded(path: Path) -> Iterator[None]:
    """Raise StoreError for what SQLite or the file system refuses."""
    try:
        yield
    except sqlite3.Error as error:
        raise said(error, path) from error
    except UnicodeDecodeError as error:
        raise StoreError(f"the store is damaged: {path}", RESCUE) from error
    except PermissionError as error:
        raise StoreError(f"there is no permission: {path}", _PERMISSIONS) from error
    except OSError as error:
        raise StoreError(f"{path}: {error.strerror or error}", "name another file with --store") from error
