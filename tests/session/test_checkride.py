"""A person's way to a checkride, from their store: state, effort, paper, plan, odds."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Literal

import numpy as np
import pytest
from store_kit import MORNING, answer, card_of, deck

from recall.base.clock import SetClock
from recall.base.dataclass import replace
from recall.base.days_off import DaysOff
from recall.base.errors import RecallError
from recall.checkride.rollout import Run, daily_order, ranked
from recall.checkride.state import Horizon
from recall.deck.model import Blueprint
from recall.session.candidate import Candidate, gather, now_at_home
from recall.session.course import Course
from recall.session.desk import Desk, order_of
from recall.session.draw import draw_oral
from recall.session.effort import USUAL, effort_of
from recall.session.paper import odds_of, paper_for
from recall.session.plan_told import limits, odds_told
from recall.session.planned import plan_for, sitting_today
from recall.session.sitting import Sitting
from recall.session.target import Scope, Target, changed_target, day_of_odds, keep_target, target_of
from recall.store import Review, Store
from recall.store.answers import Answer, newest_answers, sittings

TODAY = MORNING.date()
FACTS = {f"{topic} / Part {topic} {number}": f"state {number}" for topic in "AB" for number in range(12)}
"""24 points under two topics."""


@pytest.fixture
def clock() -> SetClock:
    """Nine in the morning."""
    return SetClock(MORNING)


@pytest.fixture
def store(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """A store with the facts loaded, three of them critical."""
    with Store.open(tmp_path / "store.db", clock, rng=Random(1)) as opened:
        opened.load(deck(FACTS, critical=frozenset(list(FACTS)[:3])))
        yield opened


def _answer(store: Store, subject: str, mark: int = 3, **more: object) -> str:
    return answer(store, subject, mark, **more)


def test_what_is_gathered_of_an_unasked_deck(store: Store) -> None:
    """Critical points weigh 3, recall is 0, costs are the usual ones, areas the topics."""
    found = gather(store, Scope())

    assert (24, 3, 0.0, 0) == (
        len(found.cards),
        int((found.cards.weight == 3.0).sum()),
        float(found.recall_at(TODAY.toordinal() + 5.0).sum()),
        found.forms[0].days,
    )
    assert {USUAL["first"] + 0.6 * USUAL["again"]} == set(found.cards.seconds_unasked.tolist())
    assert (("A",), ("B",)) == found.areas


def test_memories_are_those_of_the_log(store: Store, clock: SetClock) -> None:
    """Days since the last answer count from day to day, and an answer of today is under half a day old."""
    for subject in ("Part A 4", "Part A 5"):
        _answer(store, subject)
    clock.advance(3 * 86400)
    _answer(store, "Part A 5")
    found = gather(store, Scope())
    since = {
        store.card(card.id).subject: float(found.cards.since[at])
        for at, card in enumerate(found.known)
        if found.cards.asked[at]
    }

    assert {"Part A 4": 3.0, "Part A 5": 0.0} == since


def _recall(store: Store, subject: str, moment: datetime) -> float:
    found = gather(store, Scope())
    at = [card.id for card in found.known].index(card_of(store, subject))
    likeliest = found.recalls_at(moment.toordinal() + moment.hour / 24)[0]
    return float(likeliest[at])


def test_recall_within_a_day_counts_the_hours(store: Store, clock: SetClock) -> None:
    """Half a day after the answer recall lies between the answer's own moment and a day later, on the curve."""
    _answer(store, "Part A 4")
    now, evening, later = (_recall(store, "Part A 4", MORNING + timedelta(hours=h)) for h in (0, 12, 24))

    assert 1.0 == now
    assert 1.0 > evening > later
    assert (1 + 0.9803464944134797 * 0.5 / 2.3065) ** -0.1542 == pytest.approx(evening, abs=1e-6)


def test_answers_to_an_earlier_wording_count_as_unasked(store: Store) -> None:
    """A changed answer has to be learned again."""
    _answer(store, "Part A 4")
    store.load(deck({**FACTS, "A / Part A 4": "another"}, revision="2"))
    found = gather(store, Scope())

    assert not found.cards.asked.any()


