"""Fixtures for the page: a store with a small deck, and a browser where this machine has one."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import NOTE, recall
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from web_kit import browser_here


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store that holds the small deck."""
    (tmp_path / "fuel.md").write_text(NOTE, encoding="utf-8")
    path = tmp_path / "store.db"
    assert 0 == recall("load", tmp_path / "fuel.md", store=path).code
    return path


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, started once; without one the test is skipped, and says so."""
    found = browser_here()
    if found is None:
        pytest.skip("no Chromium on this machine: install the package `chromium` to test in a browser")
    os.environ.setdefault("PLAYWRIGHT_SKIP_VALIDATE_HOST_REQUIREMENTS", "1")
    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A fresh profile of the browser, desktop sized."""
    made = browser.new_context()
    yield made
    made.close()


@pytest.fixture
def tab(context: BrowserContext) -> Page:
    """An empty tab; what the console says as an error fails the test."""
    return context.new_page()
