"""Damage: each event has a checksum; what is damaged is named, mended towards nowhere, and the rest is rescued."""

import sqlite3
import struct
import zlib
from contextlib import closing
from fractions import Fraction
from pathlib import Path

import pytest
from cli_kit import recall
from crafted import full_store
from damage import damaged, sound_store
from hypothesis import given, settings
from hypothesis import strategies as st
from store_kit import MORNING, answer, deck, knowledge

from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store
from recall.store.backup import backups, folder_of
from recall.store.damage import damage_of
from recall.store.events import COLUMNS, checksum_of

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full"}


@pytest.fixture
def used(store: Store) -> Store:
    """A store with a few answers."""
    store.load(deck(FACTS))
    for subject in FACTS:
        answer(store, subject, seconds=2.5)
    answer(store, "Pump", 1)
    return store


def harm(store: Store, sql: str) -> None:
    """Change events behind the program's back."""
    store.db.execute("DROP TRIGGER event_stays")
    store.db.execute(sql)


def test_flipped_bytes() -> None:
    """Whichever bytes of a file flip: no raw exception, no event shown otherwise than it was written (twelve stores
    here; `tests/damage.py` tries 200). SQLite notices no changed content by itself; its own checksums are an
    extension that isn't part of it (sqlite.org, "The Checksum VFS Shim")."""
    counts = damaged(12, seed=1)
    bad = {name: count for name, count in counts.items() if count and ("raw" in name or "silent" in name)}

    assert {} == bad
    assert 12 == counts["stores"]
    assert counts["rescued"] > 2
    assert [] == [name for name in counts if name.startswith(("not rescued", "doctor"))]


def test_checksum_is_the_standards() -> None:
    """The checksum is the CRC-32 of ISO 3309, whose check value of `123456789` is CBF43926 (RFC 1952 section 8; the
    value from memory of the catalogues of such codes)."""
    assert 0xCBF43926 == zlib.crc32(b"123456789")


def test_checksum_of_a_row(used: Store) -> None:
    """The checksum is over all that an event says, in the same bytes on every version of SQLite."""
    (row,) = used.rows(f"SELECT {', '.join(COLUMNS)}, checksum FROM event WHERE no = 3")
    id, type, card, day, mark, ok, hash, seconds, body, checksum = row
    whole, rest = divmod(Fraction(seconds), 1)
    text = f"{id}|{type}|{card}|{hash}|{day}|{mark}|{ok}|{whole}.{rest * 2**62}|{body}"

    assert zlib.crc32(text.encode()) == checksum


@settings(deadline=None)
@given(st.floats(0.001, 86_400), st.integers(0, 63))
def test_one_bit_of_a_time(seconds: float, bit: int) -> None:
    """Whichever bit of a time in seconds flips, the checksum is another one."""
    (number,) = struct.unpack("<Q", struct.pack("<d", seconds))
    (flipped,) = struct.unpack("<d", struct.pack("<Q", number ^ (1 << bit)))
    with closing(sqlite3.connect(":memory:")) as db:
        db.create_function("crc32", 1, zlib.crc32)
        sql = f"SELECT {checksum_of(['?1'] * 7 + ['?2', '?1'])}"
        one, other = (db.execute(sql, ["x", each]).fetchone()[0] for each in (seconds, flipped))

    assert one != other


def test_every_changed_field_is_noticed(used: Store) -> None:
    """A change in any column of an event is noticed, and only that event is."""
    changes = [
        "type = 'x'",
        "card = 'x'",
        "day = day + 1",
        "mark = 2",
        "ok = 0",
        "answer = NULL",
        "seconds = 2.51",
    ]
    used.db.execute("DROP TRIGGER event_stays")
    noticed = []
    for change in [*changes, "body = replace(body, '1', '2')", "checksum = checksum + 1"]:
        used.db.execute("SAVEPOINT before")
        used.db.execute(f"UPDATE event SET {change} WHERE no = 4")
        noticed.append(damage_of(used.db).changed)
        used.db.execute("ROLLBACK TO before")
        used.db.execute("RELEASE before")

    assert [(4,)] * 9 == noticed


def test_the_doctor_mends_nothing_towards_damage(used: Store) -> None:
    """What is known stays as it was before an event was damaged, and so do the indexes; the event is named."""
    before = knowledge(used)
    harm(used, "UPDATE event SET mark = 1 WHERE no = 4")
    diagnosis = used.doctor()

    assert before == knowledge(used)
    assert ("events: 1 of 6 events doesn't fit its checksum (number 4)",) == diagnosis.found
    assert () == diagnosis.mended
    assert "recall events > FILE" in diagnosis.rescue
    assert "doctor" not in diagnosis.rescue


