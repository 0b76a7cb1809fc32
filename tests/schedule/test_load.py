"""How many unasked cards a day begins."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recall.schedule import Memory, recall_at
from recall.schedule.load import BACK, BEGIN, LOOK, begun_by_day, first_after, room

FREE = [0] * (LOOK + 1)
DUE = st.lists(st.integers(0, 200), min_size=LOOK + 1, max_size=LOOK + 1)


def test_a_free_day_begins_as_many_as_its_minutes_hold() -> None:
    """Ten minutes at ten seconds an answer: 600 seconds over 21 for a first answer with its repeats."""
    assert 28 == room(10.0, 10.0, FREE)


def test_what_comes_first_leaves_the_rest_of_the_minutes() -> None:
    """Thirty reviews of ten minutes leave 255 seconds; time that is over is gone; an overload begins none."""
    assert 12 == room(10.0, 10.0, [30, *FREE[1:]])
    assert 14 == room(10.0, 10.0, FREE, used=300.0)
    assert 0 == room(10.0, 10.0, [60, *FREE[1:]])


def test_no_more_is_begun_than_the_week_has_time_for() -> None:
    """A week in which each next day's minutes are taken begins none, whatever today has left."""
    assert 0 == room(10.0, 10.0, [0, *[60] * LOOK])


def test_a_card_comes_before_unasked_ones_once_it_is_as_likely_lost_as_kept() -> None:
    """By the forgetting curve: recall is 0.5 then, of a critical card 0.85."""
    kept = [recall_at(Memory(4.0, 5.0, 0), 4.0 * first_after(critical)) for critical in (False, True)]

    assert [0.5, 0.85] == pytest.approx(kept)


@given(st.floats(1.0, 120.0), DUE)
def test_the_days_to_come_keep_within_their_minutes(minutes: float, first: list[int]) -> None:
    """Whatever comes first: where a card is begun, today has time for it besides, and the days after it, taken
    together, for theirs and what comes back."""
    count, day = room(minutes, 12.0, first), 60.0 * minutes
    ahead = [12.0 * 1.15 * some for some in first]

    assert ahead[0] + 12.0 * 2.1 * count <= day + 1e-6 or count == 0
    for last in range(2, LOOK + 2):
        load = sum(ahead[1:last]) + 12.0 * 1.15 * count * sum(BACK[: last - 1])
        assert load <= day * (last - 1) + 1e-6 or count == 0


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
