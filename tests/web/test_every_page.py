"""What holds for every page: HTML as it is specified, open to everyone. Each page stands in `ADDRESSES`."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from web_kit import against_wcag, called, html_faults, served
from web_notes import points_of

from recall.web.pages import WAYS

ADDRESSES = ["today", "review", "oral", "topics", "plan", "supplies", "supplies?lost=Main+bus", "settings"]


def all_of(store: Path) -> list[str]:
    """The address of each page, with those of a point."""
    return [*ADDRESSES, *(f"point?id={point}" for point in points_of(store)[:2])]


def test_each_way_of_the_navigation_is_looked_at() -> None:
    """A page that is added is checked here too."""
    assert set() == {way.address for way in WAYS} - set(ADDRESSES)


def test_pages_are_valid(told: Path, tmp_path: Path) -> None:
    """By the Nu Html Checker, which the W3C's own service runs; a planted fault is found."""
    if shutil.which("java") is None:
        pytest.skip("no Java on this machine, in which the validator runs: install `default-jre-headless`")
    with called(told) as client:
        pages = {f"{at}.html": client.read(f"/{address}") for at, address in enumerate(all_of(told))}
    planted = {"planted.html": '<!doctype html><html lang="en"><title>x</title><p><div>a</div></p>'}
    found = html_faults(tmp_path, pages | planted)

    assert [] == [fault for fault in found if not fault.startswith("planted")]
    assert [] != found


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_breaks_a_rule_of_accessibility(told_now: Path, browser: Browser, scheme: str) -> None:
    """WCAG 2.2 at level AA (W3C Recommendation, 2023), as far as axe-core tells; a planted fault is found."""
    tab = browser.new_page(color_scheme=scheme)  # type: ignore[arg-type]
    found = {}
    with served("--store", told_now, "page") as page:
        for address in all_of(told_now):
            tab.goto(f"{page.address}/{address}")
            found[address] = against_wcag(tab)
        tab.evaluate("document.documentElement.removeAttribute('lang')")
        planted = against_wcag(tab)
    tab.close()

    assert [] == [(address, fault) for address, faults in found.items() for fault in faults]
    assert 1 == len(planted)
