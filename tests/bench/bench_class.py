"""A class view over many answers on each engine: seconds, memory, growth, equal tables, and the plan on paper for ten
thousand million answers, read off what the engines say they did.

python tests/bench/bench_class.py [--millions 1 10 100] [--on duckdb local cluster] [--folder KEEP] [--core-hour 0.05]

`local` is Spark on two cores here, `cluster` a standalone master with two workers, both started by this script
(pyspark, Java 17). Each run is a process of its own. `cpu` is processor time, which a busy machine doesn't lengthen
much: of Python and DuckDB (`duckdb`), or of Spark's executors. `command` is `recall class` as a person runs it.
"""

import argparse
import json
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

import class_rows
from engines import Meter, apart, cluster, figures, memory

from recall.cohort import ask, contrast
from recall.cohort.columns import cards_table
from recall.cohort.engine import Engine, Tables, open_tables
from recall.cohort.taught import taught
from recall.cohort.view import doubts

PEOPLE = 50
"""Of a million answers."""
ASKED: dict[str, Callable[[Tables], Any]] = {
    "whole": ask.whole,
    "topics": ask.topics,
    "points": ask.points,
    "cards": ask.cards,
    "weeks": ask.weeks,
    "typed": ask.typed,
    "confusions": ask.confusions,
    "weak topics": contrast.weak_topics,
    "drift": lambda tables: contrast.drift(tables, ["2"]),
    "doubts": lambda tables: sorted(
        doubts(tables, {one.name[0]: one.rate.people for one in ask.points(tables)})
    ),
}
TEN_THOUSAND_MILLION = 1e10
BLOCK = 128e6
"""Bytes that a part of a shuffle or of a file holds, in Spark's own recommendation."""


def one(folder: Path, engine: str, master: str) -> None:
    """Ask everything once, in this process; print what came as JSON."""
    start, cpu, seconds, told = time.perf_counter(), time.process_time(), {}, {}
    (deck,) = taught(folder, None, date(2026, 12, 1))
    tables = open_tables(folder, "skerry", cards_table(deck.cards, deck.level), Engine(engine, master))
    meter = Meter(tables, spread=engine == "spark")
    if engine == "spark":
        tables.sums.count().to_pyarrow()
        meter.before, meter.seen = {}, 0
        told["sums"] = meter.look()
    seconds["sums"] = time.perf_counter() - start
    found = {}
    for name, asked in ASKED.items():
        start = time.perf_counter()
        found[name] = list(figures(asked(tables)))
        seconds[name] = time.perf_counter() - start
        if engine == "spark":
            told[name] = meter.look()
    spent = time.process_time() - cpu
    if engine == "duckdb":
        told = {name: meter.plan(made(tables)) for name, made in PLANS.items()}
    print(json.dumps({"seconds": seconds, "cpu": spent, "memory": memory(), "told": told, "found": found}))


PLANS: dict[str, Callable[[Tables], Any]] = {
    "sums": lambda tables: ask.summed(tables.now.filter(tables.now.opens), ["card"]),
    "weeks": ask.weekly,
}


def run(folder: Path, engine: str, master: str = "") -> dict[str, Any]:
    """`one`, in a process of its own. Raises subprocess.CalledProcessError."""
    scratch = {
        "SPARK_LOCAL_DIRS": str(folder.parent),
        "PYSPARK_SUBMIT_ARGS": "--driver-memory 3g pyspark-shell",
    }
    words = [sys.executable, __file__, "--one", str(folder), "--engine", engine, "--master", master]
    start = time.perf_counter()
    done = subprocess.run(words, stdout=subprocess.PIPE, text=True, check=True, env=os.environ | scratch)
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found | {"wall": time.perf_counter() - start}


def command(folder: Path) -> tuple[float, float, int]:
    """`recall class FOLDER --json`: seconds, processor time, MB."""
    start = time.perf_counter()
    with Path(os.devnull).open("w") as nowhere:
        child = subprocess.Popen(
            [sys.executable, "-m", "recall", "class", str(folder), "--json"], stdout=nowhere
        )
        _, code, used = os.wait4(child.pid, 0)
    assert code == 0
    return time.perf_counter() - start, used.ru_utime + used.ru_stime, used.ru_maxrss >> 10


def exponent(sizes: list[int], values: list[float]) -> float:
    """Growth with the number of answers: 1 is as fast as they grow (least squares of the logarithms)."""
    if len(sizes) < 2:
        return float("nan")
    x, y = [math.log(size) for size in sizes], [math.log(max(value, 1e-9)) for value in values]
    at, over = sum(x) / len(x), sum(y) / len(y)
    return sum((a - at) * (b - over) for a, b in zip(x, y, strict=True)) / sum((a - at) ** 2 for a in x)


