"""A review in Chromium: by keyboard, by touch, through cuts of the network and of the server."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import recall
from playwright.sync_api import Browser, BrowserContext, Page, expect
from web_kit import Served, patient, reviews, served

RIGHT = {
    "Minimum feeder quantity, in lb?": "150",
    "Maximum feeder quantity, in lb?": "700",
    "Minimum fuel temperature, in °C?": "-30",
    "Maximum fuel temperature, in °C?": "50",
}
SETTLED = 350
"""Milliseconds after which a key counts."""


@pytest.fixture
def server(store: Path) -> Iterator[Served]:
    """`recall page` in a process of its own."""
    with served("--store", store, "page") as found:
        yield found


def begin(tab: Page, server: Served) -> None:
    """A review up to its first question."""
    tab.goto(f"{server.address}/review")
    tab.get_by_role("button", name="Begin").click()
    expect(tab.locator("#answer")).to_be_focused()
    tab.wait_for_timeout(SETTLED)


def put(tab: Page) -> str:
    """What is asked."""
    return tab.locator("#question").inner_text()


def answer(tab: Page, text: str) -> None:
    """Type it and press Enter; back once something came of it."""
    tab.wait_for_timeout(SETTLED)
    before = tab.locator("article").get_attribute("data-token")
    tab.keyboard.type(text)
    tab.keyboard.press("Enter")
    expect(tab.locator("article")).not_to_have_attribute("data-token", str(before))


def test_a_review_goes_by_keyboard_alone(server: Served, tab: Page, store: Path) -> None:
    """The next key always belongs where the focus is."""
    begin(tab, server)
    right = put(tab)
    answer(tab, RIGHT[right])
    expect(tab.locator("#answer")).to_be_focused()
    expect(tab.locator(".told")).to_contain_text("Right.")
    wrong = put(tab)
    answer(tab, "9")
    expect(tab.locator("button[value=next]")).to_be_focused()
    assert wrong == put(tab)
    tab.wait_for_timeout(SETTLED)
    tab.keyboard.press("o")
    expect(tab.locator(".note-lines")).to_contain_text("Feeder quantity")
    tab.wait_for_timeout(SETTLED)
    tab.keyboard.press("Enter")
    expect(tab.locator("#answer")).to_be_focused()
    tab.wait_for_timeout(SETTLED)
    tab.keyboard.press("Escape")
    tab.keyboard.press("u")
    expect(tab.locator(".now")).to_contain_text("Taken back")
    assert wrong == put(tab)

    assert [RIGHT[right]] == [given for _, given, _ in reviews(store)]


def test_letters_that_are_typed_press_nothing(server: Served, tab: Page, store: Path) -> None:
    """In an answer they are an answer."""
    begin(tab, server)
    before = put(tab)
    tab.keyboard.type("xuo")

    assert "xuo" == tab.locator("#answer").input_value()
    assert before == put(tab)


def test_letters_in_a_run_are_words_and_mark_nothing(server: Served, tab: Page, store: Path) -> None:
    """Typed on as if the next question stood there, they leave a wrong answer as it is, and so does Enter behind
    them; one by itself is a key."""
    begin(tab, server)
    answer(tab, "9")
    tab.wait_for_timeout(SETTLED)
    tab.keyboard.type("right", delay=200)
    tab.keyboard.press("Enter")
    expect(tab.locator(".notice")).to_contain_text("Nothing was done")
    expect(tab.locator(".told")).to_contain_text("Marked missed.")
    tab.keyboard.press("r")

    expect(tab.locator(".told")).to_contain_text("Kept as claimed")


def test_enter_marks_nothing_that_a_person_marks(tmp_path: Path, tab: Page) -> None:
    """The mark that is proposed waits for its letter or its button; a key that does nothing is told so."""
    note = tmp_path / "note.md"
    note.write_text("## Why does the feeder come first?\n\nIt alone feeds the engine.\n", encoding="utf-8")
    recall("load", note, store=tmp_path / "own.db")
    with served("--store", tmp_path / "own.db", "page") as server:
        begin(tab, server)
        answer(tab, "the tail")
        tab.wait_for_timeout(SETTLED)
        tab.keyboard.press("Enter")
        expect(tab.locator(".notice")).to_contain_text("Nothing was done")
        assert [] == reviews(tmp_path / "own.db")
        tab.keyboard.press("h")

        expect(tab.locator(".over, [data-phase=told], [data-phase=asking]")).to_be_visible()


def test_the_time_to_the_first_key_is_kept(server: Served, tab: Page, store: Path) -> None:
    """Not that to the end of the typing, which comes after as long again as all before the key took."""
    start = time.monotonic()
    begin(tab, server)
    tab.keyboard.type(RIGHT[put(tab)][:1])
    gone = time.monotonic() - start
    tab.wait_for_timeout(1000 * gone + 100)
    tab.keyboard.type(RIGHT[put(tab)][1:])
    tab.keyboard.press("Enter")
    expect(tab.locator(".told")).to_contain_text("Right.")
    ((_, _, seconds),) = reviews(store)

    assert seconds is not None
    assert 0.29 <= seconds <= gone  # a page tells time to some milliseconds


def test_keys_right_after_an_answer_count_for_nothing(server: Served, tab: Page, store: Path) -> None:
    """Enter pressed twice in a hurry doesn't pass over what is told."""
    begin(tab, server)
    tab.keyboard.type("9")
    tab.keyboard.press("Enter")
    tab.keyboard.press("Enter")
    expect(tab.locator("button[value=next]")).to_be_focused()
    tab.keyboard.press("Enter")
    tab.wait_for_timeout(SETTLED)

    expect(tab.locator("button[value=next]")).to_be_focused()
    assert 1 == len(reviews(store))


