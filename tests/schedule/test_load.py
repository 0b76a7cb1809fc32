"""How many unasked cards a day begins."""

from hypothesis import given
from hypothesis import strategies as st

from recall.schedule.load import BACK, BEGIN, LOOK, begun_by_day, first_reviews, room

FREE = [0] * (LOOK + 1)
DUE = st.lists(st.integers(0, 200), min_size=LOOK + 1, max_size=LOOK + 1)


def test_a_free_day_begins_as_many_as_its_minutes_hold() -> None:
    """Ten minutes at ten seconds an answer: 600 seconds over 21 for a first answer with its repeats."""
    assert 28 == room(10.0, 10.0, FREE)


def test_what_is_due_comes_first() -> None:
    """It has a tenth of the minutes while cards wait to be begun, all of them else; time that is over is gone."""
    assert 25 == room(10.0, 10.0, [53, *FREE[1:]])
    assert 14 == room(10.0, 10.0, FREE, used=300.0)
    assert (5, 53, 3) == (
        first_reviews(10.0, 10.0, 53, 100),
        first_reviews(10.0, 10.0, 53, 0),
        first_reviews(10.0, 10.0, 3, 100),
    )


@given(st.floats(1.0, 120.0), DUE)
def test_the_days_to_come_keep_within_their_minutes(minutes: float, due: list[int]) -> None:
    """Whatever is due: where a card is begun, today has time for it after a tenth of what is due, and the days after
    it, taken together, for that of theirs and what comes back."""
    count, day = room(minutes, 12.0, due), 60.0 * minutes
    ahead = [min(12.0 * 1.15 * some, 0.1 * day) for some in due]

    assert ahead[0] + 12.0 * 2.1 * count <= day + 1e-6 or count == 0
    for last in range(2, LOOK + 2):
        load = sum(ahead[1:last]) + 12.0 * 1.15 * count * sum(BACK[: last - 1])
        assert load <= day * (last - 1) + 1e-6


@given(st.floats(1.0, 60.0), st.integers(0, 500), st.integers(0, 40))
def test_days_begin_no_more_than_there_are_and_may(minutes: float, unasked: int, most: int) -> None:
    """Over weeks no more cards are begun than there are, on no day more than the most that is set, and today's that
    are begun already count."""
    days = begun_by_day(minutes, 12.0, [0] * (30 + LOOK), unasked, most, begun=3)

    assert 30 == len(days)
    assert sum(days) <= unasked
    assert max(days) <= most
    assert days[0] <= max(0, most - 3)


def test_the_minutes_rule_settles() -> None:
    """A deck without end: each day goes on beginning some, and never more than a free day would."""
    days = begun_by_day(20.0, 12.0, [0] * (40 + LOOK), 10**6, 500)

    assert int(1200 / (12 * BEGIN)) == days[0]
    assert 0 < min(days[10:]) <= max(days) == days[0]
