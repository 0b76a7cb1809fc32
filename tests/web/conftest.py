"""Fixtures for the page: a store with a small deck, and a browser where this machine has one."""

import shutil
from collections.abc import Iterator
from datetime import datetime, timezone
from pathlib import Path

import pytest
from class_kit import real_class
from cli_kit import NOTE, recall
from playwright.sync_api import Browser, BrowserContext, Page, Playwright
from web_kit import browser_here, patient
from web_notes import told_store


@pytest.fixture(scope="session")
def store_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `store` is a copy of."""
    place = tmp_path_factory.mktemp("small")
    (place / "fuel.md").write_text(NOTE, encoding="utf-8")
    assert 0 == recall("load", place / "fuel.md", store=place / "store.db").code
    return place / "store.db"


@pytest.fixture
def store(store_once: Path, tmp_path: Path) -> Path:
    """A store that holds the small deck; its notes are shared."""
    return Path(shutil.copy(store_once, tmp_path))


@pytest.fixture(scope="session")
def told_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `told` is a copy of."""
    return told_store(tmp_path_factory.mktemp("told"))


@pytest.fixture
def told(told_once: Path, tmp_path: Path) -> Path:
    """A store with a week of answers up to `MORNING`, supplies and a checkride; its notes are shared."""
    return Path(shutil.copy(told_once, tmp_path))


@pytest.fixture(scope="session")
def told_now_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `told_now` is a copy of."""
    return told_store(tmp_path_factory.mktemp("now"), datetime.now(timezone.utc))


@pytest.fixture
def told_now(told_now_once: Path, tmp_path: Path) -> Path:
    """The same up to this moment, for a server in a process of its own."""
    return Path(shutil.copy(told_now_once, tmp_path))


@pytest.fixture(scope="session")
def class_once(told_once: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `class_copy` is a copy of."""
    place = tmp_path_factory.mktemp("class")
    text = (told_once.parent / "small.md").read_text(encoding="utf-8")
    note = place / "small.md"
    note.write_text(text.replace("---\n", "---\nrevision: 1\neffective: 2026-01-01\n", 1), encoding="utf-8")
    return real_class(place / "class", note, bad=(0, 1))


@pytest.fixture
def class_copy(class_once: Path, tmp_path: Path) -> Path:
    """The folder of a class of twelve that learns the deck of `told`; its key is `class.key` beside it."""
    shutil.copy(class_once.parent / "class.key", tmp_path)
    return Path(shutil.copytree(class_once, tmp_path / "class"))


@pytest.fixture(scope="session")
def browser(driver: Playwright) -> Iterator[Browser]:
    """Chromium, started once."""
    started = driver.chromium.launch(executable_path=browser_here(), args=["--no-sandbox"])
    yield started
    started.close()


@pytest.fixture(scope="session")
def profile(browser: Browser) -> BrowserContext:
    """One profile for all: to make another takes a browser most of the second that a test of it takes."""
    return patient(browser.new_context())


@pytest.fixture
def context(profile: BrowserContext) -> Iterator[BrowserContext]:
    """The profile, desktop sized, without a page or a cookie of before; each port is an origin of its own."""
    yield profile
    for page in profile.pages:
        page.close()
    profile.clear_cookies()
    profile.set_offline(False)


@pytest.fixture
def tab(context: BrowserContext) -> Page:
    """An empty tab."""
    return context.new_page()