def paper(answers: int, told: dict[str, Any], kept: int, cores_hour: float) -> None:
    """What Spark's own metrics of one run come to at ten thousand million answers, all growing as the answers do."""
    times = TEN_THOUSAND_MILLION / answers
    print(
        f"\nTen thousand million answers, from Spark's metrics of {answers / 1e6:.0f} million, times {times:.0f}:"
    )
    print(f"  kept: {kept * times / 1e9:.0f} GB of Parquet ({kept / answers:.1f} bytes an answer),"
          f" read in {kept * times / BLOCK:.0f} parts of {BLOCK / 1e6:.0f} MB")  # fmt: skip
    print(f"  {'':12} {'shuffled':>10} {'bytes an':>9} {'rows of':>8} {'parts':>6} {'core':>6}")
    print(f"  {'':12} {'GB':>10} {'answer':>9} {'answers':>8} {'':>6} {'hours':>6}  by")
    hours = 0.0
    for name, one in told.items():
        spent = one["cpu"] / 1e9 / 3600 * times
        hours += spent
        print(f"  {name:12} {one['shuffled'] * times / 1e9:10.1f} {one['shuffled'] / answers:9.2f}"
              f" {one['rows'] / answers:8.3f} {max(1, one['shuffled'] * times / BLOCK):6.0f} {spent:6.1f}"
              f"  {'; '.join(one['by'])}")  # fmt: skip
    print(f"  {hours:.0f} core-hours, {hours * cores_hour:.2f} at {cores_hour} a core-hour; on 100 cores"
          f" {hours / 100 * 60:.0f} minutes")  # fmt: skip


def main() -> None:
    """Run it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--millions", type=int, nargs="+", default=[1, 10, 100])
    parser.add_argument("--on", nargs="+", default=["duckdb", "local", "cluster"])
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--core-hour", type=float, default=0.05)
    parser.add_argument(
        "--most", type=int, default=100, help="Millions of answers that Spark is asked about at most."
    )
    parser.add_argument("--one", type=Path)
    parser.add_argument("--engine", default="duckdb")
    parser.add_argument("--master", default="")
    told = parser.parse_args()
    if told.one:
        one(told.one, told.engine, told.master)
        return
    place = told.folder or Path(tempfile.mkdtemp())
    runs: dict[str, dict[int, dict[str, Any]]] = {name: {} for name in told.on}
    kept = {}
    for millions in told.millions:
        folder = place / f"{millions}"
        if not folder.exists():
            start = time.perf_counter()
            class_rows.write(folder, millions * PEOPLE)
            print(f"{millions} million answers of {millions * PEOPLE} people written:"
                  f" {time.perf_counter() - start:.0f} s", flush=True)  # fmt: skip
        kept[millions] = sum(file.stat().st_size for file in folder.glob("kept/answers/*/*.parquet"))
        if "duckdb" in told.on:
            wall, cpu, most = command(folder)
            said = f"{millions} million, the command: {wall:.1f} s, cpu {cpu:.1f} s, {most} MB"
            print(f"{said}; load {os.getloadavg()[0]:.0f} on {os.cpu_count()} cores", flush=True)
    for name in told.on:
        for millions in told.millions:
            if name != "duckdb" and millions > told.most:
                continue
            folder = place / f"{millions}"
            if name == "cluster":
                with cluster() as address:
                    got = run(folder, "spark", address)
            else:
                got = run(folder, "duckdb") if name == "duckdb" else run(folder, "spark", "local[2]")
            runs[name][millions] = got
            used = got["cpu"] if name == "duckdb" else sum(one["cpu"] for one in got["told"].values()) / 1e9
            got["used"] = used
            print(f"\n{name}, {millions} million: {sum(got['seconds'].values()):.1f} s, cpu {used:.1f} s,"
                  f" Python {got['memory']} MB; load {os.getloadavg()[0]:.0f} on {os.cpu_count()} cores")  # fmt: skip
            print("  " + ", ".join(f"{key} {value:.1f}" for key, value in got["seconds"].items()), flush=True)
            if name == "duckdb":
                for key, rows in got["told"].items():
                    print(
                        f"  rows in the plan of {key}: "
                        + ", ".join(f"{sort} {n}" for sort, n in rows.items())
                    )
            elif millions in runs.get("duckdb", {}):
                here = runs["duckdb"][millions]["found"]
                most = max((apart(here[key], value), key) for key, value in got["found"].items())
                print(f"  from DuckDB's tables at most {most[0]:.1e} apart ({most[1]})", flush=True)
    print("\nGrowth exponents (1: as fast as the answers)")
    for name, by in runs.items():
        sizes = list(by)
        wall = exponent(sizes, [sum(got["seconds"].values()) for got in by.values()])
        print(
            f"  {name}: seconds {wall:.2f}, cpu {exponent(sizes, [got['used'] for got in by.values()]):.2f}"
        )
        if name != "duckdb":
            shuffled = [sum(one["shuffled"] for one in got["told"].values()) for got in by.values()]
            print(f"  {name}: bytes shuffled {exponent(sizes, shuffled):.2f}")
    for name in ("local", "cluster"):
        if runs.get(name):
            millions = max(runs[name])
            paper(millions * 10**6, runs[name][millions]["told"], kept[millions], told.core_hour)
            break


if __name__ == "__main__":
    main()
