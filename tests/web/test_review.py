"""A review on the page, without a browser: the same machine, the same words, nothing lost and nothing twice."""

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from web_kit import MORNING, Caller, called, reviews, token_of

from recall.base.clock import SetClock


@pytest.fixture
def client(store: Path) -> Iterator[Caller]:
    """The page over the small deck, a review of it begun."""
    with called(store) as client:
        client.change("/review", {"action": "begin"})
        yield client


def token(client: Caller) -> str:
    """Of what is put now."""
    found = re.search(r'name="token" value="([^"]+)"', client.read("/review"))
    assert found is not None
    return found.group(1)


def question(client: Caller) -> str:
    """What is put now."""
    found = re.search(r'<h1 id="question">([^<]*)', client.read("/review"))
    assert found is not None
    return unescape(found.group(1))


def step(client: Caller, action: str, text: str = "", **more: str) -> str:
    """The page that a step leads to."""
    form = {"token": token(client), "action": action, "text": text} | more
    return str(client.change("/review", form).text)


RIGHT = {
    "Minimum feeder quantity, in lb?": "150",
    "Maximum feeder quantity, in lb?": "700",
}


def test_an_answer_is_kept_before_the_next_question(client: Caller, store: Path) -> None:
    """It stands in the store when the page comes back."""
    put = question(client)
    page = step(client, "answer", RIGHT[put], seconds="2.5")

    assert [(3, RIGHT[put], 2.5)] == reviews(store)
    assert "Right." in page
    assert put != question(client)


def test_what_is_told_behind_the_next_question_says_of_which(client: Caller) -> None:
    """The question before stands over what came of it; not where nothing came before."""
    put = question(client)
    first, page = client.read("/review"), step(client, "answer", RIGHT[put])

    assert put not in first.partition('id="told"')[2]
    assert put in page.partition('id="told"')[2].partition("Right.")[0]
    later = step(client, "source")
    assert "fuel.md line" in later.partition('id="now"')[2].partition('id="told"')[0]
    assert put in later.partition('id="told"')[2].partition("Right.")[0]


def test_buttons_stand_under_the_question_that_they_mark(client: Caller) -> None:
    """What is asked keeps to itself what is said of it; the answer before stays with its question and marks."""
    put = question(client)
    step(client, "answer", "9")
    step(client, "next")
    now, _, told = step(client, "answer", "xyzzy").partition('id="told"')

    assert "Nothing is kept" in now
    assert "Nothing is kept" not in told
    assert told.index(put) < told.index('value="right"')


def test_only_the_mark_that_is_kept_is_told(client: Caller) -> None:
    """Marked anew, what was said of the mark before is gone; what was said of the answer stays."""
    step(client, "answer", RIGHT[question(client)])
    step(client, "answer", "9999")
    step(client, "instant")
    page = step(client, "hesitant")

    assert ["Kept as claimed and counts as right, marked hesitant."] == re.findall(
        r'<p class="mark">([^<]*)', page
    )
    assert "Not right" in page


def test_a_review_begins_without_what_was_told_in_another(client: Caller) -> None:
    """A look at its first question's source shows that alone."""
    step(client, "answer", "651 lb")
    step(client, "source")
    step(client, "stop")
    client.change("/review", {"action": "begin", "more": "1"})

    assert "651 lb" not in step(client, "source")


def test_a_wrong_answer_stands_until_it_is_left(client: Caller, store: Path) -> None:
    """With what was typed, the right answer, where it stands; `next` leads on."""
    put = question(client)
    page = step(client, "answer", "651 lb")

    assert put == question(client)
    assert "Wrong, on a critical point: the number differs." in page
    assert "You typed: 651 lb" in page
    assert f"{RIGHT[put]} lb" in page
    assert "Handbook 28-1; fuel.md line 7" in page
    assert put not in step(client, "next").partition("</h1>")[0]
    assert [(1, "651 lb", None)] == reviews(store)


@pytest.mark.parametrize("line", [":source", ":so", " :SOURCE "])
def test_what_may_be_typed_at_a_terminal_may_be_typed_here(client: Caller, store: Path, line: str) -> None:
    """A command in the answer line is carried out; the question stays, and nothing is kept as its answer."""
    put = question(client)

    assert "fuel.md line" in step(client, "answer", line)
    assert put == question(client)
    assert [] == reviews(store)


def test_undo_may_be_typed(client: Caller, store: Path) -> None:
    """It takes the last answer back."""
    put = question(client)
    step(client, "answer", RIGHT[put])
    step(client, "answer", ":undo")

    assert put == question(client)
    assert [] == reviews(store)


def test_a_question_mark_says_what_may_be_typed(client: Caller, store: Path) -> None:
    """So does a command that isn't known, and nothing is kept."""
    for line in ("?", ":unknown"):
        page = step(client, "answer", line)

        assert "<code>:source</code> says where this question stands." in page
        assert (line == ":unknown") == ("<code>:unknown</code> is no command." in page)
    assert [] == reviews(store)


def test_a_double_press_is_one(client: Caller, store: Path) -> None:
    """The very same step sent again changes nothing, and nobody is scolded for it."""
    form = {"token": token(client), "action": "answer", "text": "9"}
    first = client.change("/review", form)
    second = client.change("/review", form)

    assert first.text == second.text
    assert 1 == len(reviews(store))


