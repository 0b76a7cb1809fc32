"""Stores made by every version, kept as fixtures (`versions/make.py`), and how a step to the next one goes."""

import gzip
import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database
from sqlite_utils.migrations import Migrations
from store_kit import MORNING, answer, deck, knowledge

from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store, schema, steps
from recall.store.backup import backups
from recall.store.needs import NEEDS

VERSIONS = Path(__file__).parent / "versions"
LATER = SetClock(MORNING + timedelta(days=5))


def plain(found: dict[str, object]) -> Any:
    """As JSON gives it back."""
    return json.loads(json.dumps(found, default=str))


@pytest.mark.parametrize("version", range(1, schema.VERSIONS + 1))
def test_stores_of_every_version(tmp_path: Path, version: int) -> None:
    """A store of each version opens, with all its events, and knows what it knew."""
    path = tmp_path / "recall.db"
    path.write_bytes(gzip.decompress((VERSIONS / f"{version}.db.gz").read_bytes()))
    expected = json.loads((VERSIONS / f"{version}.json").read_text())
    with Store.open(path, LATER) as store:
        assert expected["events"] == [json.loads(line) for line in store.events_json()]
        assert expected["knowledge"] == plain(knowledge(store))
        assert store.doctor().well
        assert () == store.doctor().mended


@pytest.mark.parametrize("version", range(1, schema.VERSIONS + 1))
def test_tables_of_every_version(tmp_path: Path, store: Store, version: int) -> None:
    """A store of each version has, once opened, the tables of a new one."""
    path = tmp_path / "old.db"
    path.write_bytes(gzip.decompress((VERSIONS / f"{version}.db.gz").read_bytes()))
    tables = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%' ORDER BY name"
    with Store.open(path, LATER) as old:
        assert store.rows(tables) == old.rows(tables)


def test_the_newest_fixture_has_every_type_of_event() -> None:
    """The fixture leaves no type of event out."""
    events = json.loads((VERSIONS / f"{schema.VERSIONS}.json").read_text())["events"]

    assert {event["type"] for event in events} == set(NEEDS)


@pytest.fixture
def next_version(store: Store, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A filled store of this version, and a next one with a step planted; the step fails while the list is empty."""
    store.load(deck({"Battery": "24 V"}))
    answer(store, "Battery")
    goes: list[str] = []
    longer = Migrations("store")
    for known in steps.migrations.pending(Database(memory=True)):
        longer(name=known.name)(known.fn)

    def step(db: Database) -> None:
        db.execute("CREATE TABLE flown (id INTEGER PRIMARY KEY) STRICT")
        db.execute(f"INSERT INTO flown VALUES ({goes[0]})")

    longer(name="planted")(step)
    monkeypatch.setattr(steps, "migrations", longer)
    monkeypatch.setattr(schema, "VERSIONS", schema.VERSIONS + 1)
    return goes


def test_a_step_up(store: Store, clock: SetClock, next_version: list[str]) -> None:
    """A store of an earlier version is backed up, taken a step up, and keeps its events and what it knows."""
    before, events = knowledge(store), list(store.events_json())
    next_version.append("7")
    with Store.open(store.path, clock) as up:
        assert (before, events) == (knowledge(up), list(up.events_json()))
        assert 7 == up.one("SELECT id FROM flown")
        assert [schema.VERSIONS, 1] == [up.one("PRAGMA user_version"), len(backups(up))]


def test_a_step_that_fails(store: Store, clock: SetClock, next_version: list[str]) -> None:
    """A step that fails leaves the store as it was."""
    next_version.append("'no number'")
    with pytest.raises(StoreError):
        Store.open(store.path, clock)

    assert schema.VERSIONS - 1 == store.one("PRAGMA user_version")
    assert store.one("SELECT 1 FROM sqlite_master WHERE name = 'flown'") is None


def test_merging_an_earlier_version(
    store: Store, clock: SetClock, next_version: list[str], tmp_path: Path
) -> None:
    """A store of an earlier version is taken in without changing its file."""
    next_version.append("7")
    store.close()
    before = store.path.read_bytes()
    with Store.open(tmp_path / "new.db", clock) as new:
        (report,) = new.merge([store.path], same_person=True)

        assert 1 == report.reviews
    assert before == store.path.read_bytes()
