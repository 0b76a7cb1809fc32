"""The page in Chromium over 10,000 cards: Today, from question to question, what is sent, and memory over 200 pages.

python tests/bench/bench_page.py [points] [reviews]; four cards a point. Times are the browser's own (Navigation
Timing, W3C), or from the press to the next question on the screen. Beside them stands what a refusal takes, which is
the server and the browser alone: all pay for the machine.
"""

import gzip
import sys
import time
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from big_store import big_deck, big_store
from web_kit import browser_here, served

ROUNDS = 20
LOADED = "performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd"
ANSWERED = """async (text) => {
  const before = document.querySelector("article").dataset.token;
  await new Promise((done) => setTimeout(done, 320));
  document.getElementById("answer").value = text;
  const start = performance.now();
  document.querySelector("form.answering, form.going-on").requestSubmit(document.querySelector("button.main"));
  while (document.querySelector("article").dataset.token === before) await new Promise(requestAnimationFrame);
  await new Promise(requestAnimationFrame);
  return performance.now() - start;
}"""


def loads(tab: Page, address: str) -> list[float]:
    """Milliseconds until a page stands, each time."""
    found = []
    for _ in range(ROUNDS):
        tab.goto(address)
        found.append(float(tab.evaluate(LOADED)))
    return found


def resident(process: int) -> int:
    """Kilobytes of memory that a process holds."""
    status = Path(f"/proc/{process}/status").read_text(encoding="ascii")
    return int(status.split("VmRSS:")[1].split()[0])


def told(what: str, times: list[float]) -> None:
    """A line of the report."""
    print(f"{what:34} median {median(times):6.1f} ms, slowest of {len(times)} {max(times):6.1f} ms")


def main() -> None:
    """Make a store, serve it, and measure."""
    points = int(sys.argv[1]) if len(sys.argv) > 1 else 2_500
    reviews = int(sys.argv[2]) if len(sys.argv) > 2 else 50_000
    with TemporaryDirectory() as folder, sync_playwright() as driver:
        path = Path(folder) / "recall.db"
        big_store(path, points=points, reviews=reviews, seed=1).close()
        chromium = driver.chromium.launch(executable_path=browser_here(), args=["--no-sandbox"])
        tab = chromium.new_page()
        with served("--store", path, "page") as server:
            start = time.perf_counter()
            tab.goto(server.address)
            print(f"{'the very first page':34} {1e3 * (time.perf_counter() - start):6.1f} ms")
            told("a refusal (nothing but the server)", loads(tab, f"{server.address}/none"))
            told("Today", loads(tab, server.address))
            sizes = {}
            for name in ("today", "static/recall.css", "static/sitting.js"):
                body = tab.request.get(f"{server.address}/{name}").body()
                sizes[name] = len(gzip.compress(body, 6))
            print(f"page, styles and script compressed: {sum(sizes.values()) / 1000:.1f} kB {sizes}")
            tab.goto(f"{server.address}/review")
            tab.locator("form.choices button.main").click()
            tab.wait_for_selector("#answer")
            tab.wait_for_timeout(1500)  # its script has come
            times = []
            for _ in range(ROUNDS):
                if not tab.locator("#answer").count():
                    tab.wait_for_timeout(350)
                    tab.locator("button[value=next]").click()
                    tab.wait_for_selector("#answer")
                prompt = tab.locator("#question").inner_text()
                item, aspect = (int("".join(filter(str.isdigit, part))) for part in prompt.split(","))
                times.append(float(tab.evaluate(ANSWERED, f"{(item * 7 + aspect) % 97} V")))
            told("question to question", times)
            before = resident(server.process.pid)
            for point in big_deck(200).points:
                tab.request.get(f"{server.address}/point?id={point.digest('big')}")
            print(f"memory of the server: {before} kB, after 200 points {resident(server.process.pid)} kB")
        chromium.close()


if __name__ == "__main__":
    main()
