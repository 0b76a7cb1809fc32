"""What answers leave behind: memory, due day, standing, undo."""

from datetime import date, timedelta

import pytest
from store_kit import answer, card_of, deck, known_of

from recall.base.clock import SetClock
from recall.base.errors import RecallError
from recall.schedule import answered, due_day
from recall.store import Review, Store
from recall.store.events import LONGEST_TEXT
from recall.store.query import USUAL_SECONDS

DAY = date(2026, 3, 1)
A_DAY = 86_400.0


@pytest.fixture(autouse=True)
def loaded(store: Store) -> None:
    """Three cards, one critical."""
    store.load(deck({"Battery": "24 V", "Pump": "on", "Tank": "full"}, critical=frozenset({"Tank"})))


def test_memory_is_the_schedules(store: Store, clock: SetClock) -> None:
    """Two answers leave the memory that the schedule computes, and its due day."""
    answer(store, "Battery", 3)
    clock.advance(3 * A_DAY)
    answer(store, "Battery", 2)

    expected = answered(answered(None, 3, DAY.toordinal()), 2, DAY.toordinal() + 3)
    known = known_of(store, "Battery")
    assert expected == known.memory
    assert known.due is not None
    assert due_day(expected, 0.90, critical=False) == known.due.toordinal()


def test_critical_cards_are_due_sooner(store: Store) -> None:
    """The same answer on a critical card is due earlier."""
    answer(store, "Battery", 4)
    answer(store, "Tank", 4)

    ordinary, critical = known_of(store, "Battery"), known_of(store, "Tank")
    assert ordinary.memory == critical.memory
    assert ordinary.due is not None and critical.due is not None
    assert critical.due < ordinary.due


def test_standings(store: Store, clock: SetClock) -> None:
    """Unasked, initial, current, requalifying and current again."""
    seen = [known_of(store, "Battery").standing]
    for mark, days in [(1, 0), (3, 0), (1, 1), (3, 1), (1, 4), (3, 1)]:
        clock.advance(days * A_DAY)
        answer(store, "Battery", mark)
        seen.append(known_of(store, "Battery").standing)

    assert ["unasked", "initial", "initial", "initial", "current", "requalifying", "current"] == seen


def test_first_answers_of_a_day(store: Store, clock: SetClock) -> None:
    """Asked and right count a card's first answer of each day."""
    for mark in (1, 3, 3):
        answer(store, "Pump", mark)
    clock.advance(A_DAY)
    answer(store, "Pump", 3)

    known = known_of(store, "Pump")
    assert (2, 1) == (known.asked, known.right)
    assert known.first_day == DAY


def test_due_then_unasked(store: Store, clock: SetClock) -> None:
    """The longest due comes first; the unasked ones are in the order of the notes."""
    answer(store, "Pump", 4)
    answer(store, "Battery", 1)
    clock.advance(20 * A_DAY)

    due = [store.card(known.id).subject for known in store.due_cards(store.today())]
    assert ["Battery", "Pump"] == due
    assert ["Tank"] == [store.card(known.id).subject for known in store.unasked_cards()]


def test_limits_and_topics(store: Store) -> None:
    """Cards can be picked by number, topic, kind and deck."""
    store.load(deck({"Fuel / Cock / Lever": "open", "Fuel / Gauge": "even"}, slug="fuel"))

    assert 1 == len(store.unasked_cards(1))
    assert {"Lever", "Gauge"} == {store.card(card.id).subject for card in store.unasked_cards(topic="fuel")}
    assert ["Lever"] == [store.card(card.id).subject for card in store.unasked_cards(topic="Fuel / Cock")]
    assert [] == store.unasked_cards(topic="Cock / Fuel")
    assert 2 == len(store.unasked_cards(decks=["fuel"]))
    assert [] == store.unasked_cards(kind="limit")
    assert [] == store.unasked_cards(0)


def test_undo_newest(store: Store, clock: SetClock) -> None:
    """Undo takes back the newest review that isn't undone yet, then the one before."""
    before = known_of(store, "Battery")
    answer(store, "Battery", 3)
    once = known_of(store, "Battery")
    clock.advance(A_DAY)
    answer(store, "Battery", 1)

    assert once == store.undo()
    assert before == store.undo()
    with pytest.raises(RecallError, match="no review"):
        store.undo()


def test_undo_by_id_is_final(store: Store) -> None:
    """Undoing one review twice is once; the others stay."""
    first = answer(store, "Battery", 1)
    answer(store, "Battery", 3)
    store.undo(first)
    events = store.one("SELECT count(*) FROM event")

    assert 1 == known_of(store, "Battery").right
    assert store.undo(first[-8:]) == known_of(store, "Battery")
    assert events == store.one("SELECT count(*) FROM event")


def test_unknown_undo(store: Store) -> None:
    """An id that names no review is refused."""
    with pytest.raises(RecallError, match="no review whose id ends in"):
        store.undo("beef")


def test_unknown_card(store: Store) -> None:
    """An answer to a card that the store doesn't know is refused, and nothing is written."""
    with pytest.raises(RecallError, match="no card"):
        store.record(Review("0" * 20, "1" * 20, 3))

    assert 0 == store.one("SELECT count(*) FROM event WHERE type = 'reviewed'")