def test_a_scope_takes_topics_and_decks(store: Store) -> None:
    """Only what is below the topic; what isn't there is refused by name."""
    store.load(deck({"A / Other": "x"}, slug="other"))

    assert (12, 13, 1) == tuple(
        len(gather(store, scope).cards)
        for scope in (Scope(("skerry",), ("B",)), Scope((), ("A",)), Scope(("other",), ()))
    )
    for scope in (Scope((), ("C",)), Scope(("none",), ())):
        with pytest.raises(RecallError):
            gather(store, scope)


def _timed(*seconds: float, mark: int = 3, kind: str = "setting", step: int = 1) -> list[Answer]:
    """Answers of one run, one card each, so many seconds apart."""
    at, found = MORNING, []
    for number, gap in enumerate((0.0, *seconds)):
        at += timedelta(seconds=gap)
        found.append(Answer(f"{kind} {number}", kind, "run", at, TODAY, mark, 1.0, "daily"))
    return found


def test_effort_is_the_persons_own_with_the_usual_as_a_prior() -> None:
    """Ten answers weigh as much as the usual seconds; pauses and answers without a time don't count."""
    ten = effort_of(_timed(*[30.0] * 10), {})
    paused = effort_of(_timed(*[500.0] * 10), {})
    untimed = effort_of([replace(one, seconds=None) for one in _timed(*[1.0] * 10)], {})

    assert (30.0 + USUAL["right"]) / 2 == pytest.approx(ten.overall["right"])
    assert [USUAL["right"]] * 2 == [one.of("setting", "right") for one in (paused, untimed)]


def test_effort_tells_kinds_first_answers_and_misses_apart() -> None:
    """Each has its own times; a kind never answered takes those of all."""
    answers = [*_timed(*[40.0] * 30, kind="flow"), *_timed(*[6.0] * 60)]
    own = effort_of(answers, {one.card: TODAY for one in answers if one.kind == "flow"})

    assert own.of("flow", "first") > 30 > 8 > own.of("setting", "right")
    assert own.of("limit", "right") == own.overall["right"]
    assert own.missed("setting") == own.of("setting", "missed") + own.of("setting", "again")


def test_time_spent_today_leaves_less_of_the_plan(store: Store, clock: SetClock) -> None:
    """Twenty answers of today at thirty seconds each take ten minutes of twenty; orals take none."""
    keep_target(store, Target(TODAY + timedelta(days=9)))
    for number in range(10):
        for topic in "AB":
            clock.advance(30)
            _answer(store, f"Part {topic} {number}", seconds=3.0)
    _answer(store, "Part A 11", seconds=3.0, mode="oral")
    left = sitting_today(store, Random(1)).minutes

    assert 20 - 19 * 0.5 - USUAL["right"] / 60 == pytest.approx(left, abs=0.1)


def test_minutes_of_a_review_are_those_that_the_plan_has_lost(store: Store, clock: SetClock) -> None:
    """What a review says of its minutes at its end is what is off today's minutes of the plan; a pause counts for
    neither."""
    keep_target(store, Target(TODAY + timedelta(days=9)))
    sitting = Sitting.begin(Desk(store), Course(order_of(store), clock))
    for gap in (40, 3000, 50, 20):
        clock.advance(gap)
        sitting.act(sitting.token, "answer", "no such state", 2.0)
        sitting.act(sitting.token, "next")
    sitting.act(sitting.token, "stop")
    end = sitting.view().end
    assert end is not None

    assert 12 + 12 + 50 + 20 == pytest.approx(end["seconds"])
    assert 20 - end["seconds"] / 60 == pytest.approx(sitting_today(store, Random(1)).minutes)


def test_the_usual_paper_is_seventy_percent_over_the_topics(store: Store) -> None:
    """No deck says what passes: then the mark is said to be the program's own (common practice, no source)."""
    paper = paper_for(store, gather(store, Scope()))

    assert [("A", 12), ("B", 12)] == [(area.topic, area.questions) for area in paper.examination.areas]
    assert (0.70, False) == (paper.examination.pass_mark, paper.examination.each_area)
    assert paper.origin.endswith("70 % is this program's own mark, since no record says what passes")


