"""Files that are no store, can't be written, come from another version; backups; two at once."""

import os
import resource
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from datetime import datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from sqlite_utils import Database
from store_kit import answer, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.base.errors import RecallError, StoreError
from recall.store import Store
from recall.store.backup import backup_if_due, backups, folder_of, thinned

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full"}


def test_not_a_database(tmp_path: Path, clock: SetClock) -> None:
    """A file of something else is refused and left as it is."""
    path = tmp_path / "notes.md"
    path.write_text("# Electrical\n" * 100)
    with pytest.raises(StoreError, match="not a store"):
        Store.open(path, clock)

    assert "# Electrical\n" * 100 == path.read_text()


def test_another_programs_database(tmp_path: Path, clock: SetClock) -> None:
    """A database of another program is refused and left as it is."""
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE flight (id)")
        db.commit()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="not a store"):
        Store.open(path, clock)

    assert before == path.read_bytes()


def test_later_version(store: Store, clock: SetClock) -> None:
    """A store of a later version is refused, untouched."""
    store.db.execute("PRAGMA user_version = 999")
    store.close()
    before = store.path.read_bytes()
    with pytest.raises(StoreError, match="later version") as refused:
        Store.open(store.path, clock)

    assert "upgrade" in refused.value.help
    assert before == store.path.read_bytes()


def test_creation_interrupted(tmp_path: Path, clock: SetClock) -> None:
    """An empty file, left by a start that was cut off, becomes a store."""
    path = tmp_path / "recall.db"
    path.touch()
    with Store.open(path, clock) as store:
        assert 1 == len(list(store.events_json()))


def test_no_store(tmp_path: Path, clock: SetClock) -> None:
    """A store that must be there and isn't, is refused and not made."""
    with pytest.raises(StoreError, match="no store"):
        Store.open(tmp_path / "none.db", clock, create=False)

    assert not (tmp_path / "none.db").exists()


def test_folder_that_cannot_be_made(tmp_path: Path, clock: SetClock) -> None:
    """A path below a file, or a folder itself, can't be a store."""
    (tmp_path / "file").touch()
    for path in (tmp_path / "file" / "recall.db", tmp_path):
        with pytest.raises(StoreError):
            Store.open(path, clock)


@pytest.mark.parametrize("put", [False, True])
def test_a_store_that_is_gone_keeps_nothing_more(store: Store, clock: SetClock, put: bool) -> None:
    """Deleted, or replaced by a copy, while it is open: the next answer is refused, not written to a file that nobody
    sees again (sqlite.org, "How To Corrupt An SQLite Database File", section 2.4: a file that is unlinked in use)."""
    store.load(deck(FACTS))
    store.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    content = store.path.read_bytes()
    store.path.unlink()
    if put:
        store.path.write_bytes(content)
    with pytest.raises(StoreError, match="moved, deleted or replaced while it was in use"):
        answer(store, "Pump")

    assert put == store.path.exists()


def test_events_are_never_changed(store: Store) -> None:
    """The table of events refuses changes and deletions, also by replacement."""
    for sql in (
        "UPDATE event SET body = '{}'",
        "DELETE FROM event",
        "INSERT OR REPLACE INTO event (no, id, type, body) SELECT no, id, type, body FROM event",
    ):
        with pytest.raises(sqlite3.IntegrityError, match="never"):
            store.db.execute(sql)


def test_safety_is_on(store: Store) -> None:
    """The file is written ahead, in full, with foreign keys; all tables are strict."""
    values = [store.one(f"PRAGMA {name}") for name in ("journal_mode", "synchronous", "foreign_keys")]

    assert ["wal", 2, 1] == values
    assert all(table.strict for table in Database(store.db).tables if not table.name.startswith("_"))


