"""The engine, driven without any terminal: what it puts, how it marks, what it keeps."""

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timezone

import pytest

from recall.answers import answer_from
from recall.base.clock import SetClock
from recall.base.finding import Place
from recall.kinds.model import Card, Draft, Point, make_card
from recall.session.engine import Session
from recall.session.model import Answered, Was
from recall.session.order import Order, Waiting


def _card(
    name: str, answer: str, *, kind: str = "consequence", form: str = "words", critical: bool = False
) -> Card:
    point = Point(kind, ("Fuel",), name, Place("fuel.md", 3), critical=critical)
    return make_card(point, Draft("effect", f"{name}?", answer_from(form, (answer,), {})), "demo")


@dataclass
class _Kept:
    """A store in memory."""

    cards: dict[str, Card]
    kept: dict[str, Answered] = field(default_factory=dict)
    paces: list[float] = field(default_factory=list)
    count: int = 0

    def card(self, card: str) -> Card:
        return self.cards[card]

    def keep(self, answered: Answered) -> str:
        self.count += 1
        self.kept[str(self.count)] = answered
        return str(self.count)

    def take_back(self, event: str) -> None:
        del self.kept[event]

    def pace(self, kind: str) -> Sequence[float]:
        return self.paces

    def knows(self, deck: str, word: str) -> bool:
        return any(word in card.answer.texts[0].casefold().split() for card in self.cards.values())

    def confused_with(self, card: Card, given: str) -> Card | None:
        return next(
            (other for other in self.cards.values() if other.answer.texts == (given,) and other != card), None
        )

    def was(self, card: Card, given: str) -> Was | None:
        return None

    def remark(self, card: Card) -> str:
        return ""


def _session(these: Sequence[Card], **options: object) -> tuple[Session, _Kept, SetClock]:
    clock = SetClock(datetime(2026, 11, 24, 8, tzinfo=timezone.utc))
    reviews = _Kept({card.id: card for card in these})
    waiting = [Waiting(card.id, card.point, card.topic, unasked=True) for card in these]
    session = Session(reviews, Order.of([], waiting), clock, random.Random(1), **options)  # type: ignore[arg-type]
    return session, reviews, clock


TWO = [_card("Pump fails", "pressure falls"), _card("Valve sticks", "tank overflows")]


def test_a_right_answer_is_kept_at_once() -> None:
    """The review is in the store before the next question is put."""
    session, reviews, _ = _session(TWO)
    question = session.ask()
    assert question is not None
    session.answer(question.card.answer.texts[0])

    assert [("sure", True)] == [(kept.mark, kept.right) for kept in reviews.kept.values()]


def test_a_wrong_answer_comes_back_and_the_confusion_is_named() -> None:
    """A missed card returns before the end; the answer of another card is named as such."""
    session, _, _ = _session(TWO)
    first = session.ask()
    assert first is not None
    other = next(card for card in TWO if card.id != first.card.id)
    outcome = session.answer(other.answer.texts[0])
    second = session.ask()
    assert second is not None
    session.answer(second.card.answer.texts[0])
    third = session.ask()
    assert third is not None

    assert (True, other, first.card) == (outcome.returns, outcome.confused, third.card)


def test_a_card_is_put_four_times_at_most() -> None:
    """Missed again and again, a card comes back three times and then rests."""
    session, reviews, _ = _session(TWO[:1])
    while session.ask() is not None:
        session.answer("no idea")

    assert 4 == len(reviews.kept)


@pytest.mark.parametrize(
    ("seconds", "mark"), [(1.0, "instant"), (5.0, "sure"), (40.0, "hesitant")], ids=["quick", "usual", "slow"]
)
def test_the_mark_follows_the_persons_own_pace(seconds: float, mark: str) -> None:
    """The quickest quarter is instant, the slowest hesitant, the rest sure."""
    session, reviews, clock = _session(TWO)
    reviews.paces = [2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0] * 3
    question = session.ask()
    assert question is not None
    clock.advance(seconds)
    session.touched()
    clock.advance(30)

    assert mark == session.answer(question.card.answer.texts[0]).mark


def test_until_twenty_right_answers_a_right_one_is_sure() -> None:
    """Too little is known of the pace to say more."""
    session, reviews, clock = _session(TWO)
    reviews.paces = [2.0] * 19
    question = session.ask()
    assert question is not None
    clock.advance(60)

    assert "sure" == session.answer(question.card.answer.texts[0]).mark


def test_an_overrule_replaces_the_review_and_is_recorded() -> None:
    """One review remains, with the person's mark, recorded as overruled."""
    session, reviews, _ = _session(TWO)
    session.ask()
    session.answer("wrong words")
    outcome = session.overrule("sure")

    assert ("sure", False, [("sure", True, "self")]) == (
        outcome.mark,
        outcome.returns,
        [(kept.mark, kept.overruled, kept.marked_by) for kept in reviews.kept.values()],
    )


def test_an_overrule_upwards_on_a_critical_point_gives_at_most_hesitant() -> None:
    """What must be known without fail isn't talked up, and comes back in the session."""
    session, _reviews, _ = _session([_card("Fire", "handle pull", critical=True)])
    session.ask()
    session.answer("wrong words")
    outcome = session.overrule("instant")

    assert ("hesitant", True, True) == (outcome.mark, outcome.capped, outcome.returns)


def test_an_overrule_downwards_is_always_taken() -> None:
    """A person who guessed may say so."""
    session, reviews, _ = _session([_card("Fire", "handle pull", critical=True)])
    session.ask()
    session.answer("handle pull")
    outcome = session.overrule("missed")

    assert ("missed", True, ["missed"]) == (
        outcome.mark,
        outcome.returns,
        [kept.mark for kept in reviews.kept.values()],
    )