@pytest.fixture
def blueprint(store: Store) -> Store:
    """The same with a blueprint of ten questions."""
    plain = deck(FACTS, revision="2", critical=frozenset(list(FACTS)[:3]))
    record = replace(plain.record, checkride=Blueprint(80, {"A": 6, "B": 4, "C": 3}, True))
    store.load(replace(plain, record=record))
    return store


def test_a_blueprint_is_followed_and_what_it_lacks_is_said(blueprint: Store) -> None:
    """Questions per topic, pass mark, each area, critical points without fail; one without cards is named."""
    paper = paper_for(blueprint, gather(blueprint, Scope()))
    exam = paper.examination
    assert exam.without_fail is not None

    assert [("A", 6), ("B", 4)] == [(area.topic, area.questions) for area in exam.areas]
    assert (0.80, True, 3) == (exam.pass_mark, exam.each_area, int(exam.without_fail.sum()))
    assert ("Left out, since no card here is of it: C",) == paper.remarks


@pytest.mark.parametrize(("aim", "left"), [("odds", True), ("recall", False)])
def test_what_a_blueprint_does_not_ask_is_said_to_be_left_out_for_that(
    store: Store, aim: Literal["odds", "recall"], left: bool
) -> None:
    """Not that there is no time for it; its critical points are named. A plan for recall asks it all."""
    plain = deck(FACTS, revision="2", critical=frozenset(list(FACTS)[:3]))
    store.load(replace(plain, record=replace(plain.record, checkride=Blueprint(80, {"B": 12}, False))))
    target = Target(TODAY + timedelta(days=9), minutes=5, aim=aim)
    told = " ".join(limits(plan_for(store, target, Random(1))))

    assert "Can't be learned" not in told
    assert left == ("Left out, since the blueprint doesn't ask them: 12 cards (3 critical): A 12." in told)
    assert left == ("Critical among them: Part A 0, Part A 1, Part A 2." in told)
    assert left != ("Every card can be learned in the time." in told)


def test_what_without_fail_asks_of_each_is_told(blueprint: Store) -> None:
    """Of six questions over twelve cards with three critical ones 1.5 are critical on average; 0.8 to the power of
    1 / 1.5 is 86.2 % (worked by hand)."""
    found = gather(blueprint, Scope())
    paper = paper_for(blueprint, found)
    told = [line.text for line in odds_told(odds_of(found, paper, [np.ones(24)] * 3), paper, "Odds")]

    assert 1.5 == pytest.approx(paper.critical_questions)
    assert any("odds of 80 % to miss none ask for a recall of 86.2 % of each" in text for text in told)


@pytest.mark.parametrize(("questions", "shared"), [(5, [3, 2]), (12, [7, 5]), (18, [11, 7]), (100, [12, 12])])
def test_a_number_of_questions_is_spread_as_the_blueprint_is(
    blueprint: Store, questions: int, shared: list[int]
) -> None:
    """Fewer or more in its proportions, none over the cards there are."""
    areas = paper_for(blueprint, gather(blueprint, Scope()), questions).examination.areas

    assert shared == [area.questions for area in areas]


def test_a_card_is_asked_for_the_narrowest_area_that_names_it(store: Store) -> None:
    """An area within another leaves the wider one the rest, and what that lacks is said; orals are whole."""
    plain = deck({f"A / {under}Part {at}": "on" for under in ("", "X / ") for at in range(6)}, revision="2")
    blueprint = Blueprint(70, {"A": 8, "A / X": 4}, False)
    store.load(replace(plain, record=replace(plain.record, checkride=blueprint)), replace=True)
    paper = paper_for(store, gather(store, Scope()))
    drawn = draw_oral(store, Scope(), Random(3))

    assert [("A", 6), ("A / X", 4)] == [(area.topic, area.questions) for area in paper.examination.areas]
    assert ("A has 6 cards for 8 questions",) == paper.remarks
    assert [6, 4] == [drawn.area_of.count(at) for at in range(2)] and 10 == len(set(drawn.cards))