_ASK_AND_ANSWER = """
import os, sys
from pathlib import Path
from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store
from sqlite_utils import Database
from store_kit import MORNING, answer, deck, knowledge

folder = Path(sys.argv[1])
with Store.open(folder / "warm.db", SetClock(MORNING)) as store:
    store.load(deck({"Battery": "24 V"}))
    answer(store, "Battery")
(folder / "recall.db").chmod(0o444)
folder.chmod(0o555)
if os.geteuid() == 0:
    os.setuid(65534)
store = Store.open(folder / "recall.db", SetClock(MORNING))
print(knowledge(store))
try:
    answer(store, "Pump")
except StoreError as error:
    print(error.what, error.help, file=sys.stderr)
"""


def test_read_only(clock: SetClock) -> None:
    """From a file that can only be read all can be asked; an answer is refused with what to do."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        with Store.open(folder / "recall.db", clock) as store:
            store.load(deck(FACTS))
            answer(store, "Battery")
            expected = knowledge(store)
        root = Path(__file__).parents[2]
        done = subprocess.run(
            [sys.executable, "-c", _ASK_AND_ANSWER, name],
            env={**os.environ, "PYTHONPATH": f"{root}{os.pathsep}{root / 'tests'}"},
            capture_output=True,
            text=True,
            check=False,
        )
        folder.chmod(0o755)

    assert str(expected) == done.stdout.strip(), done.stderr
    assert "read-only" in done.stderr
    assert "permissions" in done.stderr


def test_no_room_for_what_readers_share(store: Store) -> None:
    """A disk so full that a store can't even be read is said to be full: no backup is to be put over the store."""
    store.load(deck(FACTS))
    store.close()
    done = subprocess.run(
        [sys.executable, "-m", "recall", "--store", str(store.path), "due"],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2]), "PYTHONDONTWRITEBYTECODE": "1"},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192)),
        capture_output=True,
        text=True,
        check=False,
    )

    assert 2 == done.returncode
    assert "the disk is full" in done.stderr
    assert "backup" not in done.stderr


def test_full_disk(store: Store) -> None:
    """On a full disk an answer is refused with what to do; those before it stay, and with room it goes on."""
    store.load(deck(FACTS))
    answer(store, "Battery")
    pages = store.one("PRAGMA page_count")
    store.db.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(StoreError, match="disk is full"):
        for _ in range(500):
            answer(store, "Pump", given="x" * 400)
    kept = known_of(store, "Pump").asked
    assert ["ok"] == [row[0] for row in store.rows("PRAGMA integrity_check")]
    store.db.execute("PRAGMA max_page_count = 1000000")
    answer(store, "Tank")

    assert kept == known_of(store, "Pump").asked
    assert store.doctor().well
    assert 1 == known_of(store, "Battery").asked


def test_damaged_file(store: Store, clock: SetClock) -> None:
    """A damaged file is said to be damaged, never taken for an empty one."""
    store.load(deck({f"Item {at}": "on" for at in range(60)}))
    store.close()
    content = bytearray(store.path.read_bytes())
    content[4096:] = b"\xa5" * (len(content) - 4096)
    store.path.write_bytes(content)
    with pytest.raises(StoreError, match="damaged"):
        Store.open(store.path, clock)


def test_two_wait_for_each_other(store: Store, clock: SetClock) -> None:
    """Two sessions and a merge on one store at the same time lose nothing."""
    facts = {f"Item {at}": "on" for at in range(20)}
    store.load(deck(facts))
    with Store.open(store.path.with_name("other.db"), clock) as other:
        other.load(deck(facts))
        for at in range(10):
            answer(other, f"Item {at}")
    faults: list[BaseException] = []

    def session(first: int) -> None:
        try:
            with Store.open(store.path, clock) as own:
                for at in range(first, first + 10):
                    answer(own, f"Item {at}")
        except BaseException as fault:
            faults.append(fault)

    def merging() -> None:
        try:
            with Store.open(store.path, clock) as own:
                own.merge([store.path.with_name("other.db")], same_person=True)
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=work) for work in (lambda: session(0), lambda: session(10), merging)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [] == faults
    assert 30 == store.one("SELECT count(*) FROM event WHERE type = 'reviewed'")
    assert store.doctor().well and not store.doctor().mended


