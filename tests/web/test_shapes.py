"""How pages stand on a phone, in a frame that is moved sideways, and on paper."""

import io
from pathlib import Path

from playwright.sync_api import Page, expect
from pypdf import PdfReader
from web_kit import served

PHONE = {"width": 390, "height": 844}


def test_the_ways_stand_in_one_row_on_a_phone(told_now: Path, told_now_once: Path, tab: Page) -> None:
    """However many there are: what has no room beside the others is reached by moving them."""
    tab.set_viewport_size(PHONE)
    with served("--store", told_now, "page", told_now_once.parent / "small.md") as page:
        tab.goto(f"{page.address}/supplies")
        assert 8 == tab.locator("nav a").count()
        rows = {round(box["y"]) for one in tab.locator("nav a").all() if (box := one.bounding_box())}
        last = tab.locator("nav a").last.bounding_box()

    assert 1 == len(rows)
    assert last is not None
    assert last["x"] + last["width"] <= PHONE["width"]


def test_a_side_at_which_a_diagram_goes_on_is_shaded(told_now: Path, tab: Page) -> None:
    """On the right before it is moved, not once its end is reached."""
    tab.set_viewport_size({"width": 200, "height": 844})
    with served("--store", told_now, "page") as page:
        tab.goto(f"{page.address}/supplies")
        frame = tab.locator(".diagram")
        frame.scroll_into_view_if_needed()
        wider = frame.evaluate("frame => frame.scrollWidth - frame.clientWidth")
        clip = frame.bounding_box()
        assert wider > 0 and clip is not None
        edge = {"x": clip["x"] + clip["width"] - 4, "y": clip["y"] + 2, "width": 2, "height": 2}
        begin, looks = tab.screenshot(clip=edge), 600
        frame.evaluate("frame => frame.scrollTo(frame.scrollWidth, 0)")
        while (end := tab.screenshot(clip=edge)) == begin and (looks := looks - 1):
            tab.wait_for_timeout(100)  # until it is drawn

    assert begin != end


def test_each_printed_page_says_that_it_is_no_controlled_copy(told_now: Path, tab: Page) -> None:
    """At the foot of each of several sheets, not of the last alone."""
    with served("--store", told_now, "page") as page:
        tab.goto(f"{page.address}/plan")
        expect(tab.locator(".days")).to_be_visible()
        sheets = PdfReader(io.BytesIO(tab.pdf(width="10cm", height="12cm"))).pages

    assert len(sheets) > 2
    assert [] == [at for at, one in enumerate(sheets) if "Uncontrolled copy" not in one.extract_text()]