def test_odds_from_the_store_meet_a_simulated_examination(blueprint: Store, clock: SetClock) -> None:
    """20,000 examinations drawn and sat by the blueprint, with the form of the day as the odds know it."""
    from recall.checkride.odds import widened

    for day in range(4):
        for number in range(12):
            _answer(blueprint, f"Part A {number}", 1 if (number + day) % 9 == 0 else 4)
            _answer(blueprint, f"Part B {number}", 1 if (number + day) % 7 == 0 else 4)
        clock.advance(2 * 86400)
    found = gather(blueprint, Scope())
    paper = paper_for(blueprint, found)
    recalls = found.recalls_at(now_at_home(blueprint) + 3.0)
    told = odds_of(found, paper, recalls)
    dice, chances, runs = np.random.default_rng(7), [], 20_000
    sizes = dice.multinomial(runs, [mind.weight for mind in found.minds])
    often = np.zeros(len(found.known))
    for area in paper.examination.areas:
        often[area.cards] = area.questions / len(area.cards)
    for recall, known, size in zip(recalls, found.forms, sizes, strict=True):
        expected = known.trued(recall)
        bias = known.unsure(expected, often) * dice.standard_normal(size)
        chances += list(widened(expected, known.spread, bias + known.spread * dice.standard_normal(size)))
    passed = 0
    critical = paper.examination.without_fail
    assert critical is not None
    for chance in chances:
        fine, total = True, 0
        for area in paper.examination.areas:
            drawn = dice.choice(area.cards, area.questions, replace=False)
            right = dice.random(area.questions) < chance[drawn]
            total += int(right.sum())
            fine &= right.sum() >= 0.8 * area.questions and bool(right[critical[drawn]].all())
        passed += fine and total >= 8

    assert 0.02 < told.passed < 0.98
    assert passed / runs == pytest.approx(told.passed, abs=0.012)


def _share(found: Candidate, moment: float) -> float:
    weight = found.cards.weight
    return float(weight @ found.recall_at(moment) / weight.sum())


def test_a_plan_followed_for_days_raises_recall(store: Store, clock: SetClock) -> None:
    """Each morning planned anew and answered within its minutes: recall on the date rises every day, to near the
    first morning's expectation."""
    target = Target(TODAY + timedelta(days=6), minutes=4.0)
    keep_target(store, target)
    expected = plan_for(store, target, Random(1)).plan.expected
    shares = []
    for _ in range(6):
        today = sitting_today(store, Random(1))
        assert today.minutes is not None
        for waiting in today.order.waiting:
            known = store.known(waiting.card)
            store.record(Review(known.id, known.answer_hash, 3, right=True, mode="plan"))
        shares.append(_share(gather(store, Scope()), target.moment))
        clock.advance(86400)

    assert all(later > earlier - 0.01 for earlier, later in pairwise(shares))
    assert shares[-1] > shares[0] + 0.2
    assert shares[-1] > expected - 0.1


def test_a_planned_sitting_fits_its_minutes(store: Store) -> None:
    """As many first answers, six in ten of them missed and repeated, as the seconds hold."""
    keep_target(store, Target(TODAY + timedelta(days=6), minutes=4.0))
    today = sitting_today(store, Random(1))

    each = USUAL["first"] + 0.6 * USUAL["again"]

    assert ("plan", int(4 * 60 / each)) == (today.mode, len(today.order.waiting))


def test_days_off_take_no_minutes(store: Store) -> None:
    """They stand in the plan with nothing on them, and a sitting on one is empty."""
    target = Target(TODAY + timedelta(days=7), minutes=4.0, days_off=DaysOff.read("Mon, Tue"))
    planned = plan_for(store, target, Random(1))

    assert [date(2026, 3, 2), date(2026, 3, 3)] == [day.date for day in planned.days if day.off]
    assert all((day.minutes == 0.0) == day.off for day in planned.days)
    keep_target(store, replace(target, days_off=DaysOff.read(TODAY.isoformat())))
    assert 0 == sitting_today(store, Random(1)).order.left


def test_from_the_date_on_it_is_the_daily_order(store: Store, clock: SetClock) -> None:
    """The plan ends with the day before."""
    keep_target(store, Target(TODAY + timedelta(days=2)))
    modes = []
    for _ in range(3):
        modes.append(sitting_today(store, Random(1)).mode)
        clock.advance(86400)

    assert ["plan", "plan", "daily"] == modes


