"""What holds for every page: HTML as it is specified, open to everyone. Each page stands in `ADDRESSES`."""

import gzip
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from cli_kit import NOTE, TOP, recall
from playwright.sync_api import Page, expect
from web_kit import LAN, TABLET, called, html_faults, in_both_schemes, served
from web_notes import points_of

from recall.cohort.view import Class
from recall.publish.sign import seed_of
from recall.web.pages import WAYS

DESK: Any = {"width": 1280, "height": 720}
PHONE: Any = {"width": 360, "height": 640}
FEW = NOTE.partition("| Abbreviation")[0]
PROSE = """
## Why does the feeder come first?

It is the only tank that feeds the engine.
"""
ADDRESSES = [
    *("today", "review", "oral", "topics", "plan", "supplies", "settings", "handover", "notes"),
    *("supplies?lost=Main+bus", "notes?see=1"),
    *("class", "class?on=2027-02-01"),
]


def all_of(store: Path) -> list[str]:
    """The address of each page, with those of a point."""
    points = points_of(store)[:2]
    return [
        *ADDRESSES,
        *(f"point?id={point}" for point in points),
        *(f"class-point?deck=small&id={point}" for point in points),
    ]


def class_of(folder: Path) -> Class:
    """The class of a folder, with its key."""
    return Class(folder, seed_of(folder.parent / "class.key"))