def test_answer_to_an_old_wording(store: Store) -> None:
    """An answer that was marked against another answer is history only."""
    store.record(Review(card_of(store, "Battery"), "f" * 20, 3))

    known = known_of(store, "Battery")
    assert known.memory is None
    assert 0 == known.asked


def test_confusions(store: Store) -> None:
    """A wrong answer that is another card's right one is a confusion, until undone."""
    answer(store, "Battery", 1, given="ON")
    answer(store, "Battery", 1, given="on.")

    (found,) = store.confusions()
    assert (card_of(store, "Battery"), card_of(store, "Pump"), 2) == (found.card, found.other, found.times)
    store.undo()
    assert 1 == store.confusions()[0].times
    store.undo()
    assert [] == store.confusions()


def test_pace(store: Store) -> None:
    """Times of right answers by kind, newest first, with the letters of the question; others don't count."""
    answer(store, "Battery", 3, seconds=3.0)
    answer(store, "Pump", 1, seconds=9.0)
    answer(store, "Tank", 3, seconds=2.0)
    answer(store, "Pump", 3, seconds=7.0)
    store.undo()

    assert {"setting": [(2.0, len("Tank?")), (3.0, len("Battery?"))]} == store.pace()


def test_load_ahead(store: Store, clock: SetClock) -> None:
    """Overdue, due and unasked cards of the next days, with the day's allowance."""
    store.set("unasked", "1")
    answer(store, "Battery", 3)
    today = store.due_by_day(4)
    clock.advance(3 * A_DAY)
    later = store.due_by_day(2)

    assert [0, 0, 1, 0] == [day.due for day in today]
    assert [0, 1, 1, 0] == [day.unasked for day in today]
    assert (1, 0, 1) == (later[0].overdue, later[0].due, later[0].unasked)
    assert DAY + timedelta(days=3) == later[0].date
    assert 0 == store.unasked_left_today() - 1


def test_what_was_missed_today_is_due_today_until_it_is_right(store: Store) -> None:
    """The next sitting asks it, whatever its memory says of tomorrow."""
    counts = [store.due_by_day(1)[0].due]
    for mark in (1, 1, 3):
        answer(store, "Battery", mark)
        counts.append(store.due_by_day(1)[0].due)

    assert [0, 1, 1, 0] == counts


def test_a_day_off_leaves_its_load_to_the_next(store: Store, clock: SetClock) -> None:
    """Nothing is due on it, and nothing begins; today is as the person wishes."""
    store.set("unasked", "1")
    answer(store, "Battery", 3)
    store.set("days_off", f"{DAY}, {DAY + timedelta(days=1)}..{DAY + timedelta(days=2)}")
    days = store.due_by_day(4)

    assert [0, 0, 0, 1] == [day.due for day in days]
    assert [0, 0, 0, 1] == [day.unasked for day in days]
    assert [0.0, 0.0] == [day.minutes for day in days[1:3]]


def test_target_moves_due_days_only(store: Store) -> None:
    """Another target recall moves the due day and leaves the memory."""
    answer(store, "Battery", 4)
    before = known_of(store, "Battery")
    store.set("target", "0.8")
    after = known_of(store, "Battery")

    assert before.memory == after.memory
    assert before.due is not None and after.due is not None
    assert before.due < after.due


def test_aircraft(store: Store) -> None:
    """A card for another aircraft isn't asked; with no aircraft set, all are."""
    store.load(deck({"Vent": "shut", "Valve": "open"}, slug="b", applies={"Vent": "101–120", "Valve": "121"}))
    store.set("aircraft", "104")

    assert ["Vent"] == [store.card(card.id).subject for card in store.unasked_cards(decks=["b"])]
    store.set("aircraft", "")
    assert 2 == len(store.unasked_cards(decks=["b"]))


@pytest.mark.parametrize(
    ("timed", "expected"), [(3.0, 14.0), (None, USUAL_SECONDS)], ids=["terminal", "pipe"]
)
def test_usual_seconds_are_those_of_a_terminal(
    store: Store, clock: SetClock, timed: float | None, expected: float
) -> None:
    """From one answer to the next, where times were measured; answers from a pipe tell nothing."""
    for _ in range(12):
        clock.advance(14)
        answer(store, "Pump", seconds=timed)

    assert expected == store.usual_seconds()


def test_remarks(store: Store) -> None:
    """The last remark stands; an empty one takes it away."""
    card = card_of(store, "Pump")
    store.remark(card[:8], "left of the panel")
    assert "left of the panel" == store.remark_on(card)
    store.remark(card, "")
    assert "" == store.remark_on(card)


def test_settings(store: Store) -> None:
    """The last value of a setting wins; a wrong one is refused and nothing is written."""
    store.set("turn", "5")
    store.set("turn", "4")
    with pytest.raises(RecallError):
        store.set("turn", "30")

    assert 4 == store.settings().turn


def test_a_setting_is_no_longer_than_the_gate_lets_through(store: Store) -> None:
    """Too long a one is refused, or no other device would take this store in."""
    store.set("aircraft", "x" * LONGEST_TEXT)
    with pytest.raises(RecallError, match="at most"):
        store.set("aircraft", "x" * (LONGEST_TEXT + 1))
