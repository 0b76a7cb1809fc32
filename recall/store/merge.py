"""The union of the events of several stores. Whatever comes in passes the gate.

Another store is a file that anybody may have made: it is read as sqlite.org's page on the defence against the dark
arts advises (an untrusted schema, checked cells, no table but the one that we made ourselves).
"""

import json
import re
import sqlite3
import zlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from recall.base.errors import StoreError
from recall.store import backup, damage, schema
from recall.store.core import Core, by_id, examine
from recall.store.derive import take
from recall.store.errors import guarded, said
from recall.store.events import COLUMNS, INSERT, Row, checksum_of, text_of, to_dict
from recall.store.gate import LONGEST_LINE, Gate, Wordings
from recall.store.loads import keep_wordings
from recall.store.needs import Wording
from recall.store.reports import MergeReport

_NAMES = ", ".join(COLUMNS)
_BLOBS = ", ".join(f"iif(typeof({name}) = 'text', CAST({name} AS BLOB), {name})" for name in COLUMNS)
_HEADER = b"SQLite format 3\0"
"""How each of its files begins; source: the format's page of sqlite.org."""
_OTHER = "name the other device's store"
_PLAIN = re.compile(
    rb"[0-6][0-9]{12}-[0-9a-f]{16}-(?!000000)[0-9]{6}\|reviewed\|[0-9a-f]{20}\|[0-9a-f]{20}"
    rb"\|7[2-9][0-9]{4}\|[1-4]\|[01]?\|(?:[0-9]{1,4}\.[0-9]{1,19}|\.)"
    rb'\|\{"deck":"[a-z0-9-]{1,64}","given":"[ !#-\[\]-~]{0,400}","marked_by":"(?:program|self|examiner)"'
    rb',"mode":"(?:daily|plan|oral)"(?:,"of":[1-9][0-9]{0,4})?,"overruled":(?:true|false)'
    rb',"revision":"[0-9]{0,9}(?:\.[0-9]{1,9}){0,3}"(?:,"sitting":"[0-9]{13}-[0-9a-f]{8}")?\}'
)
"""A review as `text_of` gives it, of which nothing more need be asked: the bulk of a store."""
_MACHINES = "SELECT DISTINCT substr(id, 15, 6) FROM {}.event"
_FAULTS = (ArithmeticError, LookupError, RecursionError, TypeError, ValueError)
_STEPS = 10_000
_STEPS_A_BYTE = 20


def merge(core: Core, path: Path, *, same_person: bool) -> MergeReport:
    """Take in the events of another store, or of a file of them. See `Store.merge`."""
    if not path.exists():
        raise StoreError(f"there is no store: {path}", _OTHER)
    begins = None
    if path.is_file():
        with path.open("rb") as opened:
            begins = opened.read(len(_HEADER))
    if begins is not None and begins.startswith(b"{"):
        with lines_in(path) as lines:
            return read_json(core, lines, str(path), same_person=same_person)
    if begins not in (_HEADER, b""):
        raise StoreError(
            f"that is no store and no file of events: {path}", f"{_OTHER}, or what it handed over"
        )
    if path.samefile(core.path):
        raise StoreError(f"that is this store itself: {path}", _OTHER)
    with _readable(path) as (uri, version), guarded(path):
        backup.backup_before_merge(core)
        core.db.execute("ATTACH ? AS other", [uri])
        try:
            with core.writing():
                return _take_in(core, path, version, same_person=same_person)
        finally:
            core.db.execute("DETACH other")


def _take_in(core: Core, path: Path, version: int, *, same_person: bool) -> MergeReport:
    before = _last(core)
    gate = _gate(core, path)
    with guarded(path), _bounded(core, path):
        _plain_table(core, path, version)
        anew = _through_gate(core, gate, path, version)
        keep_wordings(core, ((name, wording.text) for name, wording in gate.wordings.items()))
    theirs = {row[0] for row in _theirs(core, path, _MACHINES.format("other"))}
    _same_person(core, path, gate.persons, theirs, same_person=same_person)
    again: list[str] = []
    _unite(core, anew, version, again)
    bodies = dict(anew)
    there = _theirs(core, path, f"SELECT no, {_NAMES} FROM other.event WHERE id IN", again)
    _refuse_others(core, gate, ((no, (*row[:-1], bodies.get(no, row[-1]))) for no, *row in there))
    return _report(core, path, before)


def _theirs(core: Core, path: Path, sql: str, ids: Iterable[str] | None = None) -> list[Row]:
    """Rows of the other store: what is wrong with them is said of its file, not of this one."""
    try:
        return core.rows(sql) if ids is None else list(by_id(core, sql, ids))
    except StoreError as error:
        if isinstance(error.__cause__, sqlite3.Error):
            raise said(error.__cause__, path) from error
        raise


def _last(core: Core) -> int:
    return int(core.one("SELECT coalesce(max(no), 0) FROM main.event"))


