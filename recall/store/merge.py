"""The union of the events of several stores."""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from recall.base.errors import StoreError
from recall.store import schema
from recall.store.core import Core, connect, examine
from recall.store.derive import take
from recall.store.errors import guarded
from recall.store.events import COLUMNS, INSERT, from_dict, to_dict
from recall.store.reports import MergeReport

_NAMES = ", ".join(COLUMNS)
_UNION = (
    f"INSERT INTO event ({_NAMES}) SELECT {_NAMES} FROM other.event WHERE true ORDER BY no"
    " ON CONFLICT (id) DO NOTHING"
)
_OTHER = "name the other device's store"
_PERSONS = (
    "SELECT DISTINCT json_extract(body, '$.person') FROM {}event"
    " WHERE type = 'person joined' AND type <> 'reviewed'"
)


def merge(core: Core, paths: Sequence[Path], *, same_person: bool) -> list[MergeReport]:
    """See `Store.merge`."""
    return [_merge_one(core, Path(path), same_person=same_person) for path in paths]


def _merge_one(core: Core, path: Path, *, same_person: bool) -> MergeReport:
    if not path.exists():
        raise StoreError(f"there is no store: {path}", _OTHER)
    if path.samefile(core.path):
        raise StoreError(f"that is this store itself: {path}", _OTHER)
    with _readable(path) as uri, guarded(path):
        core.db.execute("ATTACH ? AS other", [uri])
        try:
            with core.writing():
                return _take_in(core, path, same_person=same_person)
        finally:
            core.db.execute("DETACH other")


def _take_in(core: Core, path: Path, *, same_person: bool) -> MergeReport:
    before = int(core.one("SELECT coalesce(max(no), 0) FROM main.event"))
    theirs = {row[0] for row in core.rows(_PERSONS.format("other."))}
    _same_person(core, path, theirs, same_person=same_person)
    core.db.execute(_UNION)
    return _report(core, path, before)


def _same_person(core: Core, path: Path, theirs: set[str], *, same_person: bool) -> None:
    """Refuse another person's events, or note that the person is the same."""
    ours = {row[0] for row in core.rows(_PERSONS.format("main."))}
    if not theirs or ours & theirs:
        return
    if not same_person:
        raise StoreError(
            f"the store belongs to another person: {path}",
            "if both are yours, merge with --same-person; it is asked once",
        )
    for person in sorted(theirs):
        core.append("person joined", {"person": person})


def _report(core: Core, path: Path, before: int) -> MergeReport:
    events, reviews = core.rows(
        "SELECT count(*), coalesce(sum(type = 'reviewed'), 0) FROM event WHERE no > ?", [before]
    )[0]
    return MergeReport(str(path), events, reviews, take(core, before))


@contextmanager
def _readable(path: Path) -> Iterator[str]:
    """An address at which the store can be read in the form of this version; the file itself is left as it is."""
    with guarded(path):
        uri = f"{path.resolve().as_uri()}?mode=ro"
        try:
            version = _version(path, uri)
        except sqlite3.OperationalError:
            uri = f"{path.resolve().as_uri()}?mode=ro&immutable=1"
            if path.with_name(path.name + "-wal").exists():
                raise
            version = _version(path, uri)
        if version == 0:
            raise StoreError(f"the store is empty: {path}", _OTHER)
        if version == schema.VERSIONS:
            yield uri
            return
        from recall.store import steps

        with TemporaryDirectory() as folder:
            copy = Path(folder) / "copy.db"
            with closing(sqlite3.connect(uri, uri=True)) as old, closing(connect(copy)) as new:
                old.backup(new)
                steps.take(new)
            yield copy.as_uri()


def _version(path: Path, uri: str) -> int:
    with closing(sqlite3.connect(uri, uri=True, isolation_level=None)) as connection:
        return examine(path, connection, _OTHER)


def events_json(core: Core) -> Iterator[str]:
    """All events as lines of JSON, in the order of replay without clock corrections."""
    for row in core.db.execute(f"SELECT {_NAMES} FROM event ORDER BY id"):
        yield json.dumps(to_dict(row), ensure_ascii=False, separators=(",", ":"))


def read_json(core: Core, lines: Iterable[str], name: str, *, same_person: bool) -> MergeReport:
    """Take in events that `events_json` wrote; the union with those that are here."""
    rows = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            plain: Any = json.loads(line)
        except ValueError as fault:
            raise StoreError(
                f"{name}, line {number}, is no JSON: {fault}", "use a file that `recall events` wrote"
            ) from fault
        if not isinstance(plain, dict):
            raise StoreError(f"{name}, line {number}, is no event", "use a file that `recall events` wrote")
        try:
            rows.append(from_dict(plain))
        except StoreError as error:
            raise StoreError(f"{name}, line {number}: {error.what}", error.help) from error
    with core.writing():
        before = int(core.one("SELECT coalesce(max(no), 0) FROM event"))
        theirs = {json.loads(row[-1])["person"] for row in rows if row[1] == "person joined"}
        if before:
            _same_person(core, Path(name), theirs, same_person=same_person)
        core.db.executemany(f"{INSERT} ON CONFLICT (id) DO NOTHING", rows)
        return _report(core, Path(name), before)