def test_a_later_version_derives_nothing_from_damage(used: Store, clock: SetClock) -> None:
    """A version that derives otherwise doesn't begin with a damaged event: it says so, and leaves what is known."""
    harm(used, "UPDATE event SET mark = 1 WHERE no = 4")
    used.db.execute("UPDATE state SET value = 'old' WHERE name = 'derived'")
    before = knowledge(used)
    with pytest.raises(StoreError, match="doesn't fit its checksum") as refused:
        Store.open(used.path, clock)

    assert "events --read" in refused.value.help
    assert before == knowledge(used)


def test_a_damaged_store_is_not_called_backed_up(used: Store, tmp_path: Path) -> None:
    """A copy of a damaged store isn't called a backup, and takes no good one's place."""
    good = used.backup()
    harm(used, "UPDATE event SET body = replace(body, 'daily', 'dAily') WHERE no = 4")
    for to in (None, tmp_path / "copy.db"):
        with pytest.raises(StoreError, match="doesn't fit its checksum") as refused:
            used.backup(to)
        assert "events --read" in refused.value.help

    assert [good] == list(folder_of(used).iterdir())
    assert [good] == [path for _, path in backups(used)]


def test_a_damaged_store_takes_nothing_in(used: Store, tmp_path: Path) -> None:
    """Nothing is merged into a damaged store, since it can't be backed up before."""
    with full_store(tmp_path / "other.db", SetClock(MORNING)) as other:
        harm(used, "UPDATE event SET mark = 2 WHERE no = 4")
        with pytest.raises(StoreError, match="no backup was made"):
            used.merge([other.path], same_person=True)


def test_damage_of_the_other_store_is_said_of_it(used: Store, tmp_path: Path) -> None:
    """A damaged list of tables in the store that is merged: one line, which names that file and not this store."""
    with full_store(tmp_path / "other.db", SetClock(MORNING)) as other:
        other.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    content = other.path.read_bytes()
    at = content.index(b"INTEGER", content.index(b"CREATE TABLE event"))
    other.path.write_bytes(content[:at] + b"\xff" + content[at + 1 :])
    with pytest.raises(StoreError, match="the store is damaged: ") as refused:
        used.merge([other.path], same_person=True)

    assert f"the store is damaged: {other.path}" == refused.value.what


def test_rescue(used: Store, tmp_path: Path) -> None:
    """By what the messages say: all events but the damaged one go into a new store, which stays this person's."""
    whole = set(used.events_json())
    harm(used, "UPDATE event SET mark = 2 WHERE no = 4")
    used.close()
    written = recall("events", store=used.path)
    (tmp_path / "events.jsonl").write_text(written.out, encoding="utf-8")
    new = tmp_path / "new.db"
    read = recall("events", "--read", tmp_path / "events.jsonl", store=new)

    assert (1, 0) == (written.code, read.code)
    assert "1 event can't be read and was left out (number 4)" in written.err
    assert "events --read" in written.err
    assert "5 new events, 3 of them answers." in read.out
    assert set(written.out.splitlines()) < whole
    with Store.open(new, SetClock(MORNING)) as rescued:
        assert written.out.splitlines() == list(rescued.events_json())
        assert [] == [each for each in rescued.doctor().found if "missing" not in each]


def test_events_that_cannot_be_read(used: Store) -> None:
    """An event with bytes that are no UTF-8 is passed over; all others are written."""
    lines = list(used.events_json())
    harm(used, "UPDATE event SET card = CAST(x'ff41' AS TEXT) WHERE no = 4")
    left: list[int] = []
    written = list(used.events_json(left))

    assert [4] == left
    assert set(written) < set(lines)


def test_a_damaged_wording(used: Store, tmp_path: Path) -> None:
    """A wording that isn't what its hash says is named, backed up nowhere and written out nowhere; what was answered
    is."""
    lines = list(used.events_json())
    used.db.executescript("DROP TRIGGER text_stays; UPDATE text SET card = replace(card, '24 V', '25 V')")
    left: list[int] = []
    written = list(used.events_json(left))
    found = used.doctor().found
    with pytest.raises(StoreError, match="1 wording can't be relied on"):
        used.backup(tmp_path / "copy.db")

    assert [2] == left
    assert [line for line in lines if '"deck loaded"' not in line] == written
    assert ("events: 1 wording can't be relied on",) == found


