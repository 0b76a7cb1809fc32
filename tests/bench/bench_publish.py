"""Publishing, loading and comparing, as ratios of the checker's own time: `python tests/bench/bench_publish.py`.

A deck of 5,000 limits; medians of alternating runs in one process. Prints a Markdown table.
"""

import tempfile
import time
from collections.abc import Callable
from datetime import datetime, timezone
from pathlib import Path
from statistics import median

from recall.base.clock import SetClock
from recall.deck.read import read_deck
from recall.publish.decisions import Decisions
from recall.publish.difference import Difference
from recall.publish.publish import publish
from recall.publish.receive import receive
from recall.publish.sign import new_key
from recall.store import Store

POINTS, RUNS = 5_000, 3
HEAD = "| Parameter | Minimum | Maximum | Unit | When | Source |\n|---|---|---|---|---|---|\n"


def deck(folder: Path, revision: int) -> Path:
    """A deck whose revisions differ in one value of fifty, one name of a hundred and one heading."""
    folder.mkdir(parents=True, exist_ok=True)
    lines = [f"---\ndeck: large\nrevision: {revision}\neffective: 2026-03-0{revision}\n---\n# Limits\n"]
    for row in range(POINTS):
        if row % 100 == 0:
            renamed = " again" if revision > 1 and row == 300 else ""
            lines.append(f"\n## System {row // 100}{renamed}\n\n{HEAD}")
        most = 100 + row % 70 + (row % 50 == 0) * revision
        name = f"Pressure of pump {row}" + ("s" if revision > 1 and row % 100 == 7 else "")
        lines.append(f"| {name} | {10 + row % 50} | {most} | psi | in flight | Handbook {row} |\n")
    (folder / "deck.md").write_text("".join(lines), encoding="utf-8")
    return folder


def timed(call: Callable[[], object]) -> float:
    """Seconds of the processor that a call takes: a busy machine tells no more of it."""
    start = time.process_time()
    call()
    return time.process_time() - start


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        top = Path(folder)
        new_key(top / "key")
        one, two = deck(top / "one", 1), deck(top / "two", 2)
        read, findings = read_deck(one)
        newer, more = read_deck(two)
        same = Decisions(ask=lambda _: True)
        times: dict[str, list[float]] = {}
        for run in range(RUNS):
            out = top / f"out{run}"

            def load(file: Path, run: int = run) -> None:
                with Store.open(
                    top / f"s{run}.db", SetClock(datetime(2026, 5, 1, 9, tzinfo=timezone.utc))
                ) as store:
                    receive(store, file)

            for name, call in (
                ("the checker", lambda: read_deck(one)),
                ("publish, the notes read", lambda o=out: publish(read, findings, out=o, key=top / "key")),
                ("load the first", lambda o=out: load(o / "large-r1.zip")),
                (
                    "publish the next",
                    lambda o=out: publish(newer, more, out=o, key=top / "key", decisions=same),
                ),
                ("load the next", lambda o=out: load(o / "large-r2.zip")),
                ("changes, both read", lambda: Difference.between(read, newer).changes()),
            ):
                times.setdefault(name, []).append(timed(call))
        base = median(times["the checker"])
        print(
            f"| {len(read.points)} points, {len(read.cards)} cards | seconds | of the checker |\n| --- | --- | --- |"
        )
        for name, each in times.items():
            print(f"| {name} | {median(each):.2f} | {median(each) / base:.2f} |")


if __name__ == "__main__":
    main()
