"""Copies of the store beside it: made by SQLite, read back, thinned."""

import os
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing, suppress
from datetime import datetime, timedelta
from pathlib import Path

from recall.base.errors import StoreError
from recall.base.files import see_folder
from recall.store import private
from recall.store.core import Core, connect
from recall.store.damage import RESCUE, damage_of
from recall.store.errors import guarded

EVERY = timedelta(days=7)
_STAMP = "%Y%m%dT%H%M%SZ"
_NEWEST, _MONTHS = 4, 12
_COUNTING = "SELECT count(*), coalesce(max(id), '') FROM event"
_PART = ".part"
_LEFT_BEHIND = 3600.0
"""Seconds after which a copy that was begun belongs to a run that was killed."""


def folder_of(core: Core) -> Path:
    """The folder of backups beside the store."""
    return core.path.with_name(f"{core.path.stem}-backups")


def backups(core: Core) -> list[tuple[datetime, Path]]:
    """Backups with their moments, oldest first."""
    found = []
    for path in folder_of(core).glob(f"{core.path.stem}-*.db"):
        with suppress(ValueError):
            stamp = path.stem.rpartition("-")[2]
            made = datetime.fromisoformat(stamp)
            if made.strftime(_STAMP) == stamp:
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
    if to is not None:
        see_folder(path)
    if core.harm:
        raise StoreError(f"{core.harm}, so no backup was made", RESCUE)
    from tempfile import mkstemp

    with guarded(path):
        private.make_folder(path.parent)
        handle, name = mkstemp(_PART, f"{path.name}.", path.parent)
        os.close(handle)
        part = Path(name)
        try:
            with closing(sqlite3.connect(part)) as copy, core.reading():
                # Counting before copying holds on to one state while others write.
                counted = core.rows(_COUNTING)[0]
                core.db.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
                _read_back(core, part, counted)
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
    if to is None:
        for left in folder_of(core).glob(f"{core.path.stem}-*{_PART}"):
            with suppress(FileNotFoundError):
                if path.stat().st_mtime - left.stat().st_mtime > _LEFT_BEHIND:
                    left.unlink()
        for old in thinned([made for made, _ in backups(core)], core.clock.now()):
            (folder_of(core) / f"{core.path.stem}-{old.strftime(_STAMP)}.db").unlink(missing_ok=True)
    return path


def _read_back(core: Core, copy: Path, counted: tuple[int, str]) -> None:
    """Read every event of the copy. Raises StoreError where one is damaged, whichever of the two files it is."""
    with closing(connect(copy, mode="ro")) as read:
        damage = damage_of(read)
        checked = [row[0] for row in read.execute("PRAGMA integrity_check")]
        same = not damage and read.execute(_COUNTING).fetchone() == counted
    if checked == ["ok"] and same:
        return
    damage = damage_of(core.db)
    if damage or [row[0] for row in core.rows("PRAGMA integrity_check")] != ["ok"]:
        said = f" ({damage.said})" if damage else ""
        raise StoreError(f"the store is damaged{said}, so no backup was made: {core.path}", RESCUE)
    raise StoreError(f"the backup can't be read back: {copy}", "check the disk, then try again")


def backup_if_due(core: Core) -> Path | None:
    """A backup where the newest is a week old or older and there is something to keep."""
    now = core.clock.now()
    return _backup_unless(core, lambda newest: now - newest < EVERY)


def backup_before_merge(core: Core) -> Path | None:
    """A backup before what comes in from outside, once a day."""
    today = core.clock.now().date()
    return _backup_unless(core, lambda newest: newest.date() == today)


def _backup_unless(core: Core, enough: Callable[[datetime], bool]) -> Path | None:
    """A backup of a store that was answered in, unless the newest is enough; one from the future was made by a clock
    that was ahead, and says nothing."""
    newest = max((moment for moment, _ in backups(core) if moment <= core.clock.now()), default=None)
    answered = core.one("SELECT 1 FROM event WHERE type = 'reviewed' LIMIT 1") is not None
    return backup(core) if answered and (newest is None or not enough(newest)) else None


def thinned(made: Sequence[datetime], now: datetime) -> list[datetime]:
    """Of moments in order, those whose backups go: kept are the newest four, then the last of each of twelve months
    that have one, then the last of each year. Those from a clock that was ahead stay, and take nobody's place."""
    older = [moment for moment in made if moment <= now][:-_NEWEST]
    by_month = {(moment.year, moment.month): moment for moment in older}
    by_year = {moment.year: moment for moment in older}
    keep = {*sorted(by_month.values())[-_MONTHS:], *by_year.values()}
    return [moment for moment in older if moment not in keep]
