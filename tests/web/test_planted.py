"""Nothing that is written or typed runs: scripts planted in notes, names, remarks and answers are shown as text.

Source: the OWASP Cross Site Scripting Prevention Cheat Sheet's contexts; Content Security Policy Level 3 (W3C).
"""

from html import escape
from pathlib import Path

import pytest
from cli_kit import recall
from playwright.sync_api import ConsoleMessage, Page, expect
from web_kit import served

from recall.base.clock import SystemClock
from recall.store import Store

PLANTED = "<img src=x onerror=alert(1)><script>alert(2)</script>\"'{{7*7}}"
WRITTEN = escape(PLANTED)
"""In a note's Markdown, whose reader takes the entities for the letters that they name."""
NOTE = f"""---
title: |
  Fuel {PLANTED}
---
# Fuel {WRITTEN}

Source: Handbook {WRITTEN}

| Control | Position | Why |
|---|---|---|
| **Feeder {WRITTEN}** | OPEN | because {WRITTEN} |

![a <b>](x.svg) <a href="javascript:alert(3)">link</a>

{PLANTED}
"""


@pytest.fixture
def planted(tmp_path: Path) -> Path:
    """A store whose deck is full of scripts, in a file that is named by one."""
    folder = tmp_path / "deck <script>alert(4)<"
    folder.mkdir()
    (folder / "fuel <b>.md").write_text(NOTE, encoding="utf-8")
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(5)</script><rect width="9" height="9"/></svg>'
    )
    (folder / "x.svg").write_text(svg, encoding="utf-8")
    store = tmp_path / "store.db"
    assert 0 == recall("load", folder, store=store).code
    with Store.open(store, SystemClock()) as opened:
        for known in opened.cards():
            opened.remark(known.id, f"mine {PLANTED}")
    return store


def test_no_planted_script_runs(planted: Path, tab: Page) -> None:
    """Not from a note, a file's name, a remark, a typed answer, an address or a picture; nothing is loaded from
    elsewhere, and the policy stops nothing, since nothing gets that far."""
    ran: list[str] = []
    blocked: list[str] = []
    outside: list[str] = []
    tab.on("dialog", lambda one: (ran.append(one.message), one.dismiss()))

    def complained(said: ConsoleMessage) -> None:
        if "olicy" in said.text and "picture" not in tab.url:
            blocked.append(said.text)

    tab.on("console", complained)
    with served("--store", planted, "page") as server:
        tab.on(
            "request", lambda one: outside.append(one.url) if not one.url.startswith(server.address) else None
        )
        tab.goto(f"{server.address}/today")
        tab.goto(f"{server.address}/review?topic={PLANTED}")
        tab.goto(f"{server.address}/review")
        tab.get_by_role("button", name="Begin").click()
        tab.wait_for_timeout(350)
        tab.locator("#answer").fill(f"closed {PLANTED}")
        tab.locator("form.answering button").click()
        expect(tab.locator(".told")).to_contain_text("mine <img src=x onerror=alert(1)>")
        expect(tab.locator(".told")).to_contain_text("closed <img src=x")
        tab.wait_for_timeout(350)
        tab.get_by_role("button", name="Source").click()
        expect(tab.locator(".note-lines")).to_contain_text("| **Feeder &lt;img")
        picture = tab.locator("figure img").get_attribute("src")
        tab.goto(f"{server.address}/{picture}")
        tab.goto(f"{server.address}/settings")
        tab.locator("#zone").fill(PLANTED)
        tab.get_by_role("button", name="Keep").click()
        expect(tab.locator("#zone-wrong")).to_contain_text("<img src=x")
        tab.goto(f"{server.address}/{PLANTED}")

    assert [] == ran
    assert [] == outside
    assert [] == blocked


def test_the_policy_stops_what_would_get_through(planted: Path, tab: Page) -> None:
    """Markup that a page would hold by mistake: an inline script, a handler, a style, a frame, an outside picture and
    a string parsed by a script are all stopped by the policy alone."""
    ran: list[str] = []
    tab.on("dialog", lambda one: (ran.append(one.message), one.dismiss()))
    with served("--store", planted, "page") as server:
        body = (
            f"<!doctype html><title>x</title><p id=p style='color:red'>x{PLANTED}<iframe src=/today></iframe>"
        )

        def mistaken(route: object) -> None:
            answer = route.fetch()  # type: ignore[attr-defined]
            route.fulfill(response=answer, body=body)  # type: ignore[attr-defined]

        tab.route("**/today", mistaken)
        tab.goto(f"{server.address}/today")
        colour = tab.evaluate("getComputedStyle(document.getElementById('p')).color")
        parsed = tab.evaluate(
            "() => { try { document.body.innerHTML = '<i>x</i>'; return 'parsed' } catch (e) { return e.name } }"
        )

    assert [] == ran
    assert "rgb(255, 0, 0)" != colour
    assert "TypeError" == parsed


@pytest.mark.parametrize(
    "name",
    ["../../store.db", "..%2f..%2fstore.db", "/etc/passwd", "link.svg", "fuel <b>.md", "", "x.svg\0.png"],
)
def test_no_name_leads_out_of_the_deck(planted: Path, name: str) -> None:
    """Not by dots, from the root, by a link or as another sort of file."""
    from web_kit import called

    folder = next(planted.parent.glob("deck*"))
    outside = planted.parent / "outside.svg"
    outside.write_text("<svg/>")
    (folder / "link.svg").symlink_to(outside)
    with Store.open(planted, SystemClock()) as opened:
        card = opened.cards()[0].id
    with called(planted, SystemClock()) as client:
        answer = client.get("/picture", params={"card": card, "name": name})
        right = client.get("/picture", params={"card": card, "name": "x.svg"})

    assert 404 == answer.status_code
    assert (200, "image/svg+xml") == (right.status_code, right.headers["content-type"])
