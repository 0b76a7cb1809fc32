"""The first page."""

from pathlib import Path

from playwright.sync_api import Page
from web_kit import called, served

from recall.base.text import CAUTION


def test_today_comes_first(store: Path) -> None:
    """Under the bare address and under its name."""
    with called(store) as client:
        assert client.read("/") == client.read("/today")
        assert "<title>Today – recall</title>" in client.read("/")


def test_the_caution_stands_on_it(store: Path) -> None:
    """Uncontrolled, for training only."""
    with called(store) as client:
        assert CAUTION in client.read("/")


def test_it_opens_in_a_browser(store: Path, tab: Page) -> None:
    """Served by the command, without a complaint of the browser."""
    complaints: list[str] = []
    tab.on("console", lambda said: complaints.append(said.text))
    with served("--store", store, "page") as page:
        tab.goto(page.address)

        assert "Today – recall" == tab.title()
        assert [] == complaints