def _gate(core: Core, path: Path, unit: str = "event") -> Gate:
    """A gate that knows which loaded revisions are here already, word for word."""
    same = "SELECT 1 FROM main.event WHERE type = 'deck loaded' AND type <> 'reviewed' AND body = ?"
    return Gate(str(path), unit, lambda body: core.one(same, [body]) is not None)


def _plain_table(core: Core, path: Path, version: int) -> None:
    """Refuse a file whose events aren't in the very table that this program makes."""
    own = [schema.TRUTH.split(";")[0].strip()]
    if version >= schema.SEALED:
        own = [row[0] for row in core.rows("SELECT sql FROM main.sqlite_master WHERE name = 'event'")]
    found = _theirs(core, path, "SELECT type, sql FROM other.sqlite_master WHERE lower(name) = 'event'")
    if found != [("table", sql) for sql in own]:
        raise StoreError(f"its events aren't in a table that recall made: {path}", _OTHER)
    beside = "SELECT type, sql FROM {}.sqlite_master WHERE lower(name) = 'text'"
    if version >= schema.WORDED and _theirs(core, path, beside.format("other")) != core.rows(
        beside.format("main")
    ):
        raise StoreError(f"its wordings aren't in a table that recall made: {path}", _OTHER)


@contextmanager
def _bounded(core: Core, path: Path) -> Iterator[None]:
    """Nothing that another file says is trusted, and there is an end to one whose pages lead round in circles."""
    size = sum(each.stat().st_size for each in (path, path.with_name(path.name + "-wal")) if each.exists())
    left = iter(range((size * _STEPS_A_BYTE) // _STEPS + 1000))
    core.db.set_progress_handler(lambda: int(next(left, None) is None), _STEPS)
    core.db.execute("PRAGMA trusted_schema = OFF")
    try:
        yield
    finally:
        core.db.execute("PRAGMA trusted_schema = ON")
        core.db.set_progress_handler(None, 0)


def _through_gate(core: Core, gate: Gate, path: Path, version: int) -> list[tuple[int, str]]:
    """Take every event of the other store through the gate; numbers and bodies of those that are kept otherwise
    written."""
    checksum = "checksum" if version >= schema.SEALED else "NULL"
    core.db.create_function("plain", 2, _plain, deterministic=True)
    anew = []
    for number, sound, *values in core.db.execute(
        f"SELECT no, {checksum} IS NULL OR {checksum} = {checksum_of()}, {_BLOBS} FROM other.event NOT INDEXED"
        f" WHERE NOT plain({text_of(COLUMNS)}, {checksum}) ORDER BY no"
    ):
        row = gate.from_row(number, values, sound=bool(sound))
        if values[-1] != row[-1].encode():
            anew.append((number, row[-1]))
    beside = "SELECT hash, CAST(card AS BLOB) FROM other.text WHERE hash IN"
    theirs = (lambda names: _theirs(core, path, beside, names)) if version >= schema.WORDED else None
    gate.close(lambda names: _wordings(core, names), theirs)
    return anew


def _plain(text: bytes | None, checksum: int | None) -> bool:
    """Whether an event is a plain review that fits its checksum."""
    fits = checksum is None or (text is not None and zlib.crc32(text) == checksum)
    return text is not None and fits and _PLAIN.fullmatch(text) is not None


def _wordings(core: Core, names: set[str]) -> Wordings:
    """Card, answer and deck of wordings that are here."""
    parts = ", ".join(f"json_extract(card, '$.{name}')" for name in ("id", "answer_hash", "deck"))
    rows = by_id(core, f"SELECT hash, {parts} FROM main.text WHERE hash IN", names)
    return {name: Wording(*said) for name, *said in rows}


def _unite(core: Core, anew: Sequence[tuple[int, str]], version: int, again: list[str]) -> None:
    """Add the other's events that aren't here. again: takes up the ids of those that are here and say otherwise."""
    body, joined = "body", ""
    core.db.execute("CREATE TEMP TABLE IF NOT EXISTS anew (no INTEGER PRIMARY KEY, body TEXT NOT NULL)")
    try:
        if anew:
            core.db.executemany("INSERT INTO temp.anew VALUES (?, ?)", anew)
            body, joined = "coalesce(anew.body, event.body)", "LEFT JOIN temp.anew AS anew USING (no)"
        names = [*COLUMNS[:-1], body]
        checksum = checksum_of(names)
        if version >= schema.SEALED:
            checksum = f"iif({body} = event.body, checksum, {checksum})" if anew else "checksum"
        core.db.execute(
            f"INSERT INTO main.event ({_NAMES}, checksum) SELECT {', '.join(names)}, {checksum}"
            f" FROM other.event AS event NOT INDEXED {joined} WHERE true ORDER BY no {_noting(core, again)}"
        )
    finally:
        core.db.execute("DROP TABLE IF EXISTS temp.anew")


def _noting(core: Core, again: list[str]) -> str:
    """What an INSERT of events does with those that are here: nothing, but ids of those that say otherwise are
    noted."""
    core.db.create_function("noted", 1, again.append)
    rest = COLUMNS[1:]
    other = f"({', '.join(rest)}) IS NOT ({', '.join(f'excluded.{name}' for name in rest)})"
    return f"ON CONFLICT (id) DO UPDATE SET id = id WHERE {other} AND noted(id)"


def _refuse_others(core: Core, gate: Gate, came: Iterable[tuple[int, Row]]) -> None:
    """Refuse events under an id that is here with another content; where only the wordings stand elsewhere, nothing
    is another."""
    for number, row in came:
        (ours,) = core.rows(f"SELECT {_NAMES} FROM main.event WHERE id = ?", [row[0]])
        if _content(ours) != _content(row):
            raise StoreError(
                f"{gate.name}, {gate.unit} {number}, is here already and says something else",
                "one of the two files was changed by hand, or damaged: use the one that you trust",
            )


def _content(row: Row) -> dict[str, Any]:
    plain = to_dict(row)
    plain.pop("texts", None)
    return plain


def _same_person(core: Core, path: Path, persons: set[str], machines: set[str], *, same_person: bool) -> None:
    """Refuse another person's events, or note that the person is the same.

    A person is known by the events `person joined`. Where those were left out, by the machines: all must have written
    events that are here.
    """
    if persons & {said["person"] for _, said in core.told("person joined")}:
        return
    if not persons and machines <= {row[0] for row in core.rows(_MACHINES.format("main"))}:
        return
    if not same_person:
        raise StoreError(
            f"the store belongs to another person: {path}",
            "if both are yours, merge with --same-person; it is asked once",
        )
    for person in sorted(persons):
        core.append("person joined", {"person": person})


def _report(core: Core, path: Path, before: int) -> MergeReport:
    events, reviews = core.rows(
        "SELECT count(*), coalesce(sum(type = 'reviewed'), 0) FROM event WHERE no > ?", [before]
    )[0]
    try:
        return MergeReport(str(path), events, reviews, take(core, before))
    except _FAULTS as fault:
        raise StoreError(f"its events don't go together ({fault}): {path}", _OTHER) from fault


@contextmanager
def _readable(path: Path) -> Iterator[tuple[str, int]]:
    """An address at which the store can be read, and its version; the file itself is left as it is."""
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
        yield uri, version


def _version(path: Path, uri: str) -> int:
    with closing(sqlite3.connect(uri, uri=True, isolation_level=None)) as connection:
        return examine(path, connection, _OTHER)


def events_json(core: Core, left: list[int] | None = None) -> Iterator[str]:
    """All events as lines of JSON, in the order of replay without clock corrections; a load with the wordings that
    none before it had. left: takes up the numbers of those that are damaged and left out."""
    found = damage.damage_of(core.db) if left is not None else damage.Damage()
    if left is not None:
        left += [*found.changed, *[0] * found.lost]
    written: set[str] = set()
    for number, row in damage.sound_events(core.db):
        try:
            plain = to_dict(row)
            if plain["type"] == "deck loaded":
                if "texts" not in plain:
                    names = {entry[2] for entry in plain["cards"]} - written
                    plain["texts"] = {
                        name: json.loads(text) for name, text in damage.sound_wordings(core.db, names)
                    }
                written |= plain["texts"].keys()
            line = json.dumps(plain, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
            line.encode()
        except _FAULTS:
            if left is not None:
                left.append(number)
            continue
        yield line


@contextmanager
def lines_in(path: Path) -> Iterator[Iterator[str]]:
    """The lines of a file of events, each no longer than what the gate looks at."""
    try:
        with path.open(encoding="utf-8") as opened:
            yield iter(lambda: opened.readline(LONGEST_LINE + 1), "")
    except UnicodeDecodeError as fault:
        raise StoreError(f"`{path}` is no text", "name a file that `recall events` wrote") from fault


def read_json(core: Core, lines: Iterable[str], name: str, *, same_person: bool) -> MergeReport:
    """Take in events that `events_json` wrote; the union with those that are here."""
    path = Path(name)
    gate = _gate(core, path, "line")
    rows = {
        number: gate.from_json(number, line) for number, line in enumerate(lines, start=1) if line.strip()
    }
    gate.close(lambda names: _wordings(core, names))
    backup.backup_before_merge(core)
    with core.writing():
        before = _last(core)
        if before:
            machines = {row[0][14:20] for row in rows.values()}
            _same_person(core, path, gate.persons, machines, same_person=same_person)
        keep_wordings(core, ((name, wording.text) for name, wording in gate.wordings.items()))
        again: list[str] = []
        core.db.executemany(f"{INSERT} {_noting(core, again)}", rows.values())
        twice = set(again)
        _refuse_others(core, gate, ((number, row) for number, row in rows.items() if row[0] in twice))
        return _report(core, path, before)
