"""Copies of the store beside it: made by SQLite, read back, thinned."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import datetime, timedelta, timezone
from pathlib import Path

from recall.base.errors import StoreError
from recall.store.core import Core
from recall.store.errors import guarded

EVERY = timedelta(days=7)
_STAMP = "%Y%m%dT%H%M%SZ"
_NEWEST, _MONTHS = 4, 12


def folder_of(core: Core) -> Path:
    """The folder of backups beside the store."""
    return core.path.with_name(f"{core.path.stem}-backups")


def backups(core: Core) -> list[tuple[datetime, Path]]:
    """Backups with their moments, oldest first."""
    found = []
    for path in folder_of(core).glob(f"{core.path.stem}-*.db"):
        try:
            made = datetime.strptime(path.stem.rpartition("-")[2], _STAMP).replace(tzinfo=timezone.utc)
        except ValueError:
            continue
        found.append((made, path))
    return sorted(found)


def backup(core: Core, to: Path | None = None) -> Path:
    """Copy the store, read the copy back, and give its path. to: a file that isn't there yet; None: beside the store,
    and old copies are thinned. Raises StoreError where the copy isn't the same."""
    path = to or folder_of(core) / f"{core.path.stem}-{core.clock.now().strftime(_STAMP)}.db"
    if to is not None and path.is_dir():
        raise StoreError(f"that is a folder: {path}", "name a file in it")
    if to is not None and path.exists():
        raise StoreError(f"there is a file already: {path}", "name another file for the backup")
    if to is not None and not path.parent.is_dir():
        raise StoreError(f"there is no folder {path.parent}", "make it first, or name another file")
    part = path.with_name(path.name + ".part")
    with guarded(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        try:
            with closing(sqlite3.connect(part)) as copy:
                core.db.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
            _read_back(core, part)
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
    if to is None:
        for old in thinned([made for made, _ in backups(core)]):
            (folder_of(core) / f"{core.path.stem}-{old.strftime(_STAMP)}.db").unlink(missing_ok=True)
    return path


def _read_back(core: Core, copy: Path) -> None:
    counting = "SELECT count(*), coalesce(max(id), '') FROM event"
    with closing(sqlite3.connect(f"{copy.resolve().as_uri()}?mode=ro", uri=True)) as read:
        checked = [row[0] for row in read.execute("PRAGMA integrity_check")]
        same = read.execute(counting).fetchone() == core.rows(counting)[0]
    if checked != ["ok"] or not same:
        raise StoreError(f"the backup can't be read back: {copy}", "check the disk, then run `recall doctor`")


def backup_if_due(core: Core) -> Path | None:
    """A backup where the newest is a week old or older and there is something to keep."""
    made = [moment for moment, _ in backups(core)]
    if made and core.clock.now() - made[-1] < EVERY:
        return None
    if core.one("SELECT 1 FROM event WHERE type = 'reviewed' LIMIT 1") is None:
        return None
    return backup(core)


def thinned(made: Sequence[datetime]) -> list[datetime]:
    """Of moments in order, those whose backups go: kept are the newest four, then the last of each of twelve months
    that have one, then the last of each year."""
    older = list(made[:-_NEWEST])
    by_month = {(moment.year, moment.month): moment for moment in older}
    by_year = {moment.year: moment for moment in older}
    keep = {*sorted(by_month.values())[-_MONTHS:], *by_year.values()}
    return [moment for moment in older if moment not in keep]
