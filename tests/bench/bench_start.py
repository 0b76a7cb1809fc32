"""What a cold start costs: opening a store and asking what is due, against the bare imports.

python tests/bench/bench_start.py [points] [reviews]; four cards a point. Runs alternate, so that all see the same
machine.
"""

import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from big_store import NOW, big_store

BARE = "import typer, sqlite_utils, fsrs"
ROUNDS = 15


def spent(command: list[str]) -> tuple[float, float]:
    """Seconds on the wall and of processor time that a command takes."""
    before, start = os.times(), time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    after = os.times()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return time.perf_counter() - start, used


def main() -> None:
    """Make a store, then time."""
    points = int(sys.argv[1]) if len(sys.argv) > 1 else 2_500
    reviews = int(sys.argv[2]) if len(sys.argv) > 2 else 50_000
    with TemporaryDirectory() as folder:
        path = Path(folder) / "recall.db"
        big_store(path, points=points, reviews=reviews, seed=1).close()
        commands = {
            "bare imports": [sys.executable, "-c", BARE],
            "open a store, 7 days ahead": [
                sys.executable,
                "-c",
                f"{BARE}\nfrom datetime import datetime, timezone\nfrom recall.base.clock import SetClock\n"
                f"from recall.store import Store\nfrom pathlib import Path\n"
                f"store = Store.open(Path({str(path)!r}), SetClock(datetime.fromisoformat({NOW.isoformat()!r})))\n"
                "print(store.due_by_day(7))",
            ],
            "recall due": [sys.executable, "-m", "recall", "--store", str(path), "due"],
        }
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
        for _ in range(ROUNDS):
            for name, command in commands.items():
                times[name].append(spent(command))
        bare = [median(each[at] for each in times["bare imports"]) for at in (0, 1)]
        print(f"{points * 4} cards, {reviews} reviews")
        for name, each in times.items():
            wall, used = (median(run[at] for run in each) for at in (0, 1))
            print(
                f"{name:28} {wall * 1e3:7.1f} ms {wall / bare[0]:5.2f} x"
                f"   processor {used * 1e3:7.1f} ms {used / bare[1]:5.2f} x"
            )


if __name__ == "__main__":
    main()