def test_wordings_stay(used: Store) -> None:
    """Nothing changes a wording or takes one away."""
    for sql in ("UPDATE text SET card = ''", "DELETE FROM text"):
        with pytest.raises(sqlite3.IntegrityError, match="wordings are never"):
            used.db.execute(sql)


def test_a_torn_page_of_events(tmp_path: Path) -> None:
    """A page of events that is all noise costs its events alone, and their number is told."""
    path = sound_store(tmp_path)
    whole = recall("events", store=path).out.splitlines()
    with Store.open(path, SetClock(MORNING)) as store:
        place = store.one("SELECT id FROM event WHERE no = 150").encode()
    content = bytearray(path.read_bytes())
    page = content.index(place + b"reviewed") // 4096
    content[page * 4096 : page * 4096 + 4096] = b"\xa5" * 4096
    path.write_bytes(content)
    ran = recall("events", store=path)
    doctor = recall("doctor", store=path)

    assert 1 == ran.code
    left = len(whole) - len(ran.out.splitlines())
    assert 0 < left < 60
    assert f"{left} events can't be read" in ran.err
    assert 1 == doctor.code
    assert "found: " in doctor.out
    assert "recall doctor" not in doctor.out + doctor.err


@pytest.mark.parametrize(
    ("harmed", "words"), [("topic = '[\"Sys'", ["weak"]), ("standing = 'curreNt'", ["history", "Battery?"])]
)
def test_damage_to_what_is_derived(used: Store, harmed: str, words: list[str]) -> None:
    """A command that stumbles over what was worked out says so and how it is mended; the doctor mends it."""
    before = knowledge(used)
    used.db.execute(f"UPDATE card SET {harmed}")
    used.close()
    ran = recall(*words, store=used.path)
    doctor = recall("doctor", store=used.path)

    assert 2 == ran.code
    assert "what was worked out from the events is damaged" in ran.err
    assert "mended: card" in doctor.out
    with Store.open(used.path, SetClock(MORNING)) as again:
        assert before == knowledge(again)


def test_a_fault_of_the_program_stays_one(used: Store) -> None:
    """In a sound store a fault isn't put down to damage."""
    with pytest.raises(KeyError), Store.open(used.path, used.clock):
        raise KeyError("a fault of the program")


def test_an_event_written_by_another_program(used: Store) -> None:
    """An event that came in without a checksum shows as damage."""
    used.db.execute(
        "INSERT INTO event (id, type, body) VALUES ('1772355600001-cccccccccccccccc-000001', 'undone', '{}')"
    )

    assert (7,) == damage_of(used.db).changed


@pytest.mark.parametrize(("first", "last"), [(68, 72), (100, 104)])
def test_a_damaged_head(used: Store, first: int, last: int) -> None:
    """A store whose mark or list of tables is damaged still gives its events, and the doctor says what is
    wrong (places: sqlite.org, "Database File Format", section 1.3)."""
    whole = set(used.events_json())
    used.close()
    content = bytearray(used.path.read_bytes())
    for at in range(first, last):
        content[at] ^= 0xA5
    used.path.write_bytes(content)
    ran, doctor = recall("events", store=used.path), recall("doctor", store=used.path)

    assert set(ran.out.splitlines()) <= whole
    assert doctor.code
    assert "recall doctor" not in doctor.out + doctor.err
    assert content == used.path.read_bytes()


@pytest.mark.parametrize("version", [0, -5])
def test_a_version_that_no_store_has(used: Store, version: int) -> None:
    """A head that says so is damaged; a store that is there isn't made anew, for another person."""
    used.db.execute(f"PRAGMA user_version = {version}")
    used.close()
    content = used.path.read_bytes()
    due, ran = recall("due", store=used.path), recall("events", store=used.path)

    assert (2, True) == (due.code, "the head of the store is damaged" in due.err)
    assert 6 == len(ran.out.splitlines())
    assert content == used.path.read_bytes()


def test_a_torn_end(tmp_path: Path) -> None:
    """A store whose copy was cut off gives the events that are there, and says how many are not."""
    path = sound_store(tmp_path)
    whole = recall("events", store=path).out.splitlines()
    content = path.read_bytes()
    path.write_bytes(content[: len(content) * 9 // 10])
    ran, doctor, copy = (
        recall(*words, store=path) for words in (["events"], ["doctor"], ["backup", tmp_path / "copy.db"])
    )

    assert set(ran.out.splitlines()) < set(whole)
    assert len(whole) // 2 < len(ran.out.splitlines())
    assert (1, 1, 2) == (ran.code, doctor.code, copy.code)
    assert "found: file: the store is damaged" in doctor.out
    assert not (tmp_path / "copy.db").exists()
