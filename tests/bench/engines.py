"""The same tables from every engine: DuckDB, Spark in one process, Spark on a master with two workers started
here.

python tests/bench/engines.py [--people 60] [--master]

Needs pyspark and Java 17. Prints, for each expression, the seconds on each engine and the largest difference
of any figure from DuckDB's (counts must be equal, shares to 1e-9).
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, is_dataclass
from datetime import date
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

import pyarrow as pa
from bench_class import ASKED
from class_kit import Deck, Planted, hand_ins, learn

from recall.cohort.columns import CARDS
from recall.cohort.engine import open_tables
from recall.cohort.taken import keep


@contextmanager
def cluster() -> Iterator[str]:
    """The address of a standalone master with two workers of one core each, gone afterwards."""
    import pyspark

    home = Path(pyspark.__file__).parent
    address = "spark://127.0.0.1:17077"
    kind = "org.apache.spark.deploy"
    common = [str(home / "bin" / "spark-class")]
    settings = os.environ | {
        "SPARK_HOME": str(home),
        "SPARK_LOCAL_IP": "127.0.0.1",
        "PYSPARK_PYTHON": sys.executable,
    }
    work = tempfile.mkdtemp()
    started = [
        subprocess.Popen([*common, f"{kind}.{name}", *words], env=settings, stderr=subprocess.DEVNULL)
        for name, words in (
            ("master.Master", ["--host", "127.0.0.1", "--port", "17077", "--webui-port", "0"]),
            *[("worker.Worker", ["-c", "1", "-m", "1g", "-d", work, "--webui-port", "0", address])] * 2,
        )
    ]
    try:
        time.sleep(15)
        yield address
    finally:
        for one in reversed(started):
            one.terminate()
        for one in started:
            one.wait()
        shutil.rmtree(work, ignore_errors=True)


def figures(found: Any) -> Iterator[Any]:
    """All that is in a result, in order."""
    if is_dataclass(found) and not isinstance(found, type):
        yield from figures(asdict(found))
    elif isinstance(found, dict):
        for value in found.values():
            yield from figures(value)
    elif isinstance(found, (list, tuple)):
        for value in found:
            yield from figures(value)
    else:
        yield found


def apart(one: Any, other: Any) -> float:
    """The largest difference of two results' figures. Raises AssertionError where words, dates or counts
    differ."""
    left, right = list(figures(one)), list(figures(other))
    assert len(left) == len(right), (len(left), len(right))
    most = 0.0
    for a, b in zip(left, right, strict=True):
        if isinstance(a, float) and isinstance(b, float):
            most = max(most, abs(a - b))
        elif isinstance(a, date):
            assert str(a)[:10] == str(b)[:10], (a, b)
        else:
            assert a == b, (a, b)
    return most


def main() -> None:
    """Run it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--people", type=int, default=60)
    parser.add_argument("--master", action="store_true", help="Also on a master with two workers.")
    told = parser.parse_args()
    deck = Deck()
    folder = Path(tempfile.mkdtemp())
    for made in hand_ins(deck, learn(deck, told.people, 90, 1, Planted(weak=(3,), bad=(55,)))):
        keep(folder, made)
    cards = pa.Table.from_pylist(deck.rows(), schema=CARDS)

    def run(engine: str, master: str = "") -> dict[str, Any]:
        tables = open_tables(folder, "skerry", cards, engine, master)
        found = {}
        for name, asked in ASKED.items():
            start = time.perf_counter()
            found[name] = asked(tables)
            print(f"{engine} {master}: {name}: {time.perf_counter() - start:.2f} s", flush=True)
        return found

    here = run("duckdb")
    spread = [("spark", "local[2]")]
    if told.master:
        with cluster() as address:
            there = run("spark", address)
            for name, found in there.items():
                print(f"master with two workers: {name}: {apart(here[name], found):.1e} apart")
    else:
        for engine, master in spread:
            for name, found in run(engine, master).items():
                print(f"{master}: {name}: {apart(here[name], found):.1e} apart")
    shutil.rmtree(folder)


if __name__ == "__main__":
    main()
