"""A look over the whole store: the file, the events, what is derived from them, the clocks that wrote them."""

import math
import sqlite3
from collections.abc import Callable, Collection, Iterable, Iterator
from contextlib import suppress
from typing import Any

from recall.base.errors import RecallError, StoreError
from recall.store import schema
from recall.store.backup import backups
from recall.store.clocks import corrected, present_doubted, wrong_clocks
from recall.store.core import Core
from recall.store.damage import RESCUE, damage_of
from recall.store.derive import rebuild
from recall.store.errors import code_of
from recall.store.needs import NEEDS
from recall.store.opening import Opened
from recall.store.reports import Diagnosis, WrongClock

_MOST_SAID = 4
_FAULTS = (RecallError, sqlite3.Error, ArithmeticError, AttributeError, LookupError, TypeError, ValueError)

Tables = dict[str, dict[Any, tuple[Any, ...]]]


def doctor(core: Opened, asked: str = "") -> Diagnosis:
    """See `Store.doctor`. Nothing is mended towards events that are damaged, or while the file is."""
    damage = damage_of(core.db)
    mended: list[str] = []
    faults = list(_tried(_integrity, core))
    if core.harm:
        faults.insert(0, core.harm)
    elif faults and not damage:
        with suppress(*_FAULTS):
            core.db.execute("REINDEX")
        left = list(_tried(_integrity, core))
        mended += [f"index: {fault}" for fault in faults if fault not in left]
        faults = left
    found = [f"events: {damage.said}"] if damage else []
    found += [f"file: {fault}" for fault in faults[:_MOST_SAID]]
    if len(faults) > _MOST_SAID:
        found.append(f"file: {len(faults) - _MOST_SAID} more")
    rescue = RESCUE if found else ""
    cards = 0
    clocks: list[WrongClock] = []
    moved: list[WrongClock] = []
    if not found:
        found += _tried(_events, core)
        with suppress(*_FAULTS):
            core.derive_anew()
        try:
            cards, differences = _derived(core)
            mended += differences
            clocks, moved = list(wrong_clocks(core, asked)), corrected(core)
            found += present_doubted(core)
        except _FAULTS as fault:
            said = _what(fault)
            found.append(said if _refused(fault) else f"events: what they say can't be worked out ({said})")
    newest = str(made[-1][1]) if (made := backups(core)) else ""
    told = (tuple(found), tuple(mended), tuple(clocks), damage.events, cards, newest)
    return Diagnosis(*told, rescue, tuple(moved))


def harm(core: Core) -> StoreError | None:
    """Why a store that is open gave a fault: the file, its events, or what was worked out from them is damaged; None
    where all three are as they should be."""
    damage = damage_of(core.db)
    faults = list(_tried(_integrity, core))
    if damage or faults:
        return StoreError(f"the store is damaged ({damage.said or faults[0]}): {core.path}", RESCUE)
    try:
        wrong = _derived(core, keep=False)[1]
    except _FAULTS as fault:
        if _refused(fault):
            return None
        return StoreError(f"what the events say can't be worked out ({_what(fault)}): {core.path}", RESCUE)
    if not wrong:
        return None
    return StoreError(
        f"what was worked out from the events is damaged ({wrong[0]}): {core.path}",
        "run `recall doctor`: it works it out anew",
    )


def _refused(error: Exception) -> bool:
    """Whether a store can't be written just now, which says nothing of what is in it."""
    return code_of(error.__cause__) in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_BUSY, sqlite3.SQLITE_FULL)


def _tried(look: Callable[[Core], Iterable[str]], core: Core) -> Iterator[str]:
    """What a look finds, or why it came to no end."""
    try:
        yield from look(core)
    except _FAULTS as fault:
        yield _what(fault)


def _what(fault: Exception) -> str:
    return fault.what if isinstance(fault, RecallError) else str(fault) or type(fault).__name__


def _integrity(core: Core) -> list[str]:
    return [
        line for (said,) in core.rows("PRAGMA integrity_check") for line in said.splitlines() if line != "ok"
    ]


def _events(core: Core) -> Iterator[str]:
    """What is wrong with the events themselves; none of it is mended."""
    for writer, count, last in core.rows(
        "SELECT writer, count(*), max(n) FROM event GROUP BY writer HAVING count(*) <> max(n)"
    ):
        yield f"events: {last - count} of the run {writer} are missing"
    for type, count in core.rows("SELECT type, count(*) FROM event GROUP BY type"):
        if type not in NEEDS:
            yield f"events: {count} are of a type that this version doesn't know (`{type}`)"


def snapshot(core: Core, tables_here: Collection[str] = schema.DERIVED_TABLES) -> Tables:
    """All that is derived, by table and key; row numbers, which mean nothing, left out."""
    tables: Tables = {}
    for table in tables_here:
        rows = core.db.execute(f"SELECT * FROM {table}")
        names = [column[0] for column in rows.description]
        skip = 1 if names[0] == "no" else 0
        keys = 2 if table == "link" else 1
        tables[table] = {row[skip : skip + keys]: row[skip + keys :] for row in rows}
    return tables


def differences(before: Tables, after: Tables) -> Iterator[str]:
    """What differs between two states, a line a table."""
    for table, rows in after.items():
        old = before.get(table, {})
        wrong = sum(not _same(old.get(key), rows.get(key)) for key in old.keys() | rows.keys())
        if wrong:
            yield f"{table}: {wrong} of {len(rows)} rows weren't what the events say"


def _same(one: tuple[Any, ...] | None, two: tuple[Any, ...] | None) -> bool:
    if one is None or two is None:
        return one is two
    return len(one) == len(two) and all(
        a == b or (isinstance(a, float) and isinstance(b, float) and math.isclose(a, b, rel_tol=1e-9))
        for a, b in zip(one, two, strict=True)
    )


class _NothingToMend(Exception):  # noqa: N818
    """Leaves the transaction without a change."""


def _derived(core: Core, *, keep: bool = True) -> tuple[int, list[str]]:
    """Derive all anew and compare; kept only where it differs and is to be kept."""
    wrong: list[str] = []
    cards = 0
    try:
        with core.writing():
            tables = {name for (name,) in core.rows("SELECT name FROM sqlite_master WHERE type = 'table'")}
            here = tables & set(schema.DERIVED_TABLES)
            before = snapshot(core, here)
            if len(here) < len(schema.DERIVED_TABLES):
                from recall.store import steps

                for table in schema.DERIVED_TABLES:
                    core.db.execute(f"DROP TABLE IF EXISTS {table}")
                steps.script(core.db, schema.DERIVED)
            cards = rebuild(core)
            wrong = list(differences(before, snapshot(core)))
            if not keep or not wrong:
                raise _NothingToMend
    except _NothingToMend:
        pass
    return cards, wrong
