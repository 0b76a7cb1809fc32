"""What comes in from outside: one strict gate for stores and files, and whose events they are."""

import json
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing, nullcontext
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from crafted import crafted_store, full_store
from damage import crafted
from store_kit import MORNING, answer, card_of, deck, knowledge

from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store
from recall.store.backup import backups
from recall.store.damage import add_functions, damage_of
from recall.store.events import LONGEST_TEXT, checksum_of
from recall.store.needs import NEEDS, check_setting
from recall.store.schema import STAYS

VNE = {"Speed": "120 kt"}


@pytest.fixture
def genuine(tmp_path: Path) -> Store:
    """Another device, with every type of event."""
    return full_store(tmp_path / "genuine.db", SetClock(MORNING))


def lines_of(store: Store) -> list[dict[str, object]]:
    """Its events, as they are written out."""
    return [json.loads(line) for line in store.events_json()]


def test_crafted_events() -> None:
    """Whatever somebody crafts is refused in one clear line, the store as it was, or harmless then and later (one in
    six here; `tests/damage.py` tries them all)."""
    counts, _ = crafted(every=6)

    assert counts["refused"] > 150
    assert counts["harmless"] > 3


def test_every_type_of_event_passes(store: Store, genuine: Store) -> None:
    """What a device wrote passes as a file and as a store, event by event."""
    assert {event["type"] for event in lines_of(genuine)} == set(NEEDS)
    store.read_json(genuine.events_json(), "genuine", same_person=True)
    (again,) = store.merge([genuine.path])

    assert 0 == again.events
    assert set(genuine.events_json()) < set(store.events_json())


def test_planted_wording(store: Store, tmp_path: Path, clock: SetClock) -> None:
    """A wording under another's hash never comes before the genuine one: a limit stays what was published."""
    with Store.open(tmp_path / "instructor.db", clock) as instructor:
        instructor.load(deck(VNE))
        (load,) = (event for event in lines_of(instructor) if event["type"] == "deck loaded")
    load["texts"] = {
        name: {**wording, "answer": ["190 kt"]}
        for name, wording in load["texts"].items()  # type: ignore[attr-defined]
    }
    with pytest.raises(StoreError, match=r"line 1: the wording .* isn't the one") as refused:
        store.read_json([json.dumps(load)], "planted.jsonl", same_person=True)
    store.load(deck(VNE))

    assert "\n" not in refused.value.what
    assert ("120 kt",) == tuple(store.card(card_of(store, "Speed")).answer.texts)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("UPDATE text SET card = replace(card, '120', '190')", r"a wording: the wording .* isn't the one"),
        ("UPDATE text SET card = '{'", "a wording: "),
        (f"UPDATE text SET card = '{'[' * 900}'", "a wording: it is nested"),
        ("UPDATE text SET card = CAST(x'ff' AS TEXT)", "a wording: "),
        ("DELETE FROM text", r"event 2: the wording .* is missing"),
        (
            "ALTER TABLE text RENAME TO old; CREATE VIEW text AS SELECT * FROM old",
            "wordings aren't in a table",
        ),
        ("ALTER TABLE text ADD COLUMN more TEXT", "wordings aren't in a table"),
        ("DROP TABLE text", "wordings aren't in a table"),
    ],
)
def test_planted_wordings_of_a_store(
    store: Store, tmp_path: Path, clock: SetClock, change: str, said: str
) -> None:
    """Wordings that stand beside another store's events pass the gate as they do, or the store is as it was."""
    with Store.open(tmp_path / "instructor.db", clock) as instructor:
        instructor.load(deck(VNE))
    free = "DROP TRIGGER text_stays; DROP TRIGGER text_kept;"
    crafted_store(
        instructor.path, tmp_path / "crafted.db", lambda db: db.executescript(free + change) and None
    )
    before = knowledge(store), list(store.events_json())
    with pytest.raises(StoreError, match=said) as refused:
        store.merge([tmp_path / "crafted.db"], same_person=True)
    store.db.execute("SELECT 1")

    assert "\n" not in refused.value.what
    assert before == (knowledge(store), list(store.events_json()))
    assert store.merge([instructor.path], same_person=True)
    assert ("120 kt",) == tuple(store.card(card_of(store, "Speed")).answer.texts)


def test_another_event_under_a_known_id(store: Store, genuine: Store, tmp_path: Path) -> None:
    """An event whose id is here with another content is refused by its number, from a file and from a store; the same
    event is taken again in silence."""
    store.merge([genuine.path], same_person=True)
    lines = list(genuine.events_json())
    at = next(at for at, line in enumerate(lines) if '"type":"reviewed"' in line)
    changed = json.dumps(json.loads(lines[at]) | {"mark": 1, "right": False})
    other = [*lines[:at], changed, *lines[at + 1 :]]
    before = knowledge(store)
    with pytest.raises(StoreError, match=f"^file, line {at + 1}, is here already and says something else$"):
        store.read_json(other, "file", same_person=True)
    script = "DROP TRIGGER event_stays; UPDATE event SET mark = 1, ok = 0 WHERE no = 3;"

    def change(db: sqlite3.Connection) -> None:
        add_functions(db)
        db.executescript(f"{script} UPDATE event SET checksum = {checksum_of()}; " + STAYS)

    genuine.close()
    crafted_store(genuine.path, tmp_path / "crafted.db", change)
    with pytest.raises(StoreError, match=r"event 3, is here already and says something else$"):
        store.merge([tmp_path / "crafted.db"])

    assert before == knowledge(store)
    assert 0 == store.read_json(lines, "file").events
    with pytest.raises(StoreError, match="line 2, is here already"):
        Store.from_json(tmp_path / "new.db", [lines[at], changed], SetClock(MORNING), "twice")


