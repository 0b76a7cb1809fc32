"""A class view over many answers: seconds, memory, growth, and the same tables from every engine.

python tests/bench/bench_class.py [--people 500] [--topics 100] [--days 120] [--engine duckdb] [--master
ADDRESS] [--folder KEEP]

Prints how long it takes to take hand-ins in and to ask all that the view tells, each expression by itself,
and the largest memory of this process.
"""

import argparse
import resource
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

import pyarrow as pa
from class_kit import Deck, Planted, hand_ins, learn

from recall.cohort import ask, contrast
from recall.cohort.columns import CARDS
from recall.cohort.engine import Tables, open_tables
from recall.cohort.items import fit, log_odds
from recall.cohort.taken import keep
from recall.cohort.view import ANSWERS_FITTED


@contextmanager
def timed(name: str) -> Iterator[None]:
    """Print how long it took."""
    start = time.perf_counter()
    yield
    print(f"{name:>28}: {time.perf_counter() - start:6.2f} s", flush=True)


ASKED: dict[str, Callable[[Tables], Any]] = {
    "whole": ask.whole,
    "topics": ask.topics,
    "points": ask.points,
    "weeks": ask.weeks,
    "typed": ask.typed,
    "confusions": ask.confusions,
    "weak topics": contrast.weak_topics,
    "drift": lambda tables: contrast.drift(tables, ["1"]),
}


def main() -> None:
    """Run it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--people", type=int, default=500)
    parser.add_argument("--topics", type=int, default=100)
    parser.add_argument("--days", type=int, default=120)
    parser.add_argument("--a-day", type=int, default=40)
    parser.add_argument("--engine", default="duckdb")
    parser.add_argument("--master", default="")
    parser.add_argument("--folder", default="")
    told = parser.parse_args()
    deck = Deck(topics=told.topics)
    folder = Path(told.folder or tempfile.mkdtemp())
    if not (folder / "kept").exists():
        with timed("learning (simulated)"):
            learned = learn(deck, told.people, told.days, 1, Planted(weak=(3,), bad=(55,)), told.a_day)
        print(f"{len(learned.card)} answers of {told.people} people to {deck.cards} cards")
        with timed("taking hand-ins in"):
            for made in hand_ins(deck, learned):
                keep(folder, made)
        del learned
    start = time.perf_counter()
    with timed("opening"):
        tables = open_tables(
            folder, "skerry", pa.Table.from_pylist(deck.rows(), schema=CARDS), told.engine, told.master
        )
    rows = tables.answers.count().to_pyarrow().as_py()
    print(f"{rows} answers")
    for name, asked in ASKED.items():
        with timed(name):
            asked(tables)
    with timed("points by themselves"):
        people = max(5, int(told.people * min(1.0, ANSWERS_FITTED / rows)))
        found = ask.foretold(tables, people).to_pyarrow()
        person, point = (
            found[name].dictionary_encode().combine_chunks().indices.to_numpy()
            for name in ("person", "point")
        )
        fit(person, point, found["right"].to_numpy(), log_odds(found["told"].to_numpy()))
    print(f"{'all':>28}: {time.perf_counter() - start:6.2f} s")
    print(f"{'largest memory':>28}: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss >> 10} MB")
    if not told.folder:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
