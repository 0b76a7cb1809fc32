"""The first page."""

import re
import socket
from pathlib import Path

import pytest
from cli_kit import recall, refused
from playwright.sync_api import Page
from web_kit import MORNING, called, served

from recall.base.clock import SetClock
from recall.base.text import CAUTION
from recall.store import Store


def test_today_comes_first(store: Path) -> None:
    """Under the bare address and under its name."""
    with called(store) as client:
        assert client.read("/") == client.read("/today")
        assert "<title>Today – recall</title>" in client.read("/")


def test_the_caution_stands_on_it(store: Path) -> None:
    """Uncontrolled, for training only."""
    with called(store) as client:
        assert CAUTION in client.read("/")


def test_a_port_that_is_taken_is_said(store: Path) -> None:
    """With what to do; nothing is served."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        ran = recall("page", "--port", str(other.getsockname()[1]), store=store)

    assert refused(ran)
    assert "recall page --port 0" in ran.err


def test_it_opens_in_a_browser(store: Path, tab: Page) -> None:
    """Served by the command, without a complaint of the browser."""
    complaints: list[str] = []
    tab.on("console", lambda said: complaints.append(said.text))
    with served("--store", store, "page") as page:
        tab.goto(page.address)

        assert "Today – recall" == tab.title()
        assert [] == complaints


def test_it_says_the_minutes_left_and_begins(store: Path) -> None:
    """One press, and the first question is put."""
    with called(store) as client:
        today = client.read("/today")
        page = client.change("/review", {"action": "begin"}).text
        after = client.read("/today")

    assert "left today" in today
    assert "Go on with it" not in today
    assert '<h1 id="question">' in page
    assert "Go on with it" in after


@pytest.mark.parametrize(
    ("on", "said"),
    [
        ("2026-12-05", "11 days to the checkride"),
        ("2026-11-24", "The checkride is today"),
        ("2026-11-01", "<h1>Today</h1>"),
    ],
)
def test_it_counts_the_days_to_the_checkride(store: Path, on: str, said: str) -> None:
    """First of all; one that is over counts no more."""
    with called(store) as client:
        client.change("/settings", {"checkride_on": on})

        assert said in client.read("/today")


def test_a_critical_point_that_was_missed_is_named(store: Path) -> None:
    """That it was never right, and no recall of what was just shown; one that wasn't asked isn't."""
    with called(store) as client:
        before = client.read("/today")
        page = client.change("/review", {"action": "begin"}).text
        put, token = (
            re.search(r'<h1 id="question">([^<]*)', page),
            re.search(r'name="token" value="([^"]+)', page),
        )
        assert put is not None and token is not None
        client.change("/review", {"token": token.group(1), "action": "answer", "text": "9"})
        after = client.read("/today")

    assert "No critical point that was asked is below" in before
    assert put.group(1) in after
    assert "never right on a first try" in after
    assert "% tomorrow" not in after


def test_an_empty_store_says_what_to_do(tmp_path: Path) -> None:
    """Name a folder of notes."""
    with Store.open(tmp_path / "empty.db", SetClock(MORNING)):
        pass
    with called(tmp_path / "empty.db") as client:
        assert "recall page FOLDER" in client.read("/today")