def test_the_first_bad_event_is_named(store: Store, genuine: Store) -> None:
    """A file is refused whole, by the number of its first bad event, which stands in the help's own words."""
    lines = list(genuine.events_json())
    bad = json.loads(lines[3]) | {"mark": 7}
    with pytest.raises(StoreError, match=r"^file, line 4: its `mark` isn't 1, 2, 3 or 4$"):
        store.read_json([*lines[:3], json.dumps(bad), *lines[4:], "{"], "file", same_person=True)

    assert 1 == store.one("SELECT count(*) FROM event")


def test_the_first_bad_event_of_a_store_is_named(store: Store, genuine: Store, tmp_path: Path) -> None:
    """The same of a store, also where a checksum doesn't fit."""
    genuine.close()
    harm: Callable[[sqlite3.Connection], object] = lambda db: db.executescript(  # noqa: E731
        "DROP TRIGGER event_stays; UPDATE event SET seconds = 3.5 WHERE no IN (4, 6)"
    )
    crafted_store(genuine.path, tmp_path / "other.db", harm)  # type: ignore[arg-type]
    with pytest.raises(StoreError, match=r"event 4: it doesn't fit its checksum: it is damaged"):
        store.merge([tmp_path / "other.db"], same_person=True)

    assert 1 == store.one("SELECT count(*) FROM event")


def test_a_view_is_no_table_of_events(store: Store, genuine: Store, tmp_path: Path) -> None:
    """A store whose events are a view, or a table of another making, is refused unread (after sqlite.org, "Defense
    Against The Dark Arts": never trust the schema of a file from elsewhere)."""
    genuine.close()
    view = "ALTER TABLE event RENAME TO old; CREATE VIEW event AS SELECT * FROM old"
    crafted_store(genuine.path, tmp_path / "other.db", lambda db: db.executescript(view))  # type: ignore[arg-type]
    with pytest.raises(StoreError, match="aren't in a table that recall made"):
        store.merge([tmp_path / "other.db"], same_person=True)

    assert 1 == store.one("PRAGMA trusted_schema")


def test_pages_that_lead_round(store: Store, genuine: Store, tmp_path: Path) -> None:
    """A file whose pages lead to one leaf along more ways than anybody could walk is given up (layout: sqlite.org,
    "Database File Format", section 1.6)."""
    with genuine.writing():
        for _ in range(200):
            answer(genuine, "Pump", given="x" * 300)
    genuine.close()
    path = tmp_path / "other.db"
    crafted_store(genuine.path, path, lambda db: db.executescript("VACUUM"))
    with closing(sqlite3.connect(path)) as db:
        root = db.execute("SELECT rootpage FROM sqlite_master WHERE name = 'event'").fetchone()[0]
    content = path.read_bytes()
    inner, pages = bytearray(content[(root - 1) * 4096 : root * 4096]), len(content) // 4096
    assert 5 == inner[0], "an inner page of a table"
    leaf = int.from_bytes(inner[8:12], "big")
    levels = [root, *range(pages + 1, pages + 13), leaf]
    for page, below in pairwise(levels):
        cells = range(int.from_bytes(inner[3:5], "big"))
        for place in (8, *(int.from_bytes(inner[12 + 2 * at : 14 + 2 * at], "big") for at in cells)):
            inner[place : place + 4] = below.to_bytes(4, "big")
        content = content[: (page - 1) * 4096] + inner + content[page * 4096 :]
    path.write_bytes(content[:28] + (pages + 12).to_bytes(4, "big") + content[32:])
    with pytest.raises(StoreError, match="lead round in circles"):
        store.merge([path], same_person=True)

    assert 1 == store.one("SELECT count(*) FROM event")


@pytest.mark.parametrize("way", ["file", "store"])
def test_another_person_without_a_name(
    store: Store, genuine: Store, tmp_path: Path, clock: SetClock, way: str
) -> None:
    """Events of another person are refused also where the one that names the person was left out."""
    store.load(deck(VNE))
    before = list(store.events_json())

    def take_in(same_person: bool = False) -> None:
        if way == "file":
            lines = [line for line in genuine.events_json() if '"person joined"' not in line]
            store.read_json(lines, "file", same_person=same_person)
        else:
            path = tmp_path / "other.db"
            if not path.exists():
                nameless = "DROP TRIGGER event_kept; DELETE FROM event WHERE type = 'person joined'"
                genuine.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
                crafted_store(genuine.path, path, lambda db: db.executescript(nameless))  # type: ignore[arg-type]
            store.merge([path], same_person=same_person)

    with pytest.raises(StoreError, match="another person"):
        take_in()

    assert before == list(store.events_json())
    take_in(same_person=True)
    take_in()