def test_prose_is_marked_by_the_person() -> None:
    """A revealed answer takes the person's own mark, and no typed one."""
    session, reviews, _ = _session([_card("Why", "because of the seal", form="prose")])
    question = session.ask()
    assert question is not None
    with pytest.raises(ValueError, match="judge"):
        session.answer("anything")
    outcome = session.judge("hesitant")

    assert (False, "hesitant", "self") == (
        question.typed,
        outcome.mark,
        next(iter(reviews.kept.values())).marked_by,
    )


def test_undo_takes_the_last_answer_back_and_puts_its_card_next() -> None:
    """Nothing of the answer is left, and the same card is asked again."""
    session, reviews, _ = _session(TWO)
    first = session.ask()
    session.answer("wrong words")
    session.ask()
    undone = session.undo()
    again = session.ask()
    assert first is not None and again is not None

    assert (first.card, first.card, {}) == (undone, again.card, reviews.kept)


def test_undo_goes_back_any_number_of_answers() -> None:
    """Undone to the beginning, the session starts as it began."""
    session, reviews, _ = _session(TWO)
    for _ in range(2):
        session.ask()
        session.answer("wrong words")
    session.undo()
    session.undo()

    assert ({}, None, 2) == (reviews.kept, session.undo(), session.progress().left)


def test_a_session_of_so_many_cards_ends_there() -> None:
    """`cards` counts cards, not answers: a missed one still comes back."""
    cards = [_card(f"Pump {number}", f"answer {number}") for number in range(9)]
    session, reviews, _ = _session(cards, cards=3)
    wrong = True
    while (question := session.ask()) is not None:
        session.answer("wrong words" if wrong else question.card.answer.texts[0])
        wrong = False

    assert (4, 3) == (len(reviews.kept), session.summary().cards)


def test_a_session_of_so_many_minutes_ends_with_the_missed_ones() -> None:
    """When the time is up no further card is begun."""
    cards = [_card(f"Pump {number}", f"answer {number}") for number in range(60)]
    session, reviews, clock = _session(cards, minutes=2)
    while (question := session.ask()) is not None:
        clock.advance(10)
        session.answer(question.card.answer.texts[0])

    assert 12 == len(reviews.kept)


def test_without_a_stopwatch_a_right_answer_is_sure() -> None:
    """Answers read from a file carry no time."""
    session, reviews, _ = _session(TWO, timed=False)
    reviews.paces = [5.0] * 30
    question = session.ask()
    assert question is not None
    session.answer(question.card.answer.texts[0])

    assert [("sure", None)] == [(kept.mark, kept.seconds) for kept in reviews.kept.values()]


def test_the_summary_says_what_was_learned_and_what_was_missed() -> None:
    """Learned: asked for the first time and right in the end; missed: with how it ended."""
    session, _, _ = _session(TWO)
    first = session.ask()
    assert first is not None
    session.answer("wrong words")
    while (question := session.ask()) is not None:
        session.answer(question.card.answer.texts[0])
    summary = session.summary()

    assert (3, 2, ((first.card, True),)) == (summary.answers, summary.right, summary.missed)
    assert {card.id for card in TWO} == {card.id for card in summary.learned}


def test_progress_is_one_figure_and_the_time_left() -> None:
    """So many put, so many to come."""
    session, _, clock = _session(TWO)
    question = session.ask()
    assert question is not None
    before = session.progress()
    clock.advance(6)
    session.answer(question.card.answer.texts[0])

    assert ((0, 2), (1, 1)) == ((before.put, before.left), (session.progress().put, session.progress().left))


def test_progress_counts_just_what_fits_into_the_minutes() -> None:
    """Sixty wait, two minutes hold ten at twelve seconds each."""
    cards = [_card(f"Pump {number}", f"answer {number}") for number in range(60)]
    session, _, _ = _session(cards, minutes=2)
    session.ask()

    assert (0, 10, 120.0) == (
        session.progress().put,
        session.progress().left,
        session.progress().seconds,
    )


def test_an_overruled_answer_stays_wrong_in_the_record() -> None:
    """The mark is the person's, right or wrong comes from the answer."""
    session, reviews, _ = _session(TWO)
    session.ask()
    session.answer("wrong words")
    session.overrule("sure")

    assert [("sure", False)] == [(kept.mark, kept.right) for kept in reviews.kept.values()]


def test_an_answer_taken_back_leaves_the_pace() -> None:
    """Twenty right answers propose marks; with one of them undone there are nineteen again."""
    session, reviews, clock = _session(TWO)
    reviews.paces = [float(number) for number in range(10, 29)]
    marks = []
    for undo in (True, False, False):
        question = session.ask()
        assert question is not None
        clock.advance(1)
        marks.append(session.answer(question.card.answer.texts[0]).mark)
        if undo:
            session.undo()

    assert ["sure", "sure", "instant"] == marks


def test_overruled_up_and_down_again_the_first_mark_stands() -> None:
    """Overruling back to what was proposed is no overrule, and the card doesn't come back twice."""
    session, reviews, _ = _session([_card("Fire", "handle pull", critical=True)])
    session.ask()
    session.answer("handle pull")
    session.overrule("missed")
    outcome = session.overrule("sure")

    assert (False, [("sure", False)], None) == (
        outcome.returns,
        [(kept.mark, kept.overruled) for kept in reviews.kept.values()],
        session.ask(),
    )
