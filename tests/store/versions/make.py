"""Make the fixture of the present version: a small store with every type of event, and what it must know.

python tests/store/versions/make.py, from the top of the repository, before the first change to the tables.
"""

import gzip
import json
import random
import sys
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[2]), str(HERE.parents[1])]

from store_kit import MORNING, answer, card_of, deck, knowledge  # noqa: E402

from recall.base.clock import SetClock  # noqa: E402
from recall.store import Store  # noqa: E402
from recall.store.clocks import correct_clock  # noqa: E402
from recall.store.derive import take  # noqa: E402
from recall.store.schema import VERSIONS  # noqa: E402

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full", "Vent": "shut"}


def fill(store: Store, clock: SetClock) -> None:
    """Every type of event."""
    store.load(deck(FACTS, critical=frozenset({"Tank"})))
    for subject, mark in [("Battery", 3), ("Pump", 1), ("Tank", 4), ("Vent", 2)]:
        answer(store, subject, mark, given="24 V", seconds=2.5)
        clock.advance(20)
    clock.advance(3 * 86_400)
    answer(store, "Battery", 3)
    changed = {"Battery": "28 V", "Fuel / Tank": "full", "Pump": "on", "Vents": "shut"}
    store.load(deck(changed, revision="2", critical=frozenset({"Fuel / Tank"})), carry=True)
    answer(store, "Pump", 2)
    store.undo()
    store.remark(card_of(store, "Vents"), "behind the seat")
    store.set("zone", "Atlantic/Reykjavik")
    with store.writing():
        last = store.one("SELECT max(no) FROM event")
        store.append(
            "tuned", {"parameters": [*store.parameters().weights[:20], 0.2], "before": 0.5, "after": 0.4}
        )
        take(store, last)
    with Store.open(store.path.with_name("other.db"), clock, rng=random.Random(2)) as other:
        other.load(deck(FACTS))
        answer(other, "Vent", 3)
    store.merge([store.path.with_name("other.db")], same_person=True)
    correct_clock(store, store.writer.id, -60.0)


def main() -> None:
    """Write `VERSION.db.gz` and `VERSION.json` beside this file."""
    clock = SetClock(MORNING)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "recall.db"
        store = Store.open(path, clock, rng=random.Random(1))
        fill(store, clock)
        clock.advance(timedelta(days=1).total_seconds())
        expected = {
            "knowledge": knowledge(store),
            "events": [json.loads(line) for line in store.events_json()],
        }
        store.db.execute("VACUUM")
        store.close()
        (HERE / f"{VERSIONS}.db.gz").write_bytes(gzip.compress(path.read_bytes(), mtime=0))
    (HERE / f"{VERSIONS}.json").write_text(json.dumps(expected, indent=1, default=str, sort_keys=True) + "\n")


if __name__ == "__main__":
    main()