def test_ones_own_other_device_without_a_name(store: Store, genuine: Store) -> None:
    """The last events of a device that is known come in by themselves."""
    store.merge([genuine.path], same_person=True)
    answer(genuine, "Pump")
    last = list(genuine.events_json())[-1]
    report = store.read_json([last], "last.jsonl")

    assert 1 == report.reviews


def test_backup_before_the_first_merge_of_a_day(store: Store, genuine: Store, clock: SetClock) -> None:
    """Before what comes in first on a day, the store is copied as it was; a clock that was ahead stops no backup."""
    store.load(deck(VNE))
    answer(store, "Speed")
    before = knowledge(store)
    clock.advance(400 * 86_400)
    ahead = store.backup()
    clock.advance(-390 * 86_400)
    counts = []
    for _ in range(2):
        store.merge([genuine.path], same_person=True)
        counts.append(len(backups(store)))
    clock.advance(timedelta(days=1).total_seconds())
    store.merge([genuine.path])
    counts.append(len(backups(store)))

    assert [2, 2, 3] == counts
    with Store.open(backups(store)[0][1], clock) as copy:
        assert before == knowledge(copy)
    assert ahead.exists()


_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?")
_TEXT = re.compile(r'"(?:[^"\\\x00-\x1f]|\\["\\/bfnrt]|\\u[0-9a-fA-F]{4})*"')


def _value(text: str, at: int) -> int:
    """Where a value of RFC 8259 ends (sections 2 to 7, without blanks); raises ValueError."""
    for literal in ("true", "false", "null"):
        if text.startswith(literal, at):
            return at + len(literal)
    if text[at] in "[{":
        close, at = {"[": "]", "{": "}"}[text[at]], at + 1
        if text[at] == close:
            return at + 1
        while True:
            if close == "}":
                name = _TEXT.match(text, at)
                if name is None or text[name.end()] != ":":
                    raise ValueError(text[at:])
                at = name.end() + 1
            at = _value(text, at)
            if text[at] == close:
                return at + 1
            if text[at] != ",":
                raise ValueError(text[at:])
            at += 1
    found = (_TEXT if text[at] == '"' else _NUMBER).match(text, at)
    if found is None:
        raise ValueError(text[at:])
    return found.end()


def test_what_is_written_is_json(genuine: Store) -> None:
    """Each line follows the grammar of RFC 8259, in UTF-8 without surrogates (section 8), and SQLite's own reader of
    it agrees (sqlite.org, "JSON Functions And Operators")."""
    answer(genuine, "Pump", given='“28 V”\t\\ "quoted" \x07 ° 🛩 \u2028')
    for line in genuine.events_json():
        assert len(line) == _value(line, 0)
        assert line == line.encode().decode()
        assert 1 == genuine.one("SELECT json_valid(?)", [line])


@pytest.mark.parametrize("line", ['{"a":01}', '{"a":NaN}', "{'a':1}", '{"a":1,}', '["\x01"]'])
def test_the_grammar_can_fail(line: str) -> None:
    """The grammar above refuses what RFC 8259 refuses."""
    try:
        end = _value(line, 0)
    except (ValueError, IndexError, KeyError):
        return

    assert end != len(line)


def test_what_this_program_writes_it_takes(store: Store, genuine: Store) -> None:
    """An endless answer and a question left open for days are kept within what another device takes in."""
    answer(genuine, "Pump", given="y" * 200_000, seconds=9e6)
    store.merge([genuine.path], same_person=True)
    last = lines_of(store)[-1]

    assert (65_536, 86_400.0) == (len(str(last["given"])), last["seconds"])
    assert not damage_of(store.db)


KEY = "0123456789abcdef" * 4


@pytest.mark.parametrize(
    ("name", "value", "taken"),
    [
        ("publisher of skerry", KEY, True),
        ("publisher of skerry", f"{KEY} {KEY}", True),
        ("publisher of skerry", "", True),
        ("publisher of skerry", KEY[1:], False),
        ("publisher of Skerry", KEY, False),
        ("publisher of ", KEY, False),
        ("signed skerry 5.1", f"{KEY} {KEY}", True),
        ("signed skerry 5.1", KEY, False),
        ("signed skerry ", f"{KEY} {KEY}", False),
        ("signed skerry x", f"{KEY} {KEY}", False),
        ("hand-in", KEY, True),
        ("hand-in", KEY.upper(), False),
        ("hand-in", 7, False),
        ("plan told", "2026-11-24\nSome words.", True),
        ("plan told", "x" * (LONGEST_TEXT + 1), False),
        ("plan told", None, False),
        ("plan told ", "words", False),
        ("target", 0.9, True),
        ("target", KEY, False),
    ],
)
def test_what_is_kept_as_a_setting_has_its_form(name: str, value: object, taken: bool) -> None:
    """A person's settings, and what is kept beside them."""
    with nullcontext() if taken else pytest.raises(ValueError, match=r".+"):
        check_setting({"name": name, "value": value})
