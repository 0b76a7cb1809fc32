"""The whole way of a tablet in one browser after another, told as it goes: `python tests/tablet.py RUNTIME [chromium]
[firefox] [webkit]`. RUNTIME is the unpacked npm package `pyodide`. A browser that isn't here is said to be missing.

First the same 200 answers by the page's own fields and buttons as at a terminal, event by event; then the host is
gone, the browser is started again, 40 answers are given, its processes are killed twice in between, and what was
answered is handed over and merged."""

import json
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime, timedelta
from pathlib import Path

from alike import GAPS, Alike, bare, counted
from browsers import Browser, Chromium, Firefox, WebKit, firefox_here, webkit_here
from cli_kit import recall
from offline_decks import all_forms
from playwright.sync_api import sync_playwright
from tablet_kit import Tablet, hosted
from web_kit import browser_here

EACH = 40
"""Answers a day by both, and of the run without a host."""
KILLED_AFTER = (13, 27)
"""Of these 40."""
ON = {"asking": ("answer", "7"), "told": ("next", ""), "marking": ("hesitant", "")}
"""How the run goes on."""


def started(
    browser: Callable[[], Browser], tablet: Tablet, what: str, moment: datetime | None = None
) -> None:
    """Start a browser, and say how long the page took. moment: what its clock is set to."""
    tablet.browser = browser()
    before = time.monotonic()
    tablet.up()
    print(f"  {what}: the page is up after {time.monotonic() - before:.1f} s", flush=True)
    if moment is not None:
        tablet.set_clock(moment)


def alike(tablet: Tablet, folder: Path, revisions: tuple[Path, Path]) -> datetime:
    """The same answers at both, by the page's buttons; the day after them."""
    tablet.by_buttons = True
    both = Alike.begun(tablet, folder, revisions[0])
    for number, gap in enumerate(GAPS):
        if number == 3:
            both.load(revisions[1])
        both.sit(gap, EACH)
    told, kept = both.told(), bare(tablet.events())
    print(f"  {both.answers} answers in {len(both.steps)} steps at both: {counted(told)}")
    print(
        f"  events alike: {sum(a == b for a, b in zip(told, kept, strict=False))} of {len(told)} and {len(kept)}"
    )
    assert told == kept, "they differ"
    return both.clock.at + timedelta(days=1)


def answered(tablet: Tablet, until: int) -> None:
    """Give answers until so many are kept."""
    asked = ""
    while (now := tablet.now) and counted(tablet.events())["reviewed"] < until:
        action, text = ON[now.phase]
        tablet.step(action, "" if now.question == asked else text)  # what is asked again isn't known
        asked = now.question if now.phase == "asking" else ""


def way(
    name: str, browser: Callable[[], Browser], site: Path, revisions: tuple[Path, Path], folder: Path
) -> None:
    """All of it in one browser."""
    print(f"{name}:")
    with hosted(site, clock=True) as host:
        tablet = Tablet(None, host.address)  # type: ignore[arg-type]
        started(browser, tablet, "first start, from the host")
        moment = alike(tablet, folder, revisions)
        tablet.browser.close()
        port = host.port
    print(f"  the host at port {port} is stopped")
    without_a_host(browser, tablet, moment, folder)


def without_a_host(browser: Callable[[], Browser], tablet: Tablet, moment: datetime, folder: Path) -> None:
    """40 answers, the browser killed twice, handed over and merged."""
    started(browser, tablet, "the browser started again", moment)
    before = tablet.events()
    tablet.begin(more="on")
    answers = counted(before)["reviewed"]
    for number, given in enumerate((*KILLED_AFTER, EACH)):
        answered(tablet, answers + given)
        kept = tablet.events()
        fresh = counted(kept[len(before) :])
        print(f"  {given} answers given; the browser keeps {len(kept)} events, since the start {fresh}")
        if number < len(KILLED_AFTER):
            tablet.browser.kill()
            started(browser, tablet, "killed, and started again", moment)
            assert kept == tablet.events(), "an event is lost"
            tablet.now = tablet.now.of(tablet.page("review", {"action": "go on"}))
            tablet.go("review")
    file = folder / "handed.jsonl"
    print("  it says: " + tablet.page("today").partition('class="kept">')[2].partition(":")[0])
    tablet.save_events(file)
    laptop = folder / "laptop.db"
    for _ in range(2):
        said = recall("merge", file, "--same-person", store=laptop)
        print(f"  recall merge handed.jsonl: {said.out.strip()}")
    there = [json.loads(line) for line in recall("events", store=laptop).out.splitlines()]
    print(f"  the laptop holds {counted(there)}")
    assert counted(there)["reviewed"] == counted(tablet.events())["reviewed"]
    tablet.browser.close()


def main() -> None:
    """The browsers that are named, or all."""
    runtime, *wanted = sys.argv[1:]
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        driver = stack.enter_context(sync_playwright()) if browser_here() else None
        revisions = all_forms(folder)
        words = ("--out", folder / "site", "--runtime", runtime)
        print(recall("export", "page", revisions[0], *words).err.strip().rpartition(", ")[2] + " in all")
        engines: dict[str, tuple[object, Callable[[Path], Browser]]] = {
            "chromium": (driver, lambda profile: Chromium(driver, profile)),  # type: ignore[arg-type]
            "firefox": (firefox_here(), Firefox),
            "webkit": (webkit_here(), WebKit),
        }
        for name, (here, engine) in engines.items():
            if wanted and name not in wanted:
                continue
            if not here:
                print(f"{name}: not on this machine")
                continue
            own = folder / name
            own.mkdir()
            way(name, lambda engine=engine, own=own: engine(own / "profile"), folder / "site", revisions, own)  # type: ignore[misc]


if __name__ == "__main__":
    main()
