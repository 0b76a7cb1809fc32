"""A mock oral on the page: alone, and with an examiner at another device."""

import re
from pathlib import Path

from cli_kit import recall
from playwright.sync_api import BrowserContext, expect
from web_kit import Caller, called, reviews, served


def token(page: str) -> str:
    """Of what is put."""
    found = re.search(r'name="token" value="([^"]+)"', page)
    assert found is not None
    return found.group(1)


def step(client: Caller, action: str, text: str = "", at: str = "/oral") -> str:
    """The page that a step leads to."""
    form = {"token": token(client.read(at)), "action": action, "text": text}
    return str(client.change(at, form).text)


def test_nothing_is_told_until_the_end(store: Path) -> None:
    """Then right and wrong, by area, with what was missed."""
    with called(store) as client:
        page = client.change("/oral", {"action": "begin", "questions": "3"}).text
        for _ in range(3):
            assert "Right." not in page
            assert "rong" not in page.partition("<main")[2].replace("class=", "")
            page = step(client, "answer", "I don't know")

    assert "Mock oral over" in page
    assert "0 of 3 right" in page
    assert "Missed: 3" in page
    assert "Handbook 28-1; fuel.md line" in page
    assert 3 == len(reviews(store))


def test_nothing_says_that_an_oral_shows_the_answer(tmp_path: Path) -> None:
    """Not the button below a question in prose either."""
    note = tmp_path / "note.md"
    note.write_text("## Why does the feeder come first?\n\nIt alone feeds the engine.\n", encoding="utf-8")
    recall("load", note, store=tmp_path / "own.db")
    with called(tmp_path / "own.db") as client:
        oral = client.change("/oral", {"action": "begin"}).text
        review = client.change("/review", {"action": "begin"}).text

    assert "Compare with the answer" not in oral
    assert "Compare with the answer" in review


def test_the_examiner_sees_the_answer_and_the_candidate_does_not(store: Path) -> None:
    """Each from their own seat."""
    with called(store) as client:
        client.change("/oral", {"action": "begin", "questions": "2", "examiner": "on"})
        choice = client.read("/oral")
        examiner, candidate = client.read("/oral?seat=examiner"), client.read("/oral?seat=candidate")

    assert "oral?seat=examiner" in choice
    assert "How did it go?" in examiner
    assert "fuel.md line" in examiner
    assert "fuel.md line" not in candidate
    assert "How did it go?" not in candidate


def test_the_candidates_page_goes_along(store: Path, context: BrowserContext) -> None:
    """The examiner marks at one device, and the other shows the next question by itself."""
    examiner, candidate = context.new_page(), context.new_page()
    with served("--store", store, "page") as server:
        examiner.goto(f"{server.address}/oral")
        examiner.get_by_label("Questions", exact=True).fill("2")
        examiner.get_by_label("With an examiner").check()
        examiner.get_by_role("button", name="Begin").click()
        examiner.get_by_role("link", name="I am the examiner").click()
        candidate.goto(f"{server.address}/oral?seat=candidate")
        asked = candidate.locator("#question").inner_text()
        expect(examiner.locator("#question")).to_have_text(asked)
        examiner.wait_for_timeout(350)
        examiner.keyboard.press("s")
        expect(examiner.locator("#question")).not_to_have_text(asked)
        expect(candidate.locator("#question")).to_have_text(examiner.locator("#question").inner_text())
        examiner.wait_for_timeout(350)
        examiner.get_by_role("button", name="Missed").click()
        expect(examiner.locator(".told")).to_contain_text("That was the last question.")
        examiner.wait_for_timeout(350)
        examiner.keyboard.press("Enter")
        expect(examiner.locator("h1")).to_have_text("Mock oral over")
        expect(candidate.locator("h1")).to_have_text("Mock oral over")

    assert [3, 1] == [mark for mark, _, _ in reviews(store)]
