"""Notes as they are written: from a save to the line in the browser, against reading the whole deck.

Run: python tests/bench/writing.py [POINTS]
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from cli_kit import recall
from playwright.sync_api import sync_playwright
from web_kit import browser_here, served

from recall.deck.read import read_deck

NOTES, SAVES = 20, 9


def note(number: int, rows: int) -> str:
    """A note of limits, under five headings."""
    parts = [f"# System {number}\n\nSource: Handbook {number}-1\n"]
    for part in range(5):
        parts.append(f"\n## Part {part}\n\n| Parameter | Minimum | Maximum | Unit |\n|---|---|---|---|\n")
        parts += [
            f"| Quantity {number} {part} {row} | {row + 1} | {row + 100 + part} | psi |\n"
            for row in range(rows // 5)
        ]
    return "".join(parts)


def run(folder: Path, name: str) -> None:
    """Save a row of the last note over and over, at another place each time; print what it took."""
    begun = time.perf_counter()
    deck, _ = read_deck(folder)
    whole = time.perf_counter() - begun
    file = sorted(folder.iterdir())[-1]
    store = folder.parent / f"{name}.db"
    assert 0 == recall("load", folder, store=store).code
    took = []
    with served("--store", store, "page", folder) as server, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=browser_here(), args=["--no-sandbox"])
        tab = browser.new_page()
        tab.goto(f"{server.address}/notes?file={file.name}")
        tab.wait_for_timeout(1500)
        for at in range(SAVES):
            text = file.read_text(encoding="utf-8")
            text = text.replace("| psi |\n", f"| psi |\n| Saved {at} | 1 | 2 | psi |\n", 1)
            begun = time.perf_counter()
            file.write_text(text, encoding="utf-8")
            tab.wait_for_selector(f".changed >> text=Saved {at} ")
            took.append(time.perf_counter() - begun)
        browser.close()
    middle = statistics.median(took)
    print(
        f"{name}: {len(deck.points)} points, from a save to the browser {middle:.2f} s (most {max(took):.2f}), "
        f"{middle / whole:.2f} of reading it whole ({whole:.2f} s)"
    )


def main(points: int) -> None:
    """The same points in many notes, and in one."""
    with tempfile.TemporaryDirectory() as folder:
        for name, notes in (("many notes", NOTES), ("one note", 1)):
            place = Path(folder) / name.replace(" ", "-")
            place.mkdir()
            for at in range(notes):
                texts = (note(number, points // NOTES) for number in range(at, NOTES, notes))
                (place / f"n{at:02}.md").write_text("\n".join(texts), encoding="utf-8")
            run(place, name)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5000)
