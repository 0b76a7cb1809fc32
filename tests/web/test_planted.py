"""Scripts planted wherever words come from: none runs. First because every word is escaped, then because the policy
forbids what would slip through (Content Security Policy Level 3, W3C; Trusted Types, W3C)."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import recall
from playwright.sync_api import Page, Route
from web_kit import Served, served
from web_notes import points_of

PLANT = "<script>window.planted=1</script><img src=x onerror=window.planted=1><svg onload=window.planted=1>"
LINK = "[press](javascript:window.planted=1) {{ 7*7 }} ${7*7}"
NAME = 'a"><img src=x onerror=planted=1>.md'
NOTE = f"""\
---
title: '{PLANT}'
marking: '{PLANT}'
---
# Fuel {PLANT}

Source: Handbook {PLANT}

| Abbreviation | Meaning | Remark |
|---|---|---|
| TRU | transformer {PLANT} | {LINK} |
| EDP | engine-driven {PLANT} | {PLANT} |

| From | Feeds | Backup |
|---|---|---|
| Bus {PLANT} | Pump {PLANT} | Battery |
| Battery | Radio, Bus {PLANT} | |

## Why {PLANT}?

Because {PLANT} {LINK}

![{PLANT}](javascript:planted=1)
"""


@pytest.fixture
def planted(tmp_path: Path) -> Iterator[Served]:
    """A server over a store with a script in every word of its notes, in their names, in remarks and answers."""
    folder = tmp_path / "planted"
    folder.mkdir()
    (folder / NAME).write_text(NOTE, encoding="utf-8")
    store = tmp_path / "store.db"
    assert 0 == recall("load", folder, store=store).code
    for card in recall("cards", folder, "--json").rows():
        assert 0 == recall("remark", card["id"], PLANT, store=store).code
    recall("review", store=store, answers=[PLANT] * 40)
    with served("--store", store, "page", folder) as server:
        server.store = store  # type: ignore[attr-defined]
        yield server


def _watched(tab: Page) -> list[str]:
    """What the browser refuses, and what would have run."""
    told: list[str] = []
    tab.on("dialog", lambda dialog: (told.append("a dialog"), dialog.dismiss()))
    tab.on("pageerror", lambda error: told.append(f"an error: {error}"))
    return told


def test_what_is_planted_runs_nowhere(planted: Served, tab: Page) -> None:
    """On every page, and in a sitting that is answered with it."""
    told = _watched(tab)
    points = points_of(planted.store)  # type: ignore[attr-defined]
    addresses = ["today", "review", "oral", "topics", "plan", "supplies", "settings", "notes", "notes?see=1"]
    addresses += ["supplies?lost=Battery", f"supplies?lost={PLANT}", f"notes?file={PLANT}"]
    addresses += [f"point?id={point}" for point in [*points, PLANT]]
    for address in addresses:
        tab.goto(f"{planted.address}/{address}")
        assert tab.evaluate("window.planted") is None, address
        assert [] == tab.eval_on_selector_all(
            "script:not([src^='static/']), img[onerror], [href^='javascript' i], [src^='javascript' i]",
            "found => found.map(one => one.outerHTML)",
        )
    assert len(points) > 3
    assert [] == told


def test_typed_answers_run_nowhere(planted: Served, tab: Page) -> None:
    """Shown back beside the right one."""
    told = _watched(tab)
    tab.goto(f"{planted.address}/review")
    tab.locator("form.choices button.main").click()
    tab.wait_for_selector("#answer")
    for _ in range(3):
        tab.wait_for_timeout(350)
        if tab.locator("#answer").count():
            tab.locator("#answer").fill(PLANT)
        tab.locator(".answering button, .going-on button, .marks button").first.click()
        tab.wait_for_timeout(350)
        assert tab.evaluate("window.planted") is None

    assert [] == told


def test_the_policy_stops_what_would_slip_through(planted: Served, tab: Page) -> None:
    """A page of ours that was tampered with on its way: with scripts, handlers, styles and forms that lead away."""
    bad = (
        "<script>window.planted=1</script><script src='https://evil.example/x.js'></script>"
        "<img src=x onerror='window.planted=1'><p id=styled style='color: rgb(1, 2, 3)'>x</p>"
        "<style>p { color: rgb(1, 2, 3) }</style><iframe src='today'></iframe>"
        "<form id=away action='https://evil.example/'><button>x</button></form>"
    )

    def tamper(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=answer.text().replace("</main>", f"{bad}</main>"))

    refused: list[str] = []
    tab.expose_function("refused", lambda what: refused.append(what))
    tab.add_init_script("addEventListener('securitypolicyviolation', one => refused(one.effectiveDirective))")
    tab.route("**/today", tamper)
    tab.goto(f"{planted.address}/today")
    tab.evaluate("document.getElementById('away').submit()")
    sinks = tab.evaluate(
        "() => { try { document.body.innerHTML = '<b>x</b>'; return 'open' } catch (error) { return error.name } }"
    )
    tab.wait_for_timeout(200)

    assert tab.evaluate("window.planted") is None
    assert "rgb(1, 2, 3)" != tab.evaluate("getComputedStyle(document.getElementById('styled')).color")
    assert {"script-src-elem", "script-src-attr", "style-src-attr", "style-src-elem", "form-action"} <= set(
        refused
    )
    assert "TypeError" == sinks