def test_locked(store: Store, clock: SetClock) -> None:
    """A store that another run holds for too long is said to be in use."""
    store.load(deck(FACTS))
    with (
        Store.open(store.path, clock, patience=0.05) as other,
        store.writing(),
        pytest.raises(StoreError, match="another run"),
    ):
        answer(other, "Battery")

    assert known_of(store, "Battery").memory is None


def test_backup(store: Store, clock: SetClock, tmp_path: Path) -> None:
    """A backup is a whole store, at a path of the person's or beside the store."""
    store.load(deck(FACTS))
    answer(store, "Battery")
    with pytest.raises(RecallError, match="there is no folder"):
        store.backup(tmp_path / "usb" / "copy.db")
    (tmp_path / "usb").mkdir()
    named, beside = store.backup(tmp_path / "usb" / "copy.db"), store.backup()
    for path in (named, beside):
        with Store.open(path, clock) as copy:
            assert knowledge(store) == knowledge(copy)
    with pytest.raises(StoreError, match="a file already"):
        store.backup(named)

    assert folder_of(store) == beside.parent
    assert not list(folder_of(store).glob("*.part"))


def test_a_backup_that_is_put_back(store: Store, clock: SetClock) -> None:
    """It is written ahead again, as any store."""
    copy = store.backup()
    store.close()
    store.path.write_bytes(copy.read_bytes())
    with Store.open(store.path, clock) as again:
        assert "wal" == again.one("PRAGMA journal_mode")


def test_weekly_backup(store: Store, clock: SetClock) -> None:
    """Leaving a store that was written makes the weekly backup, once a week, when there is a review to keep."""
    counts = []
    for days in (0, 0, 3, 5):
        clock.advance(days * 86_400)
        with Store.open(store.path, clock) as own:
            own.load(deck(FACTS))
            if len(counts):
                answer(own, "Battery")
        counts.append(len(backups(store)))

    assert [0, 1, 1, 2] == counts


def test_thinning() -> None:
    """Kept are the newest four, the last of each of twelve months and the last of each year."""
    start = datetime(2023, 1, 1, tzinfo=timezone.utc)
    kept: list[datetime] = []
    for week in range(52 * 4):
        kept.append(start + timedelta(weeks=week))
        gone = set(thinned(kept, kept[-1]))
        kept = [moment for moment in kept if moment not in gone]

    assert 4 == len({moment.year for moment in kept})
    assert kept[-4:] == [start + timedelta(weeks=week) for week in range(204, 208)]
    assert 12 + 4 <= len(kept) <= 12 + 4 + 4


@pytest.mark.parametrize(
    "wrong", [datetime(2000, 1, 1, tzinfo=timezone.utc), datetime(2068, 6, 1, tzinfo=timezone.utc)]
)
def test_weekly_whatever_a_clock_said(store: Store, clock: SetClock, wrong: datetime) -> None:
    """Backups go on week by week after a run whose clock was behind or ahead, and the newest four of them stay."""
    store.load(deck(FACTS))
    answer(store, "Battery")
    right = clock.at
    for second in range(5):
        clock.at = wrong + timedelta(seconds=second)
        store.backup()
    made = []
    for week in range(1, 7):
        clock.at = right + timedelta(weeks=week)
        made.append(backup_if_due(store) is not None)
    own = [moment for moment, _ in backups(store) if moment.year == 2026]

    assert [True] * 6 == made
    assert [right + timedelta(weeks=week) for week in range(3, 7)] == own[-4:]


def test_foreign_files_among_backups(store: Store) -> None:
    """Thinning touches nothing but backups."""
    folder_of(store).mkdir()
    foreign = folder_of(store) / f"{store.path.stem}-mine.db"
    foreign.write_text("keep")
    for _ in range(8):
        store.clock.advance(8 * 86_400)  # type: ignore[attr-defined]
        store.backup()

    assert "keep" == foreign.read_text()
    assert len(backups(store)) < 8
