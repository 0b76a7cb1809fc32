"""The mock oral's engine, driven without any terminal, and its result."""

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timezone

import numpy as np
import pytest

from recall.answers import answer_from
from recall.base.clock import SetClock
from recall.base.finding import Place
from recall.checkride.odds import Area, Examination
from recall.kinds.model import Card, Draft, Point, make_card
from recall.session.model import Answered, Was
from recall.session.oral import Oral, Result, result_of
from recall.session.paper import Paper, area_of_each


def _card(name: str, *, form: str = "words", critical: bool = False) -> Card:
    point = Point("consequence", ("Fuel",), name, Place("fuel.md", 3), critical=critical)
    return make_card(point, Draft("effect", f"{name}?", answer_from(form, (f"{name} stops",), {})), "demo")


@dataclass
class _Reviews:
    """A store in memory."""

    cards: dict[str, Card]
    kept: list[Answered] = field(default_factory=list)

    def card(self, card: str) -> Card:
        return self.cards[card]

    def keep(self, answered: Answered) -> str:
        self.kept.append(answered)
        return str(len(self.kept))

    def take_back(self, event: str) -> None:
        assert str(len(self.kept)) == event
        self.kept.pop()

    def pace(self, kind: str) -> Sequence[float]:
        return []

    def knows(self, deck: str, word: str) -> bool:
        return False

    def confused_with(self, card: Card, given: str) -> Card | None:
        return None

    def was(self, card: Card, given: str) -> Was | None:
        return None

    def remark(self, card: Card) -> str:
        return ""


def _oral(cards: Sequence[Card], *, examiner: bool = False) -> tuple[Oral, _Reviews, SetClock]:
    clock = SetClock(datetime(2026, 11, 24, 9, tzinfo=timezone.utc))
    reviews = _Reviews({card.id: card for card in cards})
    oral = Oral(reviews, [card.id for card in cards], clock, random.Random(1), examiner=examiner)
    return oral, reviews, clock


def _answered(oral: Oral, answers: Sequence[str]) -> None:
    for answer in answers:
        oral.ask()
        oral.answer(answer)
    oral.stop()


TYPED = [_card("Pump"), _card("Valve")]
PROSE = _card("Seal", form="prose")


def test_a_typed_answer_is_kept_at_once_as_an_oral_one() -> None:
    """Durable before the next question, under the mode of orals, and marked by the program."""
    oral, reviews, clock = _oral(TYPED)
    oral.ask()
    clock.advance(4)
    oral.answer("Pump stops")

    assert [("sure", True, 4.0, "program", "oral")] == [
        (one.mark, one.right, one.seconds, one.marked_by, one.mode) for one in reviews.kept
    ]


def test_questions_come_in_the_order_drawn_once_each() -> None:
    """A missed one doesn't come back."""
    oral, _, _ = _oral(TYPED)
    put = []
    while (question := oral.ask()) is not None:
        put.append(question.card)
        oral.answer("no idea")

    assert TYPED == put


def test_prose_waits_until_the_last_question() -> None:
    """It can't be marked before, is kept when it is marked, and once only."""
    oral, reviews, _ = _oral([PROSE, TYPED[0]])
    oral.ask()
    oral.answer("it leaks")
    with pytest.raises(ValueError, match="after the last question"):
        oral.settle(oral.unmarked[0], "sure")
    oral.ask()
    oral.answer("Pump stops")
    oral.ask()
    [waiting] = oral.unmarked
    oral.settle(waiting, "hesitant")
    with pytest.raises(ValueError, match="already"):
        oral.settle(waiting, "sure")

    assert [("sure", "program", "Pump stops"), ("hesitant", "self", "it leaks")] == [
        (one.mark, one.marked_by, one.given) for one in reviews.kept
    ]


def test_an_examiner_marks_every_answer() -> None:
    """Typed or prose, at once, without a time that would be the examiner's."""
    oral, reviews, clock = _oral([PROSE, TYPED[0]], examiner=True)
    for mark in ("missed", "sure"):
        oral.ask()
        clock.advance(20)
        oral.judge(mark)  # type: ignore[arg-type]

    assert [("missed", "examiner", None), ("sure", "examiner", None)] == [
        (one.mark, one.marked_by, one.seconds) for one in reviews.kept
    ]
    assert [] == oral.unmarked