def test_an_old_tab_is_told(client: Caller, store: Path) -> None:
    """An answer to a question that was answered elsewhere is refused in a sentence; what it shows is the present."""
    form = {"token": token(client), "action": "answer"}
    client.change("/review", form | {"text": "9"})
    late = client.change("/review", form | {"text": "10"})

    assert 409 == late.status_code
    assert "nothing was kept twice" in late.text
    assert 'value="next"' in late.text
    assert 1 == len(reviews(store))


def test_a_server_that_was_started_again_goes_on(store: Path) -> None:
    """The page that was open before still answers its question; the answers before it count."""
    with called(store) as client:
        client.change("/review", {"action": "begin"})
        step(client, "answer", "9")
        step(client, "next")
        old, page = token(client), token_of(client)
    with called(store) as client:
        form = {"token": old, "action": "answer", "text": "8", "page": page}
        answer = client.change("/review", form)

        assert 200 == answer.status_code
        assert 2 == len(reviews(store))
        assert "2 answers" in answer.text


def test_an_answer_that_had_arrived_before_the_server_went_is_kept_once(store: Path) -> None:
    """Sent again to the server that was started anew it is refused in a sentence."""
    with called(store) as client:
        client.change("/review", {"action": "begin"})
        form = {"token": token(client), "action": "answer", "text": "9"}
        client.change("/review", form)
    with called(store) as client:
        answer = client.change("/review", form)

        assert 409 == answer.status_code
        assert "nothing was kept twice" in answer.text
        assert 1 == len(reviews(store))


def test_two_runs_of_the_program_share_one_review(client: Caller, store: Path) -> None:
    """A look offers to go on and takes nothing away; who answers first is kept, the other is told."""
    form = {"token": token(client), "action": "answer", "text": "9"}
    with called(store) as other:
        assert "was left off" in other.read("/review")
        assert '<h1 id="question">' in client.read("/review")
        other.change("/review", {"action": "go on"})
        here = client.change("/review", form)
        there = other.change("/review", form | {"text": "10"})

    assert [200, 409] == [here.status_code, there.status_code]
    assert "nothing was kept twice" in there.text
    assert [(1, "9", None)] == reviews(store)


def test_undo_takes_the_last_answer_back(client: Caller, store: Path) -> None:
    """It is asked again."""
    put = question(client)
    step(client, "answer", "9")
    page = step(client, "undo")

    assert "Taken back. It is asked again." in page
    assert put == question(client)
    assert [] == reviews(store)


def test_a_mark_is_overruled_by_its_button(client: Caller, store: Path) -> None:
    """On a critical point a claim stays missed."""
    step(client, "answer", "9")
    page = step(client, "right")

    assert "Kept as claimed; a critical point stays missed all the same." in page
    assert [(1, "9", None)] == reviews(store)


def test_the_source_comes_with_the_lines_around_it(client: Caller) -> None:
    """Once the answer is given; before, where it stands is all that is said."""
    before = step(client, "source")
    step(client, "answer", "9")
    after = step(client, "source")

    assert "The note itself is shown once the answer is given." in before
    assert "| **Feeder quantity** | 150 | 700 | lb |" in unescape(after)


def test_what_is_no_answer_is_asked_again(client: Caller, store: Path) -> None:
    """Nothing is kept of it."""
    page = step(client, "answer", "x")

    assert "Nothing is kept: there is no number in that." in unescape(page)
    assert [] == reviews(store)


@pytest.mark.parametrize("seconds", ["", "x", "-1", "nan", "inf", "1e9"])
def test_a_time_that_cannot_be_is_no_time(client: Caller, store: Path, seconds: str) -> None:
    """It is kept as unmeasured."""
    step(client, "answer", "9", seconds=seconds)

    assert [(1, "9", None)] == reviews(store)


@pytest.mark.parametrize("form", [{"action": "fly"}, {}, {"action": "begin", "minutes": "-3"}])
def test_a_form_that_is_none_of_ours_is_refused(client: Caller, form: dict[str, str]) -> None:
    """With a sentence."""
    answer = client.change("/review", form)

    assert 409 == answer.status_code
    assert "<h1>" in answer.text


def test_a_review_ends_with_what_it_brought(client: Caller) -> None:
    """And leads back to Today."""
    step(client, "answer", RIGHT[question(client)])
    page = step(client, "stop")

    assert "1 answer on 1 card, 1 right" in page
    assert 'href="today"' in page


def test_a_topic_and_minutes_may_be_chosen(store: Path) -> None:
    """The address that names a topic chooses it."""
    with called(store) as client:
        assert "<option selected>Fuel</option>" in client.read("/review?topic=Fuel")
        page = client.change("/review", {"action": "begin", "topic": "Fuel", "minutes": "5"}).text

    assert '<span class="topic">Fuel</span>' in page


def test_nothing_due_is_said_with_what_comes(store: Path) -> None:
    """And when."""
    clock = SetClock(MORNING)
    with called(store, clock) as client:
        from recall.store import Store

        with Store.open(store, clock) as opened:
            opened.set("unasked", "0")
        page = client.change("/review", {"action": "begin"}).text

    assert "Nothing is due." in page
    assert "could be begun today" in page