@pytest.mark.parametrize(
    "target",
    [Target(TODAY), Target(TODAY - timedelta(days=1)), Target(TODAY + timedelta(days=3000))],
    ids=["today", "past", "far"],
)
def test_dates_that_cannot_be_planned_for_are_refused(store: Store, target: Target) -> None:
    """Today, the past, and more than two years ahead."""
    with pytest.raises(RecallError):
        plan_for(store, target, Random(1))


def test_a_date_too_far_away_is_refused_before_its_days_are_listed() -> None:
    """Millions of them take seconds."""
    with pytest.raises(RecallError, match="days off"):
        Target(date.max).day_minutes(TODAY)


def test_a_plan_set_on_one_device_is_known_on_the_other(
    store: Store, tmp_path: Path, clock: SetClock
) -> None:
    """It lives in settings, whose last event wins after a merge."""
    with Store.open(tmp_path / "tablet.db", clock, rng=Random(2)) as tablet:
        first = Target(
            TODAY + timedelta(days=9), time(13, 30), 15.0, Scope((), ("A", "B")), DaysOff.read("Sun")
        )
        keep_target(tablet, first)
    store.merge([tmp_path / "tablet.db"], same_person=True)
    assert first == target_of(store.settings())
    clock.advance(60)
    moved = changed_target(store, on=str(TODAY + timedelta(days=12)))
    keep_target(store, moved)

    assert replace(first, on=TODAY + timedelta(days=12)) == target_of(store.settings())


def test_a_new_checkride_forgets_what_the_last_one_asked(store: Store, clock: SetClock) -> None:
    """Minutes, topics and days off of one that is over don't hold for the next."""
    keep_target(store, Target(TODAY + timedelta(days=2), time(13), 45.0, Scope((), ("A",))))
    clock.advance(5 * 86400)
    on = TODAY + timedelta(days=20)

    assert Target(on) == changed_target(store, on=str(on))


def test_settings_made_before_the_first_plan_are_its_own(store: Store) -> None:
    """Minutes, time and days off that were set are kept when a date is given."""
    for name, text in (("checkride_minutes", "45"), ("checkride_at", "13:00"), ("days_off", "Sun")):
        store.set(name, text)
    on = TODAY + timedelta(days=20)

    assert Target(on, time(13), 45.0, days_off=DaysOff.read("Sun")) == changed_target(store, on=str(on))


def test_topics_are_taken_back_and_refused(store: Store) -> None:
    """An empty topic asks all again, so does the setting `none`; one with a semicolon can't be kept."""
    on = str(TODAY + timedelta(days=20))
    keep_target(store, changed_target(store, on=on, topics=["A"]))
    with pytest.raises(RecallError, match="semicolon"):
        changed_target(store, topics=["Fuel; oil"])

    assert Scope((), ("A",)) == changed_target(store).scope
    assert Scope() == changed_target(store, topics=[""]).scope
    store.set("checkride_topics", "none")
    assert Scope() == changed_target(store).scope


def test_an_hour_that_is_past(store: Store, clock: SetClock) -> None:
    """After the examination's hour odds are for the next one, and nothing is planned for it any more."""
    keep_target(store, Target(TODAY + timedelta(days=1), time(0, 30)))
    clock.advance(16 * 3600)  # 01:00, still the day before until the day turns
    assert TODAY == store.today()
    with pytest.raises(RecallError, match="was on"):
        plan_for(store, changed_target(store), Random(1))

    assert "daily" == sitting_today(store, Random(1)).mode
    assert TODAY + timedelta(days=2) == day_of_odds(store, None).on
    with pytest.raises(RecallError, match="is past"):
        day_of_odds(store, str(TODAY + timedelta(days=1)))


def test_the_sitting_expects_the_plans_seconds(store: Store) -> None:
    """What a question is expected to take is the plan's, so that minutes and cards agree."""
    keep_target(store, Target(TODAY + timedelta(days=9), minutes=3.0))
    today = sitting_today(store, Random(1))
    assert today.each is not None

    assert 0.75 * 3.0 * 60 < today.order.left * today.each <= 3.0 * 60


