"""What a cold start costs: what is due, a sitting's first question, and the check of a short note, against the bare
imports of three libraries; the checks of a whole deck beside them, which is reading more than starting.

python tests/bench/bench_start.py [points] [reviews]; four cards a point. Runs alternate, so that all see the same
machine; the first of each isn't counted, and leaves its bytecode as an installation does.
"""

import os
import subprocess
import sys
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from tempfile import TemporaryDirectory

BARE = "import typer, sqlite_utils, fsrs"
ROUNDS = 15
DECKS = Path(__file__).parents[2] / "decks"
NOTE = "# Oil\n\n| Parameter | Minimum | Maximum | Unit |\n|---|---|---|---|\n| Oil pressure | 60 | 110 | psi |\n"
# As it was given: our own imports say to numpy's library how many threads it may begin, and it is a sixth cheaper.
_GIVEN = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def spent(command: list[str], shown: str) -> tuple[float, float]:
    """Seconds on the wall and of processor time that a command takes. shown: it is stopped at a line that ends so."""
    before, start = getrusage(RUSAGE_CHILDREN), time.perf_counter()
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=_GIVEN, text=True
    ) as run:
        assert run.stdout is not None
        for line in run.stdout:
            if shown and line.rstrip().endswith(shown):
                run.kill()
                break
    after = getrusage(RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return time.perf_counter() - start, used


def main() -> None:
    """Make a store, then time."""
    from big_store import big_store

    points = int(sys.argv[1]) if len(sys.argv) > 1 else 2_500
    reviews = int(sys.argv[2]) if len(sys.argv) > 2 else 50_000
    with TemporaryDirectory() as folder:
        path = Path(folder) / "recall.db"
        big_store(path, points=points, reviews=reviews, seed=1).close()
        note = Path(folder) / "note.md"
        note.write_text(NOTE, encoding="utf-8")
        recall = [sys.executable, "-m", "recall"]
        commands = {
            "bare imports": [sys.executable, "-c", BARE],
            "recall due": [*recall, "--store", str(path), "due"],
            "recall review, first question": [*recall, "--store", str(path), "review"],
            "recall lint, a short note": [*recall, "lint", str(note)],
            "recall lint, a whole deck": [*recall, "lint", str(DECKS / "skerry")],
        }
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
        for _ in range(ROUNDS + 1):
            for name, command in commands.items():
                times[name].append(spent(command, "?" if "question" in name else ""))
        times = {name: each[1:] for name, each in times.items()}
        bare = [median(each[at] for each in times["bare imports"]) for at in (0, 1)]
        print(f"{points * 4} cards, {reviews} reviews")
        for name, each in times.items():
            wall, used = (median(run[at] for run in each) for at in (0, 1))
            print(
                f"{name:30} {wall * 1e3:7.1f} ms {wall / bare[0]:5.2f} x"
                f"   processor {used * 1e3:7.1f} ms {used / bare[1]:5.2f} x"
            )


if __name__ == "__main__":
    main()