def test_a_letter_right_after_an_answer_is_told_to_do_nothing(server: Served, tab: Page, store: Path) -> None:
    """It is pressed in the moment in which the outcome is shown; a second later it counts."""
    begin(tab, server)
    tab.evaluate(
        """() => new MutationObserver((_, watch) => {
          if (!document.querySelector("[data-phase=told]")) return;
          watch.disconnect();
          const key = { key: "r", bubbles: true, cancelable: true };
          document.activeElement.dispatchEvent(new KeyboardEvent("keydown", key));
        }).observe(document.body, { childList: true, subtree: true })"""
    )
    answer(tab, "9")
    expect(tab.locator(".notice")).to_contain_text("right after the answer did nothing")
    tab.wait_for_timeout(1000)
    assert [1] == [mark for mark, *_ in reviews(store)]
    tab.keyboard.press("r")

    expect(tab.locator(".told")).to_contain_text("Kept as claimed")


def test_an_answer_waits_while_the_network_is_away(
    server: Served, tab: Page, context: BrowserContext, store: Path
) -> None:
    """It is told, stays in the page, and is sent once when the network is back."""
    begin(tab, server)
    right = put(tab)
    context.set_offline(True)
    tab.keyboard.type(RIGHT[right])
    tab.keyboard.press("Enter")
    expect(tab.locator(".notice")).to_contain_text("waits in this page")
    assert right == put(tab)
    tab.keyboard.press("Enter")
    context.set_offline(False)
    expect(tab.locator(".told")).to_contain_text("Right.")
    tab.wait_for_timeout(2000)

    assert [RIGHT[right]] == [given for _, given, _ in reviews(store)]


def test_a_killed_server_loses_nothing(server: Served, tab: Page, store: Path) -> None:
    """What was typed while it was gone is kept when it is back; the page was never loaded anew."""
    begin(tab, server)
    first = put(tab)
    answer(tab, RIGHT[first])
    second = put(tab)
    server.kill()
    tab.wait_for_timeout(SETTLED)
    tab.keyboard.type(RIGHT[second])
    tab.keyboard.press("Enter")
    expect(tab.locator(".notice")).to_contain_text("waits in this page")
    server.again()
    expect(tab.locator("#question")).not_to_have_text(second)

    assert [RIGHT[first], RIGHT[second]] == [given for _, given, _ in reviews(store)]


