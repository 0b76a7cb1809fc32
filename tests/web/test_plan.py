"""The plan's page."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from cli_kit import recall
from markupsafe import escape
from playwright.sync_api import Page
from web_kit import Caller, called, served

from recall.base.text import percent


@pytest.fixture
def client(told: Path) -> Iterator[Caller]:
    """The pages over a store with a week behind it."""
    with called(told) as client:
        yield client


def test_it_says_what_the_terminal_says(client: Caller, told: Path) -> None:
    """Each sentence, the picture's ends, the odds with what they assume, and the days."""
    from random import Random

    from web_kit import MORNING

    from recall.base.clock import SetClock
    from recall.session.plan_told import headline, limits
    from recall.session.planned import plan_for
    from recall.session.target import stored_target
    from recall.store import Store

    with Store.open(told, SetClock(MORNING), create=False) as store:
        target = stored_target(store)
        planned = plan_for(store, target, Random(f"{store.today()} {target.on}"))
    said = client.read("/plan")

    assert [] == [one for one in headline(planned) if escape(one) not in said]
    assert [] == [one for one in limits(planned) if escape(one.partition("`")[0]) not in said]
    assert f"the most any plan can bring <b>{percent(planned.plan.bound, 1)}</b>" in said
    assert f"daily order <b>{percent(planned.plan.daily)}</b>" in said
    assert "These cards in these words" in said
    assert 'class="days"' in said


def test_without_a_checkride_it_asks_for_one(store: Path) -> None:
    """What is set then is the plan that the terminal follows."""
    with called(store) as client:
        assert "No checkride is set" in client.read("/plan")
        client.change("/plan", {"on": "2026-11-28", "at": "10:30", "minutes": "7", "days_off": "Sun"})
        said = client.read("/plan")

    assert "10:30" in said
    assert "7 min a day" in said
    assert "2026-11-28" in recall("settings", store=store).out


def test_another_one_may_be_looked_at(client: Caller, told: Path) -> None:
    """What is set stays."""
    said = client.read("/plan?on=2026-11-27&minutes=20")

    assert "Only looked at" in said
    assert "20 min a day" in said
    assert "5 min a day" in client.read("/plan")


@pytest.mark.parametrize(
    "form",
    [
        {"on": "2026-02-30"},
        {"on": "yesterday"},
        {"minutes": "0"},
        {"minutes": "nan"},
        {"minutes": "many"},
        {"days_off": "Someday"},
        {"on": "2026-01-01"},
    ],
)
def test_what_cannot_be_planned_is_said_with_its_cure(
    client: Caller, told: Path, form: dict[str, str]
) -> None:
    """And nothing is kept of it."""
    whole = {"on": "2026-11-29", "at": "09:00", "minutes": "5", "days_off": ""} | form
    before = recall("settings", store=told).out
    looked = client.get("/plan", params=whole)
    kept = client.change("/plan", whole)

    assert 'role="alert"' in looked.text
    assert 409 == kept.status_code
    assert before == recall("settings", store=told).out


def test_a_plan_is_made_once_until_something_is_answered(
    client: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second time it stands at once."""
    from recall.web import planned

    first = client.read("/plan")
    monkeypatch.setattr(planned, "plan_for", None)

    assert (
        first[first.index("What it brings") :]
        == (again := client.read("/plan"))[again.index("What it brings") :]
    )


@pytest.mark.parametrize(
    ("address", "room", "name"),
    [
        ("/plan", "recall.web.planned", "plan_for"),
        ("/review?plan=1", "recall.session.planned", "sitting_today"),
    ],
)
def test_other_pages_are_answered_while_it_is_made(
    client: Caller, monkeypatch: pytest.MonkeyPatch, address: str, room: str, name: str
) -> None:
    """A plan that waits for them would never be done."""
    home = import_module(room)
    whole, asked, answered = getattr(home, name), Event(), Event()

    def waits(*words: Any, **more: Any) -> Any:
        asked.set()
        assert answered.wait(60)
        return whole(*words, **more)

    monkeypatch.setattr(home, name, waits)
    with ThreadPoolExecutor() as pool:
        made = pool.submit(client.read, address)
        assert asked.wait(60)
        assert "Settings" in client.read("/settings")
        answered.set()

        assert 'class="works"' in made.result()


def test_a_review_by_the_plan_says_what_it_has_before_it_begins(client: Caller) -> None:
    """And begins with a press, without planning anew."""
    said = client.read("/review?plan=1")
    begun = client.change("/review", {"action": "begin", "plan": "1"}).text

    assert "to the checkride;" in said
    assert 'name="plan" value="1"' in said
    assert 'id="question"' in begun


def test_a_press_without_a_plan_that_is_made_leads_to_its_making(client: Caller) -> None:
    """Begun anew, or gone on with after the program was started again."""
    begun = client.change("/review", {"action": "begin", "plan": "1"})

    assert str(begun.url).endswith("/review?plan=1")


def test_it_shows_that_it_works_before_it_is_done(told_now: Path, tab: Page) -> None:
    """What is planned, in the browser, while the plan is being made; then the plan in its place."""
    with served("--store", told_now, "page") as page:
        tab.goto(f"{page.address}/plan", wait_until="commit")
        tab.wait_for_selector(".works")
        tab.wait_for_selector(".chart")

        assert not tab.locator(".works").is_visible()