@pytest.fixture(scope="module")
def pages(told_once: Path, class_once: Path, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Each page, as it is sent."""
    told = Path(shutil.copy(told_once, tmp_path_factory.mktemp("pages")))
    with called(told, notes=told_once.parent / "small.md", group=class_of(class_once)) as client:
        return [client.read(f"/{address}") for address in all_of(told)]


def test_each_way_of_the_navigation_is_looked_at() -> None:
    """A page that is added is checked here too."""
    assert set() == set(WAYS) - set(ADDRESSES)


def moments(store: Path) -> Iterator[str]:
    """Pages of a review and of an oral with an examiner, from the first question to the end, and of the door."""
    with called(store, lan=LAN) as client:
        page = client.change("/review", {"action": "begin"}).text
        for action, text in (("answer", "x"), ("answer", "9"), ("source", ""), ("next", ""), ("stop", "")):
            yield page
            token = str(page).partition('name="token" value="')[2].partition('"')[0]
            page = client.change("/review", {"token": token, "action": action, "text": text}).text
        yield page
        client.change("/oral", {"action": "begin", "examiner": "on"})
        yield from map(client.read, ("/oral", "/oral?seat=examiner", "/oral?seat=candidate", "/devices"))
        token = client.read("/oral?seat=examiner").partition('name="token" value="')[2].partition('"')[0]
        yield client.change("/oral?seat=examiner", {"token": token, "action": "stop"}).text
    with called(store, peer=TABLET, host=LAN, lan=LAN) as stranger:
        yield from (stranger.get(path).text for path in ("/today", "/pair?code=1"))


def test_pages_are_valid(pages: list[str], class_once: Path, store: Path, tmp_path: Path) -> None:
    """By the Nu Html Checker, which the W3C's own service runs; a planted fault is found."""
    if shutil.which("java") is None:
        pytest.skip("no Java on this machine, in which the validator runs: install `default-jre-headless`")
    looked_at = {f"{at}.html": text for at, text in enumerate(pages)}
    looked_at |= {f"moment-{at}.html": text for at, text in enumerate(moments(store))}
    before, _, after = recall("class", class_once, "--format", "html").out.partition("<style>")
    looked_at["printed.html"] = before + after.partition("</style>")[2]  # styles younger than the checker
    planted = {"planted.html": '<!doctype html><html lang="en"><title>x</title><p><div>a</div></p>'}
    found = html_faults(tmp_path, looked_at | planted)

    assert [] == [fault for fault in found if not fault.startswith("planted")]
    assert [] != found


def width_over(tab: Page) -> int:
    """By how many pixels a page is wider than its screen, its letters at twice their size."""
    return int(
        tab.evaluate(
            "document.documentElement.style.fontSize = '200%',"
            " document.documentElement.scrollWidth - innerWidth"
        )
    )


def test_no_page_breaks_a_rule_of_accessibility(
    told_now_once: Path, told_now: Path, class_once: Path, tab: Page
) -> None:
    """WCAG 2.2 at level AA (W3C Recommendation, 2023), as far as axe-core tells, in both colour schemes; a planted
    fault is found. On a phone at twice the size of letters (1.4.4 and 1.4.10) nothing is wider than the screen, but
    for what scrolls in a frame of its own."""
    found, wide = {}, {}
    words = ("--store", told_now, "page", told_now_once.parent / "small.md")
    key = class_once.parent / "class.key"
    with served(*words, "--class", class_once, "--key", key) as page:
        for address in all_of(told_now):
            tab.set_viewport_size(DESK)
            answer = tab.goto(f"{page.address}/{address}")
            assert answer is not None and answer.ok, address
            found[address] = in_both_schemes(tab)
            tab.set_viewport_size(PHONE)
            wide[address] = width_over(tab)
        tab.evaluate("document.documentElement.removeAttribute('lang')")
        tab.evaluate("document.querySelector('h1').style.color = '#444'")
        planted = in_both_schemes(tab)

    assert [] == [(address, fault) for address, faults in found.items() for fault in faults]
    assert [] == [(address, px) for address, px in wide.items() if px > 0]
    assert ["html-has-lang", "color-contrast"] == [fault.partition(":")[0] for fault in planted]


def test_no_moment_of_a_sitting_breaks_a_rule_of_accessibility(tmp_path: Path, tab: Page) -> None:
    """A question, what came of it with its source, prose beside its answer, the end; on a phone, at twice the size of
    letters."""
    (tmp_path / "fuel.md").write_text(FEW + PROSE, encoding="utf-8")
    store = tmp_path / "store.db"
    assert 0 == recall("load", tmp_path / "fuel.md", store=store).code
    tab.set_viewport_size(PHONE)
    found: list[str] = []
    seen: set[str] = set()

    def look() -> None:
        wide = width_over(tab)
        seen.add(str(tab.locator("article").get_attribute("data-phase")))
        found.extend(in_both_schemes(tab) + [f"{wide} px too wide"] * (wide > 0))

    with served("--store", store, "page") as server:
        tab.goto(f"{server.address}/review")
        tab.locator("form.choices button.main").click()
        for _ in range(40):
            tab.wait_for_selector("article")
            tab.wait_for_timeout(320)
            phase = str(tab.locator("article").get_attribute("data-phase"))
            if phase not in seen:
                look()
            token = tab.locator("article").get_attribute("data-token")
            if phase == "None" or len(seen) == 3:
                break
            if phase == "asking":
                prose = tab.get_by_role("button", name="Compare with the answer").count()
                tab.locator("#answer").fill("it feeds" if prose else "I don't know")
            tab.locator(".answering button, .going-on button, .marks button").first.click()
            expect(tab.locator("article")).not_to_have_attribute("data-token", str(token))
        tab.wait_for_timeout(320)
        tab.get_by_role("button", name="Stop").click()
        expect(tab.locator("h1")).to_have_text("Review over")
        look()

    assert {"asking", "told", "marking", "None"} == seen
    assert [] == found


def test_little_is_sent(pages: list[str]) -> None:
    """A page with its styles and scripts is under 60 kB compressed; own script is under 300 lines in all."""
    scripts = list((TOP / "recall/web/static").glob("*.js"))
    files = [*scripts, TOP / "recall/web/static/recall.css"]
    sent = sum(len(gzip.compress(file.read_bytes())) for file in files)

    assert max(len(gzip.compress(page.encode())) for page in pages) + sent < 60_000
    assert sum(len(file.read_text(encoding="utf-8").splitlines()) for file in scripts) < 300
