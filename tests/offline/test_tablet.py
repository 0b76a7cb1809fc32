"""The folder in Chromium: opened once with a network, then without; killed, handed over, merged."""

import functools
import http.server
import json
import os
import signal
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import ClassVar

import pytest
from cli_kit import recall
from playwright.sync_api import BrowserContext, Error, Page, expect, sync_playwright
from web_kit import browser_here

SETTLED = 350
"""Milliseconds after which a key counts."""
START, STEP = 120_000, 30_000
"""Milliseconds within which the program must be up, and a step taken, on a machine that does other things
too."""


class _Static(http.server.SimpleHTTPRequestHandler):
    """Any static host."""

    extensions_map: ClassVar[dict[str, str]] = {
        **http.server.SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
        ".webmanifest": "application/manifest+json",
    }

    def log_message(self, *_: object) -> None:
        """Quiet."""


@contextmanager
def hosted(folder: Path) -> Iterator[str]:
    """The folder on a static host; its address."""
    server = http.server.ThreadingHTTPServer(
        ("127.0.0.1", 0), functools.partial(_Static, directory=str(folder))
    )
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()


@contextmanager
def chromium(profile: Path) -> Iterator[BrowserContext]:
    """The browser with a profile that outlives it."""
    found = browser_here()
    if found is None:
        pytest.skip("no Chromium on this machine: install the package `chromium` to test in a browser")
    os.environ.setdefault("PLAYWRIGHT_SKIP_VALIDATE_HOST_REQUIREMENTS", "1")
    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            profile, executable_path=found, args=["--no-sandbox"], accept_downloads=True
        )
        yield context
        with suppress(Error):  # it was killed
            context.close()


def kill(profile: Path) -> None:
    """End all processes of the browser at once."""
    listed = subprocess.run(
        ["pgrep", "-f", f"user-data-dir={profile}"], capture_output=True, text=True, check=False
    )
    for number in map(int, listed.stdout.split()):
        os.kill(number, signal.SIGKILL)


def up(context: BrowserContext, address: str) -> Page:
    """The page, once the program runs."""
    tab = context.pages[0] if context.pages else context.new_page()
    tab.goto(address)
    expect(tab.locator("#page")).to_be_visible(timeout=START)
    return tab


def answer(tab: Page, number: int) -> None:
    """Answer what is put (begin first), and go on until the next is put or all is over. Every third one is
    wrong."""
    page = tab.frame_locator("#page")
    if not page.locator("article.sitting").count():
        page.locator("nav a[href=review]").click()
        began = page.locator("button[value=begin], button[value='go on']").first
        expect(page.locator("nav a[href=review][aria-current]")).to_be_visible(timeout=STEP)
        began.click(timeout=STEP)
    expect(page.locator("#answer")).to_be_visible(timeout=STEP)
    tab.wait_for_timeout(SETTLED)
    token = page.locator("article.sitting").get_attribute("data-token") or ""
    page.locator("#answer").fill("7" if number % 3 == 0 else right(page.locator("#question").inner_text()))
    page.locator("#answer").press("Enter")
    expect(page.locator("article.sitting")).not_to_have_attribute("data-token", token, timeout=STEP)
    if page.locator("button[value=next]").count():
        tab.wait_for_timeout(SETTLED)
        page.locator("button[value=next]").click()
        expect(page.locator("button[value=next]")).to_have_count(0, timeout=STEP)


def right(question: str) -> str:
    """The right answer of the deck's own rows."""
    letter = question.removeprefix("Maximum parameter ")[0]
    return str(11 + "ABCDEFGHJKLMNPQRSTUVWXYZ".index(letter.upper()))


def test_a_tablet_learns_without_a_network(published: Path, runtime: Path, tmp_path: Path) -> None:
    """Opened once; host gone; answers; the browser killed twice; nothing acknowledged is lost; handed over,
    the laptop's merge counts each answer once."""
    site, profile = tmp_path / "site", tmp_path / "profile"
    assert 0 == recall("export", "page", published, "--out", site, "--runtime", runtime).code
    with hosted(site) as address, chromium(profile) as context:
        answer(up(context, address), 1)
    given = 1
    for _ in range(2):
        with chromium(profile) as context:
            tab = up(context, address)
            for _ in range(3):
                given += 1
                answer(tab, given)
            kill(profile)
    with chromium(profile) as context:
        tab = up(context, address)
        page = tab.frame_locator("#page")
        expect(page.locator(".kept")).to_contain_text(f"{given} answers since", timeout=STEP)
        page.locator(".kept a").click()
        with tab.expect_download() as found:
            page.get_by_role("link", name="Save the file").click()
        file = tmp_path / "handed.jsonl"
        found.value.save_as(file)
    events = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    laptop = tmp_path / "laptop.db"
    said = [recall("merge", file, "--same-person", store=laptop).out for _ in range(2)]

    assert given == sum(event["type"] == "reviewed" for event in events)
    assert f"{given} of them answers" in said[0]
    assert "0 new events" in said[1]
