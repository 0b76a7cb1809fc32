"""The machine of a sitting, driven by steps alone: what it puts, how it marks, what it keeps, how it goes on."""

import json
import random
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sitting_kit import MORNING, SITTINGS, Sat, begin, opened, played, read_golden, steps_of
from store_kit import deck

from recall.answers import answer_from
from recall.base.clock import SetClock
from recall.kinds.marking import wordings
from recall.session.begin import begin_review, today_of
from recall.session.course import Course
from recall.session.desk import ALL, Desk, Selection, all_or, order_of
from recall.session.end import ahead, told
from recall.session.helps import Notes
from recall.session.sitting import Sitting
from recall.session.view import StepError
from recall.store import Review, Store
from recall.store.answers import claims, sittings

FACTS = {f"Systems / Part {number}": f"state {number} holds" for number in range(9)}
NOTE = """# Fuel

Source: Handbook 28-1

| Parameter | Maximum | Unit |
|---|---|---|
| **Feeder quantity** | 700 | lb |
| Fuel temperature | 50 | °C |

## Why does the feeder come first?

It is the only tank that feeds the engine.
"""


@pytest.fixture
def clock() -> SetClock:
    """Eight in the morning."""
    return SetClock(MORNING)


@pytest.fixture
def store(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """A store of nine facts in words, of which the first is critical."""
    with Store.open(tmp_path / "store.db", clock, rng=random.Random(1)) as found:
        found.load(deck(FACTS, critical=frozenset(list(FACTS)[:1])))
        yield found


@pytest.mark.parametrize(
    ("path", "how"),
    [(path, how) for path in sorted(SITTINGS.glob("*.md")) for how in read_golden(path).screens],
    ids=lambda part: part.stem if isinstance(part, Path) else part.replace(" ", "-"),
)
def test_a_whole_sitting_is_as_it_was(tmp_path: Path, path: Path, how: str) -> None:
    """Every word on the screen, from the first question to the end."""
    case = read_golden(path)
    screen = case.screens[how]

    assert screen == played(tmp_path, case.note, case.settings, how, steps_of(screen))


def test_each_case_is_sat_at_both_doors() -> None:
    """No screen is tested at a terminal alone, or from a pipe alone."""
    doors = {
        path.stem: {how.split()[1] for how in read_golden(path).screens} for path in SITTINGS.glob("*.md")
    }

    assert 4 <= len(doors)
    assert {"pipe", "terminal"} == set.union(*doors.values()) == set.intersection(*doors.values())


@pytest.mark.parametrize("how", ["review", "oral", "examiner"])
def test_a_view_is_plain_data(store: Store, clock: SetClock, how: str) -> None:
    """At every step it goes into JSON and comes back the same, and names no key and no command."""
    sat = begin(store, clock, how, questions=3) if how != "review" else begin(store, clock, cards=3)
    seen = set()
    while (view := sat.sitting.view()).phase != "over":
        plain = view.plain()
        seen.add(view.phase)
        assert plain == json.loads(json.dumps(plain)) | {name: plain[name] for name in plain}
        assert "Enter" not in json.dumps(plain) and "`:" not in json.dumps(plain)
        sat.act({"asking": "answer", "marking": "sure", "told": "next"}[view.phase], "no idea")
    json.dumps(sat.sitting.view().plain())

    assert ({"marking", "told"} if how == "examiner" else {"asking"}) <= seen


def test_a_second_press_and_an_old_page_are_refused_by_name(store: Store, clock: SetClock) -> None:
    """A token is good for one step; nothing is kept twice."""
    sat = begin(store, clock)
    token = sat.sitting.token
    view = sat.sitting.act(token, "answer", sat.answer())
    names = []
    for old, action in (
        (token, "answer"),
        (f"x.{token}", "answer"),
        (view.token, "next"),
        (view.token, "dance"),
    ):
        with pytest.raises(StepError) as refused:
            sat.sitting.act(old, action, "state 1 holds")
        names.append(refused.value.name)

    assert ["past", "other", "not now", "not now"] == names
    assert 1 == len(sat.kept())


def test_every_question_and_every_step_has_a_token_of_its_own(store: Store, clock: SetClock) -> None:
    """An empty answer pressed twice isn't taken for two empty answers."""
    sat = begin(store, clock)
    token = sat.sitting.token
    sat.sitting.act(token, "answer", "")
    with pytest.raises(StepError):
        sat.sitting.act(token, "answer", "")

    assert [] == sat.kept()


def test_nothing_is_kept_of_an_empty_answer_but_of_a_second_one(store: Store, clock: SetClock) -> None:
    """Asked again; the second in a row means that it isn't known. One with words between them is no second one."""
    sat = begin(store, clock)
    for text in ("", " ", ""):
        sat.act("answer", text)
        if sat.sitting.phase == "told":
            sat.act("next")

    assert [(1, "program", "I don't know")] == sat.kept()
    assert "asking" == sat.sitting.phase


def test_a_right_answer_goes_on_by_itself(store: Store, clock: SetClock) -> None:
    """The verdict is told with the next question; a wrong one stands until it is left, and so does the last."""
    sat = begin(store, clock, cards=2)
    first = sat.act("answer", sat.answer())
    wrong = sat.act("answer", "no idea")

    assert ("asking", True, "Right.") == (first.phase, first.fresh, first.tell[0].text)
    assert ("told", False) == (wrong.phase, wrong.fresh)
    sat.act("next")
    assert "told" == sat.act("answer", sat.answer()).phase


@pytest.mark.parametrize(("pause", "phase"), [("all", "told"), ("wrong", "asking"), ("none", "asking")])
def test_whether_a_right_answer_waits_is_set(store: Store, clock: SetClock, pause: str, phase: str) -> None:
    """At once, or when it is left."""
    sat = begin(store, clock, pause=pause)

    assert phase == sat.act("answer", sat.answer()).phase


def test_an_overrule_replaces_the_review_and_is_recorded(store: Store, clock: SetClock) -> None:
    """One review remains, with the person's mark; what came of the answer itself stays in the record."""
    sat = begin(store, clock, selection=Selection(kind="setting"))
    sat.act("answer", sat.answer())
    sat.act("answer", "state none")
    sat.act("sure")
    rows = store.rows(
        "SELECT mark, ok, json_extract(body, '$.overruled') FROM event WHERE type = 'reviewed' ORDER BY id"
    )

    assert [(3, 1, 0), (1, 0, 0), (3, 0, 1)] == rows
    assert [(3, "program"), (3, "self")] == [kept[:2] for kept in sat.kept()]
    assert 0 == sat.sitting.course.order.back


def test_a_critical_point_is_not_talked_up(store: Store, clock: SetClock) -> None:
    """What was judged wrong is given no better mark; claimed to be right it stays missed, and is kept as claimed."""
    sat = begin(store, clock)
    assert sat.sitting.question is not None and sat.sitting.question.critical
    may = sat.act("answer", "state none").may
    assert ("right",) == tuple(one for one in may if one in ("hesitant", "sure", "instant", "right"))
    sat.act("right")

    assert (1, [(1, "self", "state none")]) == (sat.sitting.course.order.back, sat.kept())
    assert [1] == [
        row[0]
        for row in store.rows("SELECT json_extract(body, '$.claimed') FROM event ORDER BY no DESC LIMIT 1")
    ]


def test_what_is_claimed_counts_as_right(store: Store, clock: SetClock) -> None:
    """The card doesn't come back; the record says that it was marked wrong, and claimed."""
    sat = begin(store, clock)
    sat.act("answer", sat.answer())
    card = sat.sitting.question and sat.sitting.question.id
    sat.act("answer", "what the note means")
    sat.act("right")
    known = store.known(str(card))

    assert (1, 1, 0) == (known.asked, known.right, sat.sitting.course.order.back)
    assert "right" not in sat.sitting.view().may


@pytest.mark.parametrize("mark", ["hesitant", "sure", "instant"])
def test_a_better_mark_of_a_wrong_answer_is_a_claim(store: Store, clock: SetClock, mark: str) -> None:
    """As `right` is, it counts as right and is listed for whoever writes the notes; no more once it is missed."""
    sat = begin(store, clock)
    sat.act("answer", sat.answer())
    sat.act("answer", "what the note means")
    assert f"Kept as claimed and counts as right, marked {mark}." == sat.act(mark).tell[0].text
    assert ["what the note means"] == [claim.given for claim in claims(store)]
    sat.act("missed")

    assert [] == claims(store)


def test_what_is_wrong_as_a_whole_is_told_once(tmp_path: Path) -> None:
    """As it was typed; members that are too many are named where others were right."""
    note = "# Main bus\n\n| From | Feeds |\n|---|---|\n| Main bus | Plotter, BCU, Radio |\n"
    with opened(tmp_path, note) as (store, clock):
        sat = begin(store, clock)
        none = [line.text for line in sat.act("answer", "one\ntwo").tell]
        sat.act("undo")
        some = [line.text for line in sat.act("answer", "Plotter\ntwo").tell]

    assert [] == [line for line in none if line.startswith("added")]
    assert ["added: two"] == [line for line in some if line.startswith("added")]


def test_nothing_typed_is_raised_to_nothing(store: Store, clock: SetClock) -> None:
    """Who said nothing has nothing to claim, by any key."""
    sat = begin(store, clock)
    sat.act("answer", sat.answer())
    sat.act("answer", "")

    assert ("next", "undo", "source", "stop") == sat.act("answer", "").may


def test_what_could_be_begun_is_counted_whole(tmp_path: Path, clock: SetClock) -> None:
    """However many there are; those that are due too."""
    many = {f"Systems / Part {number}": f"state {number}" for number in range(1_203)}
    with Store.open(tmp_path / "many.db", clock, rng=random.Random(1)) as store:
        store.load(deck(many))
        store.set("unasked", "3")
        before = ahead(store, ALL)
        with store.writing():
            for known in store.cards():
                store.record(Review(known.id, known.answer_hash, 1, right=False))
        clock.advance(86_400)

        after = ahead(store, ALL)
        assert (1_200, "3 cards still wait today") == (before["more"], before["next"][0][0])
        assert (0, "1203 cards still wait today") == (after["more"], after["next"][0][0])


def test_the_end_counts_what_the_day_is_said_to_have(store: Store, clock: SetClock) -> None:
    """A card that was missed and isn't right yet among them."""
    store.set("unasked", "4")
    sat = begin(store, clock)
    sat.act("answer", "no idea")
    end, day = sat.act("stop").end, store.due_by_day(1)[0]

    assert end is not None
    assert (1, 3) == (day.due, day.unasked)
    assert "4 cards still wait today" == end["next"][0][0]


def test_all_decks_by_their_names_are_all_decks(store: Store) -> None:
    """So that a review of a folder is gone on with by one of everything; not once there is another deck."""
    (slug,) = (one.slug for one in store.decks())
    alone = all_or(store, [slug])
    store.load(deck(FACTS, slug="other"))

    assert ((), (slug,)) == (alone, all_or(store, [slug]))


def test_a_missed_card_comes_back_three_times_at_most(store: Store, clock: SetClock) -> None:
    """Then it rests."""
    sat = begin(store, clock, cards=1, pause="none")
    while sat.sitting.phase != "over":
        sat.act("answer", "no idea")

    assert 4 == len(sat.kept())


def test_undo_goes_back_any_number_of_answers(store: Store, clock: SetClock) -> None:
    """Undone to the beginning, the sitting stands as it began."""
    sat = begin(store, clock, pause="none")
    first = sat.sitting.view()
    for _ in range(3):
        sat.act("answer", "no idea")
    for _ in range(3):
        view = sat.act("undo")

    assert (first.question, [], first.standing) == (view.question, [], view.standing)
    assert "undo" not in view.may


def test_a_sitting_of_so_many_cards_ends_there(store: Store, clock: SetClock) -> None:
    """`cards` counts cards, not answers: a missed one still comes back."""
    sat = begin(store, clock, cards=3, pause="none")
    wrong = True
    while sat.sitting.phase != "over":
        sat.act("answer", "no idea" if wrong else sat.answer())
        wrong = False
    end = sat.sitting.view().end

    assert end is not None
    assert (4, 3, 3, 2) == (end["answers"], end["cards"], end["right"], len(end["learned"]))
    assert "Right at the first asking: 2" in [line.text for line in told(end, [])]
    assert [True] == [one["mended"] for one in end["missed"]]


def test_a_question_that_is_left_on_the_screen_counts_no_more_than_an_everyday_one(
    store: Store, clock: SetClock
) -> None:
    """A longer time than two minutes is a pause: while it lasts, once it is answered, and for a run that goes on."""
    sat = begin(store, clock)
    clock.advance(11 * 60)
    left = sat.sitting.view().standing.minutes
    sat.act("answer", sat.answer())
    clock.advance(60)
    answered = sat.sitting.view().standing.minutes
    sat.act("answer", sat.answer())
    again = begin(store, clock).sitting.view().standing.minutes

    assert (12 / 60, 1 + 12 / 60) == pytest.approx((left, answered))
    assert again < 1.5


def test_a_sitting_of_so_many_minutes_ends_with_the_missed_ones(store: Store, clock: SetClock) -> None:
    """When the time is up no further card is begun; the count left is what fits."""
    sat = begin(store, clock, minutes=1, pause="none")
    assert (1, 5) == (sat.sitting.view().standing.number, sat.sitting.view().standing.of)
    while sat.sitting.phase != "over":
        clock.advance(10)
        sat.act("answer", sat.answer())

    assert 6 == len(sat.kept())


def test_it_stands_what_was_answered_begun_and_comes_back(store: Store, clock: SetClock) -> None:
    """And the minutes of the day, those of an earlier sitting with them."""
    sat = begin(store, clock, cards=1)
    sat.act("answer", sat.answer(), 2.0)
    sat.act("next")
    sat = begin(store, clock, scope={"more": True})
    clock.advance(90)
    sat.act("answer", "no idea")
    standing = sat.sitting.view().standing

    assert (1, 1, 1, 1.7) == (standing.answers, standing.begun, standing.back, round(standing.minutes, 1))


def test_a_sitting_goes_on_where_a_run_left_it(store: Store, clock: SetClock) -> None:
    """The same question under the same token, with answers, time and undo; another one's scope begins afresh."""
    sat = begin(store, clock, scope={"topic": None, "decks": ("skerry",)})
    sat.act("answer", sat.answer())
    sat.act("answer", "no idea")
    clock.advance(30)
    before = sat.act("next")
    again = begin(store, clock, scope={"topic": None, "decks": ("skerry",)})
    after = again.sitting.view()

    assert (before.token, before.question) == (after.token, after.question)
    assert (2, 3) == (after.standing.answers, after.standing.number)
    assert ["Going on where it was left, after 2 answers."] == [line.text for line in after.tell]
    again.act("undo")
    assert 1 == len(again.kept())
    assert 0 == begin(store, clock, scope={"topic": "Systems"}).sitting.view().standing.answers


@pytest.mark.parametrize("runs", [1, 2])
def test_missed_cards_come_back_in_a_run_that_goes_on(store: Store, clock: SetClock, runs: int) -> None:
    """As they would have: counted, after the others, within a number of cards."""
    asked, stood = [], []
    sat = begin(store, clock, cards=3, pause="none")
    for step in range(4):
        if step == 2 and runs == 2:
            sat = begin(store, clock, cards=3, pause="none")
        view = sat.sitting.view()
        assert view.question is not None
        asked.append(view.question.prompt)
        stood.append((view.standing.number, view.standing.of, view.standing.back))
        sat.act("answer", sat.answer() if step else "no idea")

    assert "over" == sat.sitting.view().phase
    assert [(1, 3, 0), (2, 4, 1), (3, 4, 1), (4, 4, 0)] == stood
    assert (asked[0], 3) == (asked[3], len(set(asked)))


def test_two_runs_of_one_sitting_do_not_answer_twice(store: Store, clock: SetClock) -> None:
    """What one answers the other can't: it is refused by name, and nothing is kept of it."""
    one, two = begin(store, clock), begin(store, clock)
    two.act("answer", "no idea")
    with pytest.raises(StepError) as refused:
        one.act("answer", "no idea")

    assert ("elsewhere", 1) == (refused.value.name, len(one.kept()))


def test_a_sitting_that_ended_is_not_gone_on_with(store: Store, clock: SetClock) -> None:
    """Nor is one of yesterday."""
    for end in ("stop", "night"):
        sat = begin(store, clock)
        sat.act("answer", sat.answer())
        if end == "stop":
            sat.act("stop")
        else:
            clock.advance(86400)

        assert 0 == begin(store, clock).sitting.view().standing.answers


def test_revealed_prose_is_gone_on_with_at_its_mark(tmp_path: Path) -> None:
    """What was typed isn't lost, and the reading that was drawn is the same."""
    with opened(tmp_path, NOTE) as (store, clock):
        sat = begin(store, clock, selection=Selection(kind="question"))
        shown = sat.act("answer", "it feeds the engine")
        again = begin(store, clock, selection=Selection(kind="question")).sitting.view()

    assert ("marking", shown.token, shown.answer) == (again.phase, again.token, again.answer)


CRITICAL = """# Starter

| Parameter | Minimum | Maximum | Unit |
|---|---|---|---|
| **Starter voltage** | 22 | 29 | V |
| Starter current | | 400 | A |

## **Why is the handle pulled first?**

It shuts the fuel off and arms the bottles.
"""


@pytest.mark.parametrize(("given", "apart"), [("a banana", True), ("it shuts the fuel", False)])
def test_critical_prose_of_which_nothing_is_there_is_talked_up_to_hesitant_at_most(
    tmp_path: Path, given: str, apart: bool
) -> None:
    """That is recorded as such, and the card comes back; a run that goes on knows it too."""
    with opened(tmp_path, CRITICAL) as (store, clock):
        chosen = Selection(kind="question")
        sat = begin(store, clock, selection=chosen)
        may = sat.act("answer", given).may
        sat.act("hesitant")
        again = begin(store, clock, selection=chosen).sitting
        ((overruled,),) = store.rows(
            "SELECT json_extract(body, '$.overruled') FROM event WHERE type = 'reviewed'"
        )

    assert apart == ("sure" not in may)
    assert apart == bool(overruled)
    assert apart == sat.sitting.kept[0].returns
    assert [True] * apart == [one.returns for one in again.kept]


@pytest.mark.parametrize(
    ("of", "given", "mark"),
    [
        ("limits", "a banana", "missed"),
        ("limits", "minimum 21 volts, maximum 30", "missed"),
        ("limits", "22 volts and something", None),
        ("handle", "a banana", "missed"),
        ("handle", "", "missed"),
        ("handle", "it shuts the fuel off", None),
    ],
)
def test_an_oral_asks_nobody_for_the_mark_of_a_critical_point_that_was_not_said(
    tmp_path: Path, of: str, given: str, mark: str | None
) -> None:
    """Of several amounts one must be there, of prose a word that matters; else it is missed."""
    with opened(tmp_path, CRITICAL) as (store, clock):
        sat = begin(store, clock, "oral", questions=5)
        while (put := sat.sitting.question) is not None and of not in put.prompt:
            sat.act("answer", sat.answer())
        sat.act("answer", given)
        if not given:
            sat.act("answer", given)

    assert mark == sat.sitting.kept[-1].mark


@pytest.mark.parametrize("at", range(1, 4))
def test_an_oral_goes_on_where_a_run_left_it(tmp_path: Path, at: int) -> None:
    """After any step, with the same draw, the prose that waits for its mark, and one result in the end."""
    with opened(tmp_path, NOTE) as (store, clock):
        one = _oral_through(begin(store, clock, "oral", questions=3), None)
        with store.writing():
            Desk(store).note("oral", None)
        two = _oral_through(begin(store, clock, "oral", questions=3), at)
        counted = [(past.asked, past.right) for past in sittings(store)]

    assert one == two
    assert [(3, 2)] * 2 == counted


def _oral_through(sat: Sat, leave_after: int | None) -> dict[str, object]:
    steps = 0
    while (view := sat.sitting.view()).phase != "over":
        put = sat.sitting.question
        assert put is not None
        wrong = put.aspect == "maximum" and put.critical
        sat.act("sure" if view.phase == "marking" else "answer", "1" if wrong else sat.answer())
        steps += 1
        if steps == leave_after:
            from recall.session.oral import Drawn

            left = Desk(sat.store).left("oral", {})
            if left is not None:
                drawn = Drawn.of(left["drawn"])
                sat.sitting = type(sat.sitting).begin(
                    Desk(sat.store), Course(drawn.order(), sat.clock), mode="oral", drawn=drawn
                )
                assert sat.sitting.token == f"{left['id']}.{left['step']}"
    end = sat.sitting.view().end
    assert end is not None
    return {name: end[name] for name in ("asked", "right", "passed", "unmarked")}


def test_an_oral_broken_off_is_not_counted(store: Store, clock: SetClock) -> None:
    """Its answers are kept; among orals stands what was sat to the end."""
    sat = begin(store, clock, "oral", questions=3)
    sat.act("answer", "no idea")
    end = sat.act("stop").end

    assert end is not None
    assert (1, ["2 of 3 questions have no marked answer", "0 right, 3 needed"]) == (
        end["asked"],
        end["failed_by"][:2],
    )
    assert (1, []) == (len(sat.kept()), sittings(store))


def test_an_oral_tells_nothing_until_its_end(store: Store, clock: SetClock) -> None:
    """No verdict, no answer side, no mark that could be changed; an answer may be taken back before the next."""
    sat = begin(store, clock, "oral", questions=3)
    view = sat.act("answer", "no idea")

    assert ((), (), ("answer", "undo", "source", "stop")) == (view.tell, view.answer, view.may)
    assert [] == Sat(store, clock, sat.sitting).kept() if sat.act("undo").standing.answers else True
    assert 0 == sat.sitting.view().standing.answers


def test_a_memory_of_today_is_not_asked_twice(store: Store, clock: SetClock) -> None:
    """What a stopped sitting missed comes first in the next; what it answered right doesn't come."""
    sat = begin(store, clock)
    right = sat.sitting.question and sat.sitting.question.id
    sat.act("answer", sat.answer())
    missed = sat.sitting.question and sat.sitting.question.id
    sat.act("answer", "no idea")
    sat.act("stop")
    waiting = [one.card for one in begin(store, clock).sitting.course.order.waiting]

    first = begin(store, clock).sitting.question

    assert first is not None and missed == first.id
    assert right not in waiting


def test_more_begins_what_the_settings_leave_for_other_days(store: Store, clock: SetClock) -> None:
    """With an allowance of two, two; with `more` all; the end says how many more there are."""
    store.set("unasked", "2")
    sat = begin(store, clock)
    assert 2 == sat.sitting.view().standing.of
    end = sat.act("stop").end

    assert end is not None
    assert (7, "2 cards still wait today") == (end["more"], end["next"][0][0])
    assert 9 == begin(store, clock, selection=Selection(more=True)).sitting.view().standing.of


def test_what_a_plan_has_left_is_told_before_anything_else(store: Store) -> None:
    """Its minutes; what else could be begun only once they are used."""
    store.set("unasked", "2")
    told = [ahead(store, ALL, planned)["next"][0][0] for planned in (6.4, 0.2)]

    assert ["The plan has 6 min more today", "7 more could be begun today"] == told


def test_who_says_that_they_do_not_know_claims_nothing(store: Store, clock: SetClock) -> None:
    """Typed, or nothing typed twice."""
    sat = begin(store, clock)
    assert "right" not in sat.act("answer", "no idea").may
    sat.act("next")
    sat.act("answer", "")

    assert "right" not in sat.act("answer", "").may


def test_only_critical_points_where_that_is_asked_for(store: Store, clock: SetClock) -> None:
    """Due and unasked ones alike."""
    for known in store.cards():
        store.record(Review(known.id, known.answer_hash, 1, right=False))
    clock.advance(5 * 86400)
    sat = begin(store, clock, selection=Selection(critical=True))

    view = sat.sitting.view()

    assert view.question is not None
    assert (1, True) == (view.standing.of, view.question.critical)


def test_the_days_to_the_checkride_are_told_at_the_end(store: Store, clock: SetClock) -> None:
    """None where none is set."""
    ends = []
    for on in ("", "2026-12-06"):
        if on:
            store.set("checkride_on", on)
        sat = begin(store, clock)
        ends.append(sat.act("stop").end)

    told = [[said for said, _ in end["next"] if "checkride" in said] for end in ends if end]
    assert [[], ["12 days to the checkride"]] == told


@pytest.mark.parametrize(("alike", "named"), [(1, 1), (2, 2), (3, 0)])
def test_whose_answer_was_given_is_told_of_one_or_two(
    tmp_path: Path, clock: SetClock, alike: int, named: int
) -> None:
    """An answer that is right for many cards names none of them."""
    facts = {f"Part {number}": "outlet valve" for number in range(alike)} | {"Pump": "stops at once"}
    with Store.open(tmp_path / "other.db", clock, rng=random.Random(1)) as other:
        other.load(deck(facts, critical=frozenset(("Pump",))))
        view = begin(other, clock).act("answer", "outlet valve")

    assert named == sum(line.text.startswith("That is the answer to: Part ") for line in view.tell)


def test_what_was_typed_is_shown_as_typed(store: Store, clock: SetClock) -> None:
    """In its own case and signs, its lines under each other."""
    sat = begin(store, clock)
    view = sat.act("answer", "  State-Two,  HOLDS\nnot ")

    assert "You typed: State-Two,  HOLDS\n           not" in [line.text for line in view.tell]


def test_another_day_asks_in_another_wording(tmp_path: Path) -> None:
    """On one day always in the same; the wording that is kept for orals isn't used."""
    with opened(tmp_path, NOTE) as (store, clock):
        asked = []
        for _ in range(4):
            sat = begin(store, clock)
            while (put := sat.sitting.question) is not None and (put.aspect, put.critical) != (
                "maximum",
                True,
            ):
                sat.act("sure" if sat.sitting.phase == "marking" else "answer", sat.answer())
            if put is not None:
                asked.append(put.prompt)
                sat.act("answer", "1")
            clock.at += timedelta(days=1)

    assert [
        "Maximum feeder quantity, in lb?",
        "What is the maximum feeder quantity, in lb?",
        "Maximum feeder quantity, in lb?",
        "What is the maximum feeder quantity, in lb?",
    ] == asked


def test_an_oral_asks_critical_points_in_words_of_its_own_and_openly_first(tmp_path: Path) -> None:
    """All that is said of a subject at once, marked by the person; else in the wording that no review uses."""
    several = NOTE.replace("| Maximum | Unit |\n|---", "| Minimum | Maximum | Unit |\n|---|---")
    several = several.replace("| 700 |", "| 40 | 700 |").replace("| 50 |", "| | 50 |")
    with opened(tmp_path, NOTE) as (store, clock):
        sat = begin(store, clock, "oral", questions=3)
        own = [
            sat.sitting.desk.put(one, random.Random(1), sat.sitting.drawn)
            for one in sat.sitting.course.order.waiting
        ]
        prompts = {put.prompt for put in (sat.sitting.question, *own) if put is not None}
        (critical,) = [store.card(known.id) for known in store.cards() if known.critical]
    (tmp_path / "two").mkdir()
    with opened(tmp_path / "two", several) as (store, clock):
        first = begin(store, clock, "oral", questions=4).sitting.question

    assert wordings(critical)[-1] != critical.prompt
    assert wordings(critical)[-1] in prompts
    assert first is not None and "Tell me all limits of feeder quantity." == first.prompt
    assert {"Minimum feeder quantity, in lb: 40 lb", "Maximum feeder quantity, in lb: 700 lb"} == set(
        first.answer.texts
    )
    assert not first.answer.typed


def test_the_days_minutes_leave_unasked_cards_unless_a_number_is_asked_for(store: Store) -> None:
    """Who says how many cards or minutes gets as many as the settings leave."""
    store.set("minutes", "1")
    store.set("unasked", "9")
    left = [
        today_of(store, wish).order.left for wish in (Selection(), Selection(cards=9), Selection(minutes=9.0))
    ]

    assert left[0] < 9
    assert [9, 9] == left[1:]


def test_a_card_is_parsed_once_for_its_question(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer reads none but the next card, were it right or wrong."""
    read: list[str] = []

    def counted(form: str, texts: list[str], *rest: object, **options: object) -> object:
        read.append(texts[0])
        return answer_from(form, texts, *rest, **options)  # type: ignore[arg-type]

    monkeypatch.setattr("recall.kinds.model.answer_from", counted)
    sitting = Sitting.begin(Desk(store), Course(order_of(store, ALL), store.clock), pause="none")
    for given in ("state 0 holds", "something else holds", "that holds"):
        read.clear()
        sitting.act(sitting.token, "answer", given)
        assert sitting.question is not None

        assert [sitting.question.answer.texts[0]] == read


def test_an_overruled_answer_is_still_the_first_of_its_card_for_a_run_that_goes_on(store: Store) -> None:
    """Cards begun are counted alike before and after a window that was closed."""
    course = Course(order_of(store, ALL), store.clock)
    sitting = Sitting.begin(Desk(store), course, pause="none")
    sitting.act(sitting.token, "answer", "something else")
    begun = sitting.act(sitting.token, "right").standing.begun
    again = Sitting.begin(Desk(store), Course(order_of(store, ALL), store.clock), pause="none")

    assert (1, 1) == (begun, again.view().standing.begun)


def test_a_sitting_begins_with_the_minutes_that_the_day_is_said_to_take(
    store: Store, clock: SetClock
) -> None:
    """Begun cards and their repeats, and on the next day reviews beside them: one count, up to its rounding."""
    for _ in range(2):
        day = store.due_by_day(1)[0]
        sitting = begin_daily(store)

        assert day.due + day.unasked > 0
        assert sitting.view().standing.seconds / 60 == pytest.approx(day.minutes, abs=0.051)
        while sitting.phase != "over":
            clock.advance(12)
            action = next(one for one in ("answer", "next", "sure") if one in sitting.view().may)
            sitting.act(sitting.token, action, "state 3 holds")
        clock.advance(86_400)


def begin_daily(store: Store) -> Sitting:
    """A review of what the day has."""
    wish = Selection()
    return begin_review(store, wish, today_of(store, wish), Notes())
