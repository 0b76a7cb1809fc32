"""The folder in Chromium, with one first start for all of it: what comes from the host is checked, then the host is
gone; the same answers are given at a terminal; the browser is killed; what was answered is handed over and merged."""

import re
import time
from datetime import datetime
from pathlib import Path
from typing import Any

from alike import GAPS, Alike, bare
from browsers import Chromium
from cli_kit import recall
from playwright.sync_api import Playwright
from tablet_kit import UNTIL, Host, Tablet, hosted, listed_anew

from recall.offline.build import build

EACH = 12
"""Answers a day. 200 are given without a browser in `test_alike.py`, by the page's buttons in `tests/tablet.py`."""
STEPS = {"asking": ("answer", "7"), "told": ("next", ""), "marking": ("missed", "")}
"""How a person goes on who knows little."""
WASM = "pyodide.asm.wasm"


def written(folder: Path, files: dict[str, bytes]) -> Path:
    """Files on the disk."""
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def altered_runtime_is_refused(tablet: Tablet, elsewhere: Host) -> None:
    """One byte of it on the other host is another one: it is said, and nothing runs."""
    content = bytearray((elsewhere.folder / WASM).read_bytes())
    content[4711] ^= 1
    elsewhere.instead[WASM] = bytes(content)
    said = tablet.says("isn't as it was made")
    elsewhere.instead.clear()

    assert f"{elsewhere.address}{WASM}" in said


def events_are_alike(tablet: Tablet, folder: Path, first: Path, second: Path) -> Alike:
    """Right and wrong answers, slips, what is no answer, undo, overrules, claims, remarks and a newer revision, on
    five days: each question and each event is the terminal's."""
    both = Alike.begun(tablet, folder, first)
    for number, gap in enumerate(GAPS):
        if number == 3:
            both.load(second)
        both.sit(gap, EACH)
    told, kept = both.told(), bare(tablet.events())

    assert told == kept
    assert both.answers > 40
    return both


def a_second_tab_waits(tablet: Tablet, browser: Chromium) -> None:
    """It says so, and writes nothing."""
    first, browser.tab = browser.tab, browser.context.new_page()
    tablet.says("open in another tab")
    browser.tab.close()
    browser.tab = first


def a_newer_page_is_fetched(tablet: Tablet, host: Host) -> None:
    """It waits beside the one in use (W3C Service Workers, registration: waiting worker)."""
    changed = {"worker.js": b"// newer\n" + host.instead["worker.js"]}
    host.instead.update(listed_anew(host.folder, changed))
    tablet.browser.js(
        UNTIL
        + """const found = await navigator.serviceWorker.getRegistration();
        await found.update(); await until(() => found.waiting, "a newer page");"""
    )


def the_newer_page_has_the_same_answers(tablet: Tablet, kept: list[dict[str, Any]]) -> None:
    """It took over at this start, and touched none of them."""
    worker = tablet.browser.js("return (await fetch('worker.js')).text()")

    assert worker.startswith("// newer")
    assert kept == tablet.events()


def a_full_storage_is_said(tablet: Tablet) -> None:
    """What can be made anew gives way; then the answer isn't acknowledged, and those before it stay."""
    kept, spare = tablet.events(), tablet.snapshot()
    while tablet.now.phase != "asking":
        tablet.step(*STEPS[tablet.now.phase])
    tablet.fill()
    tablet.browser.js(
        """const page = document.getElementById("page").contentWindow, body = new URLSearchParams(given);
        void page.fetch("review", { method: "POST", body });""",
        {**tablet.named(), "action": "answer", "text": "I don't know", "seconds": ""},
    )
    said = tablet.said("storage of this device is full")

    assert "Those before it are" in said
    assert kept == tablet.events()[: len(kept)]
    assert spare and not tablet.snapshot()


def an_older_page_writes_nothing(tablet: Tablet) -> None:
    """Where a later version of the page kept answers, it says so."""
    kept = tablet.events()
    tablet.browser.open(f"{tablet.address}manifest.webmanifest")
    code = """const request = indexedDB.open("recall", 99);
        const base = await new Promise((good) => { request.onsuccess = () => good(request.result); });
        base.close();"""
    tablet.browser.js(code)
    said = tablet.says("older than the answers on this device")

    assert "nothing is written" in said
    assert kept == tablet.events()


def the_page_goes_on_by_its_buttons(tablet: Tablet, moment: datetime) -> None:
    """Its own fields and buttons, without a network."""
    before = len(tablet.events())
    tablet.set_clock(moment)
    tablet.by_buttons = True
    tablet.begin(more="on")
    for _ in range(4):
        tablet.step(*STEPS[tablet.now.phase])
    tablet.by_buttons = False

    assert before < len(tablet.events())


def cards_are_alike(tablet: Tablet, both: Alike) -> None:
    """The store that was made anew of the events alone, since its copy was damaged, has the terminal's due days and
    marks."""
    here, until = both.standings(), time.monotonic() + 60
    while (there := both.standings_there()) != here:
        assert time.monotonic() < until, (here, there)
        time.sleep(0.2)


def it_is_handed_over(tablet: Tablet, folder: Path) -> None:
    """How many answers are on the tablet alone is said until then; the laptop's merge counts each once."""
    file, answers = folder / "handed.jsonl", sum(event["type"] == "reviewed" for event in tablet.events())
    before = tablet.page("today")
    tablet.save_events(file)
    after = tablet.page("today")
    merged = [recall("merge", file, "--same-person", store=folder / "laptop.db").out for _ in range(2)]
    said = [" ".join(one.split()) for one in merged]  # where lines end is up to the length of the file's name

    assert re.search(r"\d+ answers since \d+ \w+ are only on this device", before)
    assert "only on this device" not in after
    assert f"{answers} of them answers" in said[0]
    assert "0 new events" in said[1]


def test_a_tablet_learns_as_a_terminal_does(
    all_forms: tuple[Path, Path], runtime: Path, tmp_path: Path, driver: Playwright
) -> None:
    """Nothing that was acknowledged is lost, nothing is counted twice, and every event is the terminal's."""
    profile = tmp_path / "profile"
    with hosted(runtime, elsewhere=True) as elsewhere:
        site = written(tmp_path / "site", build(all_forms[:1], None, elsewhere.address))
        with hosted(site, clock=True) as host:
            browser = Chromium(driver, profile)
            tablet = Tablet(browser, host.address)
            altered_runtime_is_refused(tablet, elsewhere)
            tablet.up()
            both = events_are_alike(tablet, tmp_path, *all_forms)
            a_second_tab_waits(tablet, browser)
            a_newer_page_is_fetched(tablet, host)
    kept = tablet.events()
    tablet.snapshot("bytes.fill(7, 5000, 9000); kept.put(bytes, 'snapshot');")
    browser.kill()

    tablet.browser = browser = Chromium(driver, profile)
    tablet.up()
    the_newer_page_has_the_same_answers(tablet, kept)
    cards_are_alike(tablet, both)
    the_page_goes_on_by_its_buttons(tablet, both.clock.at)
    it_is_handed_over(tablet, tmp_path)
    a_full_storage_is_said(tablet)
    an_older_page_writes_nothing(tablet)
    browser.close()