def test_more_minutes_count_for_today_too(store: Store) -> None:
    """With today's minutes used, six times as many a day are ten more today."""
    horizon = Horizon((2.0, 0.0, 2.0), used=3.0)

    assert [0.0, 0.0, 120.0] == horizon.seconds.tolist()
    assert [540.0, 0.0, 720.0] == horizon.times(6, today=True).seconds.tolist()


def test_odds_are_for_the_next_such_hour_where_no_date_is_set(store: Store, clock: SetClock) -> None:
    """Before 09:00 today, after it tomorrow."""
    clock.advance(-3600)
    before = day_of_odds(store, None).on
    clock.advance(7200)

    assert (TODAY, TODAY + timedelta(days=1)) == (before, day_of_odds(store, None).on)
    with pytest.raises(RecallError):
        day_of_odds(store, "2020-01-01")


def test_orals_of_the_past_are_those_of_each_run(store: Store, tmp_path: Path, clock: SetClock) -> None:
    """Oral answers of one run are one sitting; other modes and undone ones don't count."""
    _answer(store, "Part A 0", 3, mode="oral", given='"mode":"plan"')
    _answer(store, "Part A 1", 1, mode="oral")
    _answer(store, "Part A 2", 3, given='"mode":"oral"')
    store.undo(_answer(store, "Part A 3", 3, mode="oral"))
    clock.advance(86400)
    with Store.open(tmp_path / "store.db", clock, rng=Random(9)) as later:
        answer(later, "Part A 4", 3, mode="oral")

    assert [(TODAY, 2, 1), (TODAY + timedelta(days=1), 1, 1)] == [
        (one.day, one.asked, one.right) for one in sittings(store)
    ]
    assert ["oral", "oral", "daily", "oral"] == [one.mode for one in newest_answers(store)]


def test_a_draw_foretells_each_question(blueprint: Store) -> None:
    """As many cards of each area as the blueprint asks, with their recall now."""
    _answer(blueprint, "Part A 0")
    drawn = draw_oral(blueprint, None, Random(1))

    assert (10, [6, 4]) == (len(set(drawn.cards)), [drawn.area_of.count(at) for at in (0, 1)])
    assert {1.0 if card == card_of(blueprint, "Part A 0") else 0.0 for card in drawn.cards} == {
        round(recall, 6) for recall in drawn.predicted
    }


def test_unasked_cards_come_topic_after_topic_critical_ones_first(store: Store) -> None:
    """The whole of A before any of B; the critical points of A, which stand in both, ahead of its others."""
    waiting = order_of(store).waiting
    critical = {card.id for card in store.cards() if card.critical}
    topics = [one.topic[0] for one in waiting]
    own = [one.card in critical for one in waiting if one.topic[0] == "A"]

    assert sorted(topics) == topics
    assert sorted(own, reverse=True) == own and any(own)


def test_the_daily_order_of_the_plan_is_that_of_the_product(store: Store, clock: SetClock) -> None:
    """Played out, the daily order asks on its first day the very cards that a review would, in its order but for
    cards of one point being kept apart: first those due, then as many unasked ones."""
    store.set("minutes", "4")
    for number in range(6):
        _answer(store, f"Part B {number}")
    clock.advance(3 * 86400)
    found = gather(store, Scope())
    mind = found.minds[0]
    choose = daily_order([mind], (4.0,))
    ranked_ = ranked(choose([Run.start(mind.cards)], 0)[0]).tolist()
    waiting = order_of(store).waiting

    assert {one.card for one in waiting} == {found.known[at].id for at in ranked_}
    assert [one.unasked for one in waiting] == [not mind.cards.asked[at] for at in ranked_]


def test_a_deck_that_waits_for_its_day_is_told(tmp_path: Path, clock: SetClock) -> None:
    """Where nothing else is asked, the day on which it is to take effect is said."""
    with Store.open(tmp_path / "waits.db", clock, rng=Random(1)) as waits:
        waits.load(deck(FACTS, effective=date(2026, 4, 1)))

        with pytest.raises(RecallError, match="skerry takes effect on 2026-04-01"):
            gather(waits, Scope())
