"""Events that somebody might craft: lines of JSON and stores, made from genuine ones by one change each."""

import copy
import json
import sqlite3
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from store_kit import answer, card_of, deck

from recall.base.clock import SetClock
from recall.kinds.model import digest
from recall.schedule import DEFAULT
from recall.store import Store
from recall.store.clocks import correct_clock
from recall.store.derive import take
from recall.store.events import checksum_of

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full", "Vent": "shut"}
WRONG: tuple[Any, ...] = (
    *(None, True, [], {}, [None], "", "x", "\ud800", "٣", "0" * 20, -1, 0, 5, 1.5),
    *(10**25, float("nan"), float("inf"), "y" * 100_000, json.loads("[" * 40 + "]" * 40)),
)
"""What a field may be given instead of what it says: other types, empty, a lone surrogate, digits of another script,
out of any range, too long, nested."""


def full_store(path: Path, clock: SetClock, seed: int = 1) -> Store:
    """A store with every type of event."""
    import random

    store = Store.open(path, clock, rng=random.Random(seed))
    store.load(deck(FACTS, critical=frozenset({"Tank"})))
    for subject, mark in [("Battery", 3), ("Pump", 1), ("Tank", 4), ("Vent", 2)]:
        answer(store, subject, mark, given="24 V", seconds=2.5)
        clock.advance(20)
    clock.advance(3 * 86_400)
    store.load(deck({**FACTS, "Battery": "28 V"}, revision="2", critical=frozenset({"Tank"})))
    answer(store, "Pump", 2)
    store.undo()
    store.remark(card_of(store, "Vent"), "behind the seat")
    store.set("target", "0.85")
    with store.writing():
        last = int(store.one("SELECT max(no) FROM event"))
        store.append("tuned", {"parameters": [*DEFAULT.weights], "before": 0.5, "after": 0.4})
        store.append("carried", {"from": "0" * 20, "to": "1" * 20})
        take(store, last)
    correct_clock(store, store.writer.id, -60.0)
    return store


def lines(genuine: list[str]) -> Iterator[tuple[str, str]]:
    """A name and a line for each crafted event. genuine: lines that `recall events` wrote."""
    samples = {json.loads(line)["type"]: json.loads(line) for line in genuine}
    for type, plain in samples.items():
        fresh = plain | {"id": f"1772355600001-{'c' * 16}-000001"}
        for name in ("writer", "n", "at"):
            del fresh[name]
        for name in fresh:
            for at, wrong in enumerate(WRONG):
                yield f"{type}: {name} is wrong {at}", _written(fresh | {name: wrong})
            yield f"{type}: without {name}", _written({k: v for k, v in fresh.items() if k != name})
        yield f"{type}: another field", _written(fresh | {"flown": 1})
        yield f"{type}: another run", _written(fresh | {"writer": "d" * 16})
        yield f"{type}: another moment", _written(fresh | {"at": "1999-01-01T00:00:00.000Z"})
    reviewed = {
        name: value for name, value in samples["reviewed"].items() if name not in ("writer", "n", "at")
    }
    for day in (
        "0001-01-01",
        "1969-12-31",
        "2200-01-01",
        "9999-12-31",
        "20260301",
        "2026-W09-7",
        "٢٠٢٦-٠٣-٠١",
    ):
        yield f"day {day}", _written(reviewed | {"day": day})
    for id in (
        f"١٧٧٢٣٥٥٦٠٠٠٠١-{'c' * 16}-000001",
        f"9999999999999-{'c' * 16}-000001",
        f"1772355600001-{'C' * 16}-000001",
        f"1772355600001-{'c' * 16}-000000",
        f"1772355600001-{'c' * 16}-000001\n",
    ):
        yield f"id {id!r}", _written(reviewed | {"id": id})
    for name, value in {
        "zone": "Mars/Olympus",
        "turn": 24,
        "unasked": -1,
        "target": 1.5,
        "critical_target": "0.9",
        "checkride_on": "soon",
        "checkride_at": "25:00",
        "days_off": "someday",
        "wings": "yes",
        "publisher of skerry": "no key",
        "publisher of ../x": "0" * 64,
    }.items():
        yield (
            f"setting {name}",
            _written(
                {"id": f"1772355600001-{'c' * 16}-000001", "type": "setting", "name": name, "value": value}
            ),
        )
    for type, name in (("reviewed", "given"), ("remarked", "text"), ("setting", "value")):
        fresh = samples[type] | {"id": f"1772355600001-{'c' * 16}-000001"}
        del fresh["writer"], fresh["n"], fresh["at"]
        yield f"20 MB of {name}", _written(fresh | {name: "y" * 20_000_000})
    yield "nested 100,000 deep", "[" * 100_000
    yield "nested 100,000 deep, closed", "[" * 100_000 + "]" * 100_000
    yield "nested in a field", _written(reviewed)[:-1] + ',"given":' + '{"a":' * 100_000 + "1" + "}" * 100_001
    yield "quotes without an end", '"' + '\\"' * 500_000
    for text in ("", "{", "null", "[]", "[1]", "1", '"x"', "{}", "NaN", "\ufeff{}", "{'id': 1}", "{} {}"):
        yield f"text {text!r}", text
    yield from _loads(samples["deck loaded"])


