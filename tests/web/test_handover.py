"""Hand over: answers go to another device as a file of events, and theirs come in."""

import re
from pathlib import Path

import pytest
from cli_kit import recall
from web_kit import Caller, called, reviews, token_of

from recall.cohort.handin import unseal
from recall.cohort.sealed import public_of


def taken(page: Caller, content: bytes, **changed: str) -> tuple[int, str]:
    """Send a file as the page's script does."""
    headers = {"Origin": str(page.base_url).rstrip("/"), "X-Page": token_of(page)} | changed
    got = page.post("/handover?name=a.jsonl&same=yes", content=content, headers=headers)
    return got.status_code, got.text


def test_what_was_answered_is_only_here_until_it_is_saved(store: Path) -> None:
    """The page says how many answers, and that they were handed over afterwards."""
    recall("review", store=store, answers=["150", "7"])
    with called(store) as page:
        before = page.read("/handover")
        lines = page.read("/events").splitlines()
        after = page.read("/handover")

    assert "2 answers since" in before
    assert 2 == sum('"reviewed"' in line for line in lines)
    assert "Every answer of this device has been handed over." in after


def test_answers_count_as_handed_over_once_they_are(store: Path) -> None:
    """A file that was fetched and then not shared holds none; those given meanwhile aren't in it."""
    recall("review", store=store, answers=["150", "7"])
    with called(store) as page:
        answers = page.get("/events?later=1").headers["X-Answers"]
        fetched = page.read("/handover")
        recall("review", store=store, answers=["700"])
        page.change("/handed", {"answers": answers})
        after = page.read("/handover")

    assert "2 answers since" in fetched
    assert "1 answer since" in after


def test_a_file_of_events_comes_in_once(store: Path, store_once: Path, tmp_path: Path) -> None:
    """Any number of times, one result."""
    other = tmp_path / "tablet.db"
    recall("load", store_once.parent / "fuel.md", store=other)
    recall("review", store=other, answers=["150", "7"])
    content = recall("events", store=other).out.encode()
    with called(store) as page:
        first, again = taken(page, content), taken(page, content)

    assert (200, True) == (first[0], "2 of them answers" in first[1])
    assert "0 new events, 0 of them answers." == again[1]
    assert 2 == len(reviews(store))


def test_a_store_comes_in_too(store: Path, store_once: Path, tmp_path: Path) -> None:
    """As `recall merge` takes it."""
    other = tmp_path / "tablet.db"
    recall("load", store_once.parent / "fuel.md", store=other)
    recall("review", store=other, answers=["150"])
    with called(store) as page:
        found = taken(page, other.read_bytes())

    assert (200, 1) == (found[0], len(reviews(store)))


@pytest.mark.parametrize(
    "content", [b"", b"junk", b"{}\n", b"\xff\xfe", b"PK\x03\x04", b"\x1f\x8bx", b"SQLite format 3\0"]
)
def test_what_is_no_file_of_ours_is_refused_in_a_sentence(store: Path, content: bytes) -> None:
    """And nothing comes in."""
    with called(store) as page:
        status, said = taken(page, content)

    assert (409, True) == (status, said.endswith("."))
    assert [] == reviews(store)


def test_a_file_from_elsewhere_is_not_taken(store: Path) -> None:
    """Another site's page has neither the token nor our origin."""
    with called(store) as page:
        wrong = [
            taken(page, b"{}", **{"X-Page": "0" * 32})[0],
            taken(page, b"{}", Origin="http://example.org")[0],
        ]

    assert [403, 403] == wrong


def test_a_hand_in_is_told_before_it_goes_out(store: Path) -> None:
    """The page says what goes out; the file is then the class's alone."""
    recall("review", store=store, answers=["150", "7"])
    seed = bytes(range(32))
    with called(store) as page:
        deck = re.findall(r'<option value="([^"]+)"', page.read("/handover"))[0]
        form = {"deck": deck, "to": f" {public_of(seed).upper()} ", "name": "Ada"}
        told = page.change("/hand-in", form).text
        file = page.change("/hand-in", form | {"made": "yes"})

    assert "2 answers to" in told
    assert "It carries your name: Ada." in told
    assert 2 == unseal(file.content, seed).count
    assert ".handin" in file.headers["Content-Disposition"]


@pytest.mark.parametrize("to", ["", "class.pub", "00" * 32])
def test_a_hand_in_for_no_key_is_refused(store: Path, to: str) -> None:
    """In a sentence, before anything is made."""
    with called(store) as page:
        got = page.change("/hand-in", {"deck": "fuel", "to": to, "made": "yes"})

    assert (409, True) == (got.status_code, "key isn" in got.text)