def test_an_examiner_takes_a_mark_back() -> None:
    """The answer is gone, its question is put again; a candidate, or nothing to take back: refused."""
    oral, reviews, _ = _oral(TYPED, examiner=True)
    assert not oral.undo()
    oral.ask()
    oral.judge("missed")
    oral.ask()

    assert oral.undo() and not reviews.kept
    question = oral.ask()
    assert question is not None and TYPED[0] == question.card
    oral.judge("sure")
    assert ["sure"] == [answered.mark for answered in reviews.kept]
    alone, kept, _ = _oral(TYPED)
    alone.ask()
    alone.answer("Pump stops")
    assert not alone.undo() and 1 == len(kept.kept)


def test_a_stopped_oral_puts_no_further_question() -> None:
    """What was answered stays."""
    oral, reviews, _ = _oral(TYPED)
    _answered(oral, ["Pump stops"])

    assert (None, 1) == (oral.ask(), len(reviews.kept))


def _result(
    answers: Sequence[str],
    *,
    each_area: bool = False,
    critical: int = -1,
    areas: Sequence[int] = (0, 0, 0, 1),
) -> Result:
    """Four questions in two areas at 50 per cent; `critical` is the number of the critical one."""
    cards = [_card(f"Part {number}", critical=number == critical) for number in range(4)]
    oral, _, _ = _oral(cards)
    _answered(oral, answers)
    examination = Examination((Area("A", np.arange(3), 3), Area("B", np.array([3]), 1)), 0.5, each_area)
    return result_of(oral, examination, [("A",), ("B",)], areas, [0.9, 0.6, 0.3, 0.2])


RIGHT = [f"Part {number} stops" for number in range(4)]


def test_the_result_stands_by_area() -> None:
    """Right, asked, needed and predicted of each; what was missed in the order asked."""
    result = _result([RIGHT[0], "x", RIGHT[2], "x"])

    assert [(("A",), 3, 2, 2, True), (("B",), 1, 0, 1, False)] == [
        (area.topic, area.asked, area.right, area.needed, area.passed) for area in result.areas
    ]
    assert [0.6, 0.2, 0.5] == pytest.approx([*(area.predicted for area in result.areas), result.predicted])
    assert ["Part 1?", "Part 3?"] == [said.card.prompt for said in result.missed]
    assert (2, 2, True) == (result.right, result.needed, result.passed)


def test_each_area_must_reach_the_mark_where_the_blueprint_says_so() -> None:
    """14 CFR 61.43(c): failing an area of operation fails the whole."""
    result = _result([*RIGHT[:3], "x"], each_area=True)

    assert (False, ("1 area below the mark",)) == (result.passed, result.failed_by)


def test_a_critical_point_missed_fails_it() -> None:
    """Whatever the number of right answers."""
    result = _result(["x", *RIGHT[1:]], critical=0)

    assert ("1 critical point missed",) == result.failed_by
    assert _result(["x", *RIGHT[1:]]).passed


def test_an_oral_that_ended_early_is_no_pass() -> None:
    """Even with enough right answers."""
    result = _result(RIGHT[:3])

    assert (3, 4, ("1 of 4 questions have no marked answer",)) == (
        result.asked,
        result.drawn,
        result.failed_by,
    )


def test_prose_left_unmarked_does_not_count() -> None:
    """It is neither right nor missed."""
    oral, _, _ = _oral([PROSE])
    _answered(oral, ["it leaks"])
    result = result_of(oral, Examination((Area("A", np.arange(1), 1),), 0.7), [("A",)], [0], [0.5])

    assert (1, 0, ()) == (result.unmarked, result.asked, result.missed)


def test_the_area_of_each_card_drawn() -> None:
    """In the order of the draw."""
    areas = (Area("All", np.arange(4, 10), 2), Area("Fuel", np.arange(4), 1))
    paper = Paper(Examination(areas, 0.7), (("All",), ("Fuel",)), "")

    assert [0, 1, 0] == area_of_each(paper, [7, 0, 9])
