"""The main job's ratios, each measured side by side in one run: `python tests/bench/main_job.py`.

Prints a Markdown table. Medians of alternating runs, since machines are noisy.
"""

import tempfile
import time
from collections.abc import Callable
from datetime import datetime, timezone
from pathlib import Path
from statistics import median

from recall.base.clock import SetClock
from recall.deck.read import read_deck
from recall.deck.source import find_sources, fingerprint
from recall.notes.grammar import parser
from recall.store import Store

ROWS = 10_000
PUMPS = ("Fuel", "Oil", "Hydraulic", "Water", "Bilge", "Air")


def notes(rows: int) -> str:
    """A deck of so many limit rows, a heading every hundred."""
    lines = []
    for row in range(rows):
        if row % 100 == 0:
            lines += ["", f"## System {row // 100}", "", f"Source: Handbook {row // 100}-1", ""]
            lines += ["| Parameter | Minimum | Maximum | Unit | When | Why |", "|---|---|---|---|---|---|"]
        name = f"{PUMPS[row % 6]} pump {row} pressure"
        lines.append(
            f"| {name} | {10 + row % 50} | {100 + row % 70} | psi | in flight | It feeds line {row % 9} |"
        )
    return "# Limits\n" + "\n".join(lines) + "\n"


def timed(call: Callable[[], object]) -> float:
    """Seconds that a call takes."""
    begun = time.perf_counter()
    call()
    return time.perf_counter() - begun


def paired(one: Callable[[], object], two: Callable[[], object], runs: int) -> tuple[float, float, float]:
    """Medians of both in turn, and of their ratio pair by pair."""
    pairs = [(timed(one), timed(two)) for _ in range(runs)]
    return median(a for a, _ in pairs), median(b for _, b in pairs), median(a / b for a, b in pairs)


def reading(folder: Path) -> tuple[float, float, float]:
    """Cards and findings of a deck of 10,000 rows, against the same parser on the same text."""
    text = (folder / "limits.md").read_text(encoding="utf-8")
    source = find_sources(folder)[0]
    return paired(lambda: read_deck(source), lambda: parser().parse(text), 5)


def loading(folder: Path, store: Path) -> tuple[float, float, float]:
    """Loading an unchanged deck, in process, against its first load."""
    clock = SetClock(datetime(2026, 11, 24, 8, tzinfo=timezone.utc))
    source = find_sources(folder)[0]

    def load(opened: Store) -> None:
        if not opened.unchanged(source.place, fingerprint(source)):
            opened.load(read_deck(source)[0])

    pairs = []
    for run in range(3):
        with Store.open(store.with_name(f"{run}-{store.name}"), clock) as opened:
            first = timed(lambda: load(opened))
            pairs.append((timed(lambda: load(opened)), first))
    return median(a for a, _ in pairs), median(b for _, b in pairs), median(a / b for a, b in pairs)


def main() -> None:
    """Measure and print."""
    rows = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "deck"
        folder.mkdir()
        (folder / "limits.md").write_text(notes(ROWS), encoding="utf-8")
        rows.append(("cards and findings of 10,000 rows / bare parser", 1.5, reading(folder)))
        rows.append(("loading it unchanged / first load", 0.05, loading(folder, Path(place) / "load.db")))
    print("| what | at most | ratio | seconds |")
    print("| --- | --- | --- | --- |")
    for what, most, (one, two, ratio) in rows:
        print(f"| {what} | {most} | {ratio:.3f} | {one:.3f} / {two:.3f} |")


if __name__ == "__main__":
    main()
