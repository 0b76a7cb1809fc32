"""Days off, as a person writes them."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recall.base.days_off import DaysOff
from recall.base.errors import RecallError

MONDAY = date(2026, 11, 30)


def test_weekdays_dates_and_runs() -> None:
    """Weekdays by three letters or more, single dates, runs with both ends."""
    off = DaysOff.read("Sundays, tue, 2026-12-03..2026-12-04")
    week = [MONDAY + timedelta(days=at) for at in range(7)]

    assert [False, True, False, True, True, False, True] == [day in off for day in week]


@pytest.mark.parametrize(
    "text",
    ["Foo", "2026-02-30", "2026-12-05..2026-12-03", "su", "Mon,Tue,Wed,Thu,Fri,Sat,Sun", "2026-12-01.."],
)
def test_what_is_no_day_is_refused(text: str) -> None:
    """Neither weekday nor date, a run that falls, and a week of nothing else."""
    with pytest.raises(RecallError):
        DaysOff.read(text)


@given(
    st.frozensets(st.integers(0, 6), max_size=6),
    st.lists(st.tuples(st.dates(date(2026, 1, 1), date(2030, 1, 1)), st.integers(0, 30)), max_size=4),
)
def test_it_reads_what_it_writes(weekdays: frozenset[int], runs: list[tuple[date, int]]) -> None:
    """Its text is read as the same days."""
    off = DaysOff(weekdays, tuple(sorted((first, first + timedelta(days=more)) for first, more in runs)))

    assert off == DaysOff.read(str(off))