def _written(plain: dict[str, Any]) -> str:
    return json.dumps(plain)


def _loads(genuine: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Loaded revisions whose cards and wordings don't fit each other."""
    fresh = {name: value for name, value in genuine.items() if name not in ("writer", "n", "at")}
    fresh["id"] = f"1772355600001-{'c' * 16}-000001"
    name, wording = next(iter(fresh["texts"].items()))

    def load(change: Callable[[dict[str, Any]], None]) -> str:
        plain = copy.deepcopy(fresh)
        change(plain)
        return _written(plain)

    def planted(**words: Any) -> str:
        return load(lambda plain: plain["texts"][name].update(words))

    yield "a planted answer", planted(answer=["190 kt"])
    yield "a planted prompt", planted(prompt="Another question?")
    yield "a wording under another hash", load(lambda plain: plain["texts"].update({"0" * 20: wording}))
    yield "a wording with a field more", planted(more=1)
    yield "a wording that is a text", load(lambda plain: plain["texts"].update({name: "x"}))
    for change in (
        {"form": "reading", "data": {}},
        {"form": "number", "data": {"also": 3}},
        {"form": "words", "answer": []},
        {
            "form": "number",
            "answer": [],
            "data": {"right": {"shape": "single", "spans": [{"value": ["5", "5"]}]}},
        },
        {"form": "prose", "answer": []},
        {"form": "dance"},
        {"topic": "Systems"},
        {"extra": [["a"]]},
        {"data": {"also": json.loads("[" * 20 + "]" * 20)}},
    ):
        odd = wording | change
        text = json.dumps(odd, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        yield (
            f"a wording with {change}",
            load(
                lambda plain, odd=odd, text=text: plain["texts"].update({digest((text,)): odd})  # type: ignore[misc]
            ),
        )
    yield "a card with another's wording", load(lambda plain: plain["cards"][0].__setitem__(0, "0" * 20))
    yield "a card with another answer", load(lambda plain: plain["cards"][0].__setitem__(1, "0" * 20))
    yield "a card without its wording", load(lambda plain: plain["cards"].append(["0" * 20] * 3 + [1]))
    yield "a card of three", load(lambda plain: plain["cards"].append(["0" * 20] * 3))
    yield "one source too few", load(lambda plain: plain.update(sources=[""]))
    for revision in ("1..2", "٣", "9" * 5000, "1" + ".1" * 50, "-1"):
        yield f"revision {revision[:9]}", load(lambda plain, it=revision: plain.update(revision=it))  # type: ignore[misc]


Change = Callable[[sqlite3.Connection], None]


def stores() -> Iterator[tuple[str, Change]]:
    """A name and a change to the file of another store; checksums are made to fit, as a crafter would."""
    free = "DROP TRIGGER event_stays; DROP TRIGGER event_kept; PRAGMA ignore_check_constraints = ON;"
    fit = f"UPDATE event SET checksum = {checksum_of()};"

    def sql(text: str) -> Change:
        def change(db: sqlite3.Connection) -> None:
            db.create_function("crc32", 1, zlib.crc32)
            db.executescript(free + text + fit)

        return change

    for day in (0, -5, 9999, 719_162, 803_534, 2**62):
        yield f"day {day}", sql(f"UPDATE event SET day = {day} WHERE type = 'reviewed';")
        yield f"day {day} of a load", sql(f"UPDATE event SET day = {day} WHERE type = 'deck loaded';")
    for body in ("[]", "null", "1", '""', "{}", "{", "[" * 900 + "]" * 900, '{"given":"\\ud800"}'):
        for type in (
            "reviewed",
            "deck loaded",
            "setting",
            "tuned",
            "person joined",
            "clock corrected",
            "carried",
        ):
            yield (
                f"body {body[:9]} of {type}",
                sql(f"UPDATE event SET body = '{body}' WHERE type = '{type}' AND true;"),
            )
    for mark in (0, 5, -1):
        yield f"mark {mark}", sql(f"UPDATE event SET mark = {mark} WHERE type = 'reviewed';")
    for seconds in ("-1", "86401", "9e999"):
        yield f"seconds {seconds}", sql(f"UPDATE event SET seconds = {seconds} WHERE type = 'reviewed';")
    yield "right is 2", sql("UPDATE event SET ok = 2 WHERE type = 'reviewed';")
    yield (
        "20 MB of given",
        sql(
            "UPDATE event SET body = json_set(body, '$.given', printf('%.20000000c', 'y')) WHERE type = 'reviewed';"
        ),
    )
    yield (
        "a name twice",
        sql("""UPDATE event SET body = '{"given":"a",' || substr(body, 2) WHERE mark IS NOT NULL;"""),
    )
    yield "another type", sql("UPDATE event SET type = 'flown' WHERE type = 'reviewed';")
    yield "a mark on a setting", sql("UPDATE event SET mark = 3 WHERE type = 'setting';")
    yield "a card on a person", sql("UPDATE event SET card = 'x' WHERE type = 'person joined';")
    yield "a zero in an id", sql("UPDATE event SET id = id || char(0) || 'x' WHERE mark IS NOT NULL;")
    yield (
        "digits of another script",
        sql("UPDATE event SET id = '٣' || substr(id, 2) WHERE mark IS NOT NULL;"),
    )
    yield "wrong checksums", lambda db: _run(db, free + "UPDATE event SET checksum = checksum + 1;")
    columns = "no, id, at, writer, n, type, card, day, mark, ok, answer, seconds, body, checksum"
    yield (
        "a view",
        sql(f"{fit} ALTER TABLE event RENAME TO old; CREATE VIEW event AS SELECT {columns} FROM old; --\n--"),
    )
    endless = "WITH RECURSIVE up (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM up)"
    row = "n, printf('%013d-cccccccccccccccc-000001', n), 0, '', 1, 'reviewed', 'x', 739000, 3, 1, 'x', 1.0, '{}', 0"
    view = f"CREATE VIEW event ({columns}) AS {endless} SELECT {row} FROM up"
    yield "a recursive view", sql(f"{fit} DROP TABLE event; {view}; --\n--")
    moved = f"{fit} ALTER TABLE event RENAME TO old"
    yield (
        "a loose table",
        sql(f"{moved}; CREATE TABLE event ({columns}); INSERT INTO event SELECT {columns} FROM old; --\n--"),
    )
    yield "another column", sql(f"{fit} ALTER TABLE event ADD COLUMN more TEXT; --\n--")
    yield "no table", sql(f"{fit} DROP TABLE event; --\n--")
    yield "a later version", lambda db: _run(db, "PRAGMA user_version = 999")
    yield "an earlier version than it is", lambda db: _run(db, "PRAGMA user_version = 1")
    yield "another program's", lambda db: _run(db, "PRAGMA application_id = 7")
    yield "no person", sql("DELETE FROM event WHERE type = 'person joined';")


def _run(db: sqlite3.Connection, script: str) -> None:
    db.executescript(script)


def crafted_store(genuine: Path, path: Path, change: Change) -> None:
    """A copy of a store with a change."""
    path.write_bytes(genuine.read_bytes())
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        change(db)