def test_what_was_typed_outlives_the_page(server: Served, tab: Page) -> None:
    """Loaded anew, it stands on the line again."""
    begin(tab, server)
    tab.keyboard.type("15")
    tab.reload()

    expect(tab.locator("#answer")).to_have_value("15")


def test_a_look_at_the_source_keeps_what_was_typed(server: Served, tab: Page) -> None:
    """And so does an answer that can't be read as one, to be written over."""
    begin(tab, server)
    tab.keyboard.type("15 x")
    tab.get_by_role("button", name="Source").click()
    expect(tab.locator(".now")).to_contain_text("fuel.md line 7")
    expect(tab.locator("#answer")).to_have_value("15 x")
    tab.wait_for_timeout(SETTLED)
    tab.locator("#answer").fill("x")
    tab.keyboard.press("Enter")
    expect(tab.locator(".now")).to_contain_text("Nothing is kept")
    expect(tab.locator("#answer")).to_have_value("x")
    expect(tab.locator("#answer")).to_be_focused()
    tab.keyboard.type("9")

    expect(tab.locator("#answer")).to_have_value("9")


def test_two_tabs_and_the_back_button(server: Served, context: BrowserContext, store: Path) -> None:
    """The second tab is told that the question was answered; going back shows the present."""
    one, two = context.new_page(), context.new_page()
    begin(one, server)
    two.goto(f"{server.address}/review")
    right = put(one)
    answer(one, RIGHT[right])
    two.wait_for_timeout(SETTLED)
    two.locator("#answer").fill("9")
    two.keyboard.press("Enter")
    expect(two.locator(".notice")).to_contain_text("nothing was kept twice")
    one.goto(f"{server.address}/today")
    one.go_back()
    expect(one.locator("#question")).to_have_text(put(two))

    assert 1 == len(reviews(store))


def test_a_phone_is_enough(server: Served, browser: Browser, store: Path) -> None:
    """360 by 640, by touch: nothing is wider than the screen, what is pressed is at least 24 px (WCAG 2.2, 2.5.8)
    and here 44."""
    context = patient(
        browser.new_context(viewport={"width": 360, "height": 640}, has_touch=True, is_mobile=True)
    )
    tab = context.new_page()
    tab.goto(f"{server.address}/review")
    tab.get_by_role("button", name="Begin").tap()
    expect(tab.locator("#answer")).to_be_focused()
    tab.wait_for_timeout(SETTLED)
    tab.locator("#answer").fill("9")
    tab.get_by_role("button", name="Answer").tap()
    expect(tab.locator(".told")).to_contain_text("Wrong")
    widths = tab.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    low = [box["height"] for box in (one.bounding_box() for one in tab.locator("button").all()) if box]
    tab.wait_for_timeout(SETTLED)
    tab.get_by_role("button", name="I was right").tap()
    expect(tab.locator(".told")).to_contain_text("Kept as claimed")
    context.close()

    assert widths[0] <= widths[1]
    assert 44 <= min(low)


def test_it_works_without_a_script(server: Served, browser: Browser, store: Path) -> None:
    """Forms are enough."""
    context = patient(browser.new_context(java_script_enabled=False))
    tab = context.new_page()
    tab.goto(f"{server.address}/review")
    tab.get_by_role("button", name="Begin").click()
    expect(tab.locator(".keys")).to_be_hidden()
    right = put(tab)
    tab.locator("#answer").fill(RIGHT[right])
    tab.keyboard.press("Enter")
    expect(tab.locator(".told")).to_contain_text("Right.")
    context.close()

    assert [(3, RIGHT[right], None)] == reviews(store)
