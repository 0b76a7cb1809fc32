"""A store of 100,000 cards and 1,000,000 reviews: next question, record, merge, replay. Prints times and ratios.

python tests/bench/bench_store.py [reviews] [points]; four cards a point.
"""

import random
import shutil
import sqlite3
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path

from big_store import big_deck, big_store

from recall.session.course import Course
from recall.session.desk import Desk, order_of
from recall.session.sitting import Sitting
from recall.store import Store
from recall.store.events import COLUMNS
from recall.store.words import knows, texts_with

NAMES = ", ".join((*COLUMNS, "checksum"))


def percentile(times: list[float], share: float) -> float:
    """That share of the times lies at or below."""
    return sorted(times)[min(len(times) - 1, int(len(times) * share))]


def questions(store: Store, count: int = 1_000) -> None:
    """A sitting over all that is due: from an answer to the next question on the screen, every answer kept."""
    begun = time.perf_counter()
    sitting = Sitting.begin(Desk(store), Course(order_of(store), store.clock), pause="none")
    print(
        f"{'first question':28} {(time.perf_counter() - begun) * 1e3:10.1f} ms, {sitting.course.order.left} wait"
    )
    rng = random.Random(1)
    taken: dict[str, list[float]] = {"right": [], "wrong": []}
    for _ in range(count):
        assert sitting.question is not None
        how = rng.choice(("right", "right", "wrong"))
        wrong = rng.choice(("no idea", f"{rng.randrange(97)} V", "a pump without pressure"))
        given = sitting.question.answer.text if how == "right" else wrong
        start = time.perf_counter()
        sitting.act(sitting.token, "answer", given, 2.0).plain()
        taken[how].append(time.perf_counter() - start)
    for how, times in taken.items():
        print(
            f"{'next question, ' + how:28} median {percentile(times, 0.5) * 1e3:7.2f} ms   p99"
            f" {percentile(times, 0.99) * 1e3:7.2f} ms"
        )


def timed(name: str, call, times: int = 3) -> float:  # type: ignore[no-untyped-def]
    """Least of some times."""
    best = min(_once(call) for _ in range(times))
    print(f"{name:28} {best * 1e3:10.1f} ms")
    return best


def _once(call) -> float:  # type: ignore[no-untyped-def]
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def bare_union(path: Path, other: Path) -> tuple[float, float]:
    """INSERT … SELECT of the other's events into a copy with the same tables, with nothing derived.

    Seconds on the wall and of processor time.
    """
    copy = path.with_name("bare.db")
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
    with closing(sqlite3.connect(copy, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("PRAGMA synchronous = FULL")
        db.execute("PRAGMA cache_size = -65536")
        db.execute("ATTACH ? AS other", [str(other)])
        start, used = time.perf_counter(), time.process_time()
        db.execute(
            f"INSERT INTO event ({NAMES}) SELECT {NAMES} FROM other.event WHERE true ON CONFLICT DO NOTHING"
        )
        return time.perf_counter() - start, time.process_time() - used


def main() -> None:
    """Everything once."""
    reviews = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    points = int(sys.argv[2]) if len(sys.argv) > 2 else 25_000
    folder = Path(tempfile.mkdtemp(dir=sys.argv[3] if len(sys.argv) > 3 else None))
    try:
        deck = big_deck(points)
        start = time.perf_counter()
        store = big_store(folder / "one.db", points=points, reviews=reviews, seed=1, deck=deck)
        print(f"made in {time.perf_counter() - start:.1f} s: {len(deck.cards)} cards, {reviews} reviews")
        print(f"size {store.path.stat().st_size / 1e6:.0f} MB")
        questions(store)
        timed("due, 14 days", lambda: store.due_by_day(14))
        timed("pace", store.pace)
        timed("confusions", store.confusions)
        timed("all cards", store.cards, 1)
        timed("word that may be a slip", lambda: knows(store, "big", "batterry"))
        timed("part of a name", lambda: list(texts_with(store, "big", "battery bus")))
        timed("deck unchanged", lambda: store.unchanged("notes", deck.fingerprint))
        other = big_store(folder / "two.db", points=points, reviews=reviews, seed=2, deck=deck)
        other.close()
        bare, bare_used = bare_union(store.path, other.path)
        print(f"{'bare INSERT … SELECT':28} {bare:10.2f} s   processor {bare_used:6.2f} s")
        timed("backup, read back", store.backup, 1)
        start, used = time.perf_counter(), time.process_time()
        (report,) = store.merge([other.path], same_person=True)
        full, used = time.perf_counter() - start, time.process_time() - used
        print(
            f"{'merge':28} {full:10.2f} s   processor {used:6.2f} s   {full / bare:5.2f} x, {used / bare_used:5.2f} x"
            f"   {report.cards} cards replayed"
        )
        start = time.perf_counter()
        (report,) = store.merge([other.path])
        print(f"{'merge again':28} {time.perf_counter() - start:10.2f} s   {report.cards} cards replayed")
        store.close()
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
