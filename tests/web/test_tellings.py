"""The pages that tell how one stands: topics, a point, supplies."""

import gc
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import recall
from web_kit import Caller, called
from web_notes import points_of, told_store

from recall.base.clock import SystemClock
from recall.base.text import percent


@pytest.fixture
def client(told: Path) -> Iterator[Caller]:
    """The pages over a store with a week behind it."""
    with called(told) as client:
        yield client


def test_topics_say_what_the_terminal_says(told_now: Path) -> None:
    """The same topics with the same intervals and recall, in the same order."""
    asked = [row for row in recall("weak", "--json", store=told_now).rows() if row["asked"]]
    rows = [row for row in asked if len(row["topic"]) > 1]
    with called(told_now, SystemClock()) as client:
        said = client.read("/topics")
    places = [said.index(f"{row['topic'][-1]}</a>") for row in rows]

    assert len(rows) > 0
    assert [] == [row for row in rows if f"{percent(row['recall'])}</td>" not in said]
    assert [] == [row for row in rows if f"right {percent(row['low'])} to {percent(row['high'])}" not in said]
    assert sorted(places) == places


def test_answers_for_one_another_stand_side_by_side(client: Caller) -> None:
    """Both questions with both answers."""
    said = client.read("/topics")
    beside = said[said.index("Given for one another") :]

    assert "transformer rectifier unit" in beside
    assert "engine-driven pump" in beside


def test_the_points_missed_most_lead_to_their_pages(client: Caller, told: Path) -> None:
    """With how many of their answers were wrong."""
    said = client.read("/topics")

    assert "missed " in said
    assert any(f'href="point?id={point}"' in said for point in points_of(told))


def test_nothing_asked_yet_is_said(store: Path) -> None:
    """With where to begin."""
    with called(store) as client:
        assert "Nothing has been asked yet" in client.read("/topics")


def test_a_point_shows_its_note_its_cards_and_its_life(client: Caller, told: Path) -> None:
    """The lines of the note, each question with its answer and standing, and a curve told in words."""
    for point in points_of(told):
        said = client.read(f"/point?id={point}")
        assert '<code class="here">' in said
        assert "Standing: " in said
        assert 'aria-label="Recall from 2026-11-' in said


def test_ones_own_words_are_kept(client: Caller, told: Path) -> None:
    """And shown with the answer."""
    from web_kit import MORNING

    from recall.base.clock import SetClock
    from recall.store import Store

    point = points_of(told)[0]
    with Store.open(told, SetClock(MORNING), create=False) as opened:
        card = opened.cards_of(point)[0].id
    said = client.change("/remark", {"card": card, "text": "think of the <red> tap"}).text

    assert "think of the &lt;red&gt; tap" in said


@pytest.mark.parametrize("asked", ["point", "point?id=", "point?id=0123", "point?id=%00", "point?id=../../x"])
def test_no_such_point(client: Caller, asked: str) -> None:
    """A plain refusal."""
    answer = client.get(f"/{asked}")

    assert 404 == answer.status_code
    assert "There is no such point" in answer.text


def test_pages_of_points_leave_nothing_behind(client: Caller, told: Path) -> None:
    """A hundred of them leave less than an object each, counted once fifty had been read."""
    points = points_of(told)

    def read(times: int) -> int:
        for at in range(times):
            client.read(f"/point?id={points[at % len(points)]}")
        gc.collect()
        return len(gc.get_objects())

    before = read(50)

    assert read(100) - before < 100


def test_a_press_shows_what_is_lost_and_what_is_kept(client: Caller, told_once: Path) -> None:
    """The sentences of the terminal; dead and living things are marked in the list."""
    lost = ("--lost", "Main bus")
    told_there = recall("supplies", told_once.parent / "small.md", *lost).out
    said = client.read("/supplies?lost=Main+bus")
    sentences = [line for line in told_there.replace("\n  ", " ").splitlines() if line][:-1]

    assert len(sentences) > 2
    assert [] == [sentence for sentence in sentences if sentence not in said]
    assert 'class="failed">Main bus</a>' in said
    assert 'class="dead">Fuel pump</a>' in said
    assert "alive on Battery" in said


def test_two_things_fail_together(client: Caller) -> None:
    """Each added to what failed before."""
    assert "Main bus and Battery are dead" in client.read("/supplies?lost=Main+bus&lost=Battery")


def test_each_thing_that_feeds_is_a_link_in_the_picture(client: Caller) -> None:
    """No script is needed."""
    said = client.read("/supplies")
    picture = said[said.index("<svg") : said.index("</svg>")]

    assert "deck=small&amp;lost=Main+bus" in picture


def test_without_the_layout_library_the_words_say_what_is_missing(
    client: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In place of the picture, with the command that installs it; the list stands there all the same."""
    monkeypatch.setitem(sys.modules, "fast_sugiyama", None)
    said = client.read("/supplies")

    assert "<svg" not in said
    assert "layout library that isn&#39;t installed: install it with <code>pip install" in said
    assert ">Main bus</a>" in said


def test_an_unknown_thing_is_refused_with_near_names(client: Caller) -> None:
    """As at the terminal."""
    answer = client.get("/supplies?lost=Main+buss")

    assert 409 == answer.status_code
    assert "<code>Main bus</code>" in answer.text
    assert "`" not in answer.text


def test_supplies_are_read_again_once_the_notes_change(tmp_path: Path) -> None:
    """Without a new start; notes that are gone are said."""
    note = tmp_path / "small.md"
    with called(told_store(tmp_path)) as client:
        client.read("/supplies")
        text = note.read_text(encoding="utf-8")
        note.write_text(text.replace("Fuel pump", "Fuel boost pump"), encoding="utf-8")
        changed = client.read("/supplies")
        note.unlink()
        gone = client.read("/supplies")

    assert "Fuel boost pump" in changed
    assert "aren't on this machine" in gone


def test_a_wrong_answer_leads_to_its_point(told: Path) -> None:
    """Once it is told, and not while it is asked."""
    with called(told) as client:
        pages = [client.change("/review", {"action": "begin", "more": "1"}).text]
        while 'data-phase="asking"' in pages[-1] and len(pages) < 5:
            put = re.search(r'name="token" value="([^"]+)"', pages[-1])
            assert put is not None
            step = {"action": "answer", "token": put[1], "text": "I don't know", "seconds": ""}
            pages.append(client.change("/review", step).text)

    assert 'data-phase="told"' in pages[-1]
    assert ["point?id=" in page for page in pages] == [page is pages[-1] for page in pages]


def test_a_supply_leads_to_what_follows(client: Caller, told: Path) -> None:
    """When it fails."""
    found = [client.read(f"/point?id={point}") for point in points_of(told)]
    address = next(
        match[1] for said in found if (match := re.search(r'href="(supplies[?]deck=small[^"]+)"', said))
    )

    assert "everything else is healthy" in client.read("/" + address.replace("&amp;", "&"))
