"""Days at home: the turn at 03:00, daylight saving, travel over the date line, clocks set back."""

from datetime import date, datetime, timedelta, timezone
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_kit import answer, deck, knowledge, known_of

from recall.base.clock import SetClock, day_of
from recall.store import Store

FACTS = {"Battery": "24 V", "Pump": "on"}
ZONES = (
    "Pacific/Auckland",
    "Pacific/Kiritimati",
    "Pacific/Pago_Pago",
    "Atlantic/Reykjavik",
    "America/St_Johns",
)


@pytest.mark.parametrize(
    ("zone", "moment", "expected"),
    [
        ("UTC", "2026-03-02T02:59:59", "2026-03-01"),
        ("UTC", "2026-03-02T03:00:00", "2026-03-02"),
        ("Pacific/Kiritimati", "2026-03-01T12:59:59", "2026-03-01"),
        ("Pacific/Kiritimati", "2026-03-01T13:00:00", "2026-03-02"),
        ("Pacific/Pago_Pago", "2026-03-01T13:59:59", "2026-02-28"),
        ("Pacific/Pago_Pago", "2026-03-01T14:00:00", "2026-03-01"),
    ],
)
def test_turn_of_the_day(store: Store, clock: SetClock, zone: str, moment: str, expected: str) -> None:
    """The day turns at 03:00 at home, on both sides of the date line (offsets +14 and -11)."""
    store.set("zone", zone)
    clock.at = datetime.fromisoformat(moment).replace(tzinfo=timezone.utc)

    assert date.fromisoformat(expected) == store.today()


@pytest.mark.parametrize(
    ("zone", "moment"),
    [("America/Halifax", "1970-01-01T00:00:00"), ("Pacific/Auckland", "2199-12-31T23:00:00")],
)
def test_the_first_and_the_last_day(
    tmp_path: Path, store: Store, clock: SetClock, zone: str, moment: str
) -> None:
    """What is answered while a clock stands at either end of time passes the gate, wherever home is."""
    clock.at = datetime.fromisoformat(moment).replace(tzinfo=timezone.utc)
    store.set("zone", zone)
    store.load(deck({"Battery": "24 V"}))
    answer(store, "Battery")
    with Store.open(tmp_path / "other.db", clock) as other:
        other.merge([store.path], same_person=True)

        assert knowledge(store) == knowledge(other)


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/St_Johns", "Europe/Lisbon"])
def test_daylight_saving(zone: str) -> None:
    """Over a year with its two changes of clocks, days follow one another, each of 23 to 25 hours."""
    home = ZoneInfo(zone)
    start = datetime(2026, 1, 1, 12, 0, tzinfo=timezone.utc)
    days = [day_of(start + timedelta(minutes=30 * at), home) for at in range(2 * 24 * 365)]
    lengths = {day: days.count(day) / 2 for day in sorted(set(days))[1:-1]}

    assert all(later - earlier in (timedelta(0), timedelta(days=1)) for earlier, later in pairwise(days))
    assert {23.0, 24.0, 25.0} == set(lengths.values())


def test_setting_the_turn(store: Store, clock: SetClock) -> None:
    """The hour of the turn is a setting."""
    store.set("turn", "0")
    clock.at = datetime(2026, 3, 2, 0, 0, tzinfo=timezone.utc)

    assert date(2026, 3, 2) == store.today()


def test_never_due_twice_on_a_day_by_travel(store: Store, clock: SetClock) -> None:
    """Answered at home in the east; with a home in the west the day begins anew, and the card isn't due again."""
    store.load(deck(FACTS))
    store.set("zone", "Pacific/Kiritimati")
    clock.at = datetime(2026, 3, 1, 20, 0, tzinfo=timezone.utc)
    answer(store, "Battery", 1)
    first = store.today()
    store.set("zone", "Pacific/Pago_Pago")
    clock.advance(3600)
    second = store.today()
    due = {card.id for card in store.due_cards(second)}
    clock.advance(86_400)

    assert second < first
    assert known_of(store, "Battery").id not in due
    assert known_of(store, "Battery").id not in {card.id for card in store.due_cards(store.today())}


def test_day_is_fixed_when_answered(store: Store, clock: SetClock) -> None:
    """Another home zone later doesn't move the days of earlier answers."""
    store.load(deck(FACTS))
    clock.at = datetime(2026, 3, 2, 1, 0, tzinfo=timezone.utc)
    answer(store, "Battery")
    before = known_of(store, "Battery")
    store.set("zone", "Pacific/Auckland")

    assert before == known_of(store, "Battery")
    assert () == store.doctor().mended
    assert before.first_day == date(2026, 3, 1)


def test_review_before_the_last(store: Store, clock: SetClock) -> None:
    """With the clock set back, an answer counts on the day of the last one; nothing is lost."""
    store.load(deck(FACTS))
    answer(store, "Battery")
    clock.at -= timedelta(days=40)
    with Store.open(store.path, clock) as back:
        answer(back, "Battery")

        known = known_of(back, "Battery")
        assert known.memory is not None
        assert 2 == len([entry for entry in back.history(known.id) if entry.what == "reviewed"])
        assert known.due is not None and known.due > date(2026, 3, 1)
        assert () == back.doctor().mended


@given(
    st.lists(
        st.tuples(st.sampled_from(ZONES), st.integers(-40, 60), st.integers(1, 4)), min_size=1, max_size=8
    )
)
@settings(max_examples=15, deadline=None)
def test_any_journey(tmp_path_factory: pytest.TempPathFactory, journey: list[tuple[str, int, int]]) -> None:
    """Whatever the zones and the jumps of the clock, no answer is lost and the derived is what the events say."""
    clock = SetClock(datetime(2026, 6, 1, 12, tzinfo=timezone.utc))
    path = tmp_path_factory.mktemp("journey") / "recall.db"
    with Store.open(path, clock) as store:
        store.load(deck(FACTS))
    for zone, hours, mark in journey:
        clock.at += timedelta(hours=hours)
        with Store.open(path, clock) as store:
            store.set("zone", zone)
            answer(store, "Battery", mark)
            last = known_of(store, "Battery")

            assert last.memory is not None and last.due is not None
            assert last.memory.last_day < last.due.toordinal()
    with Store.open(path, clock) as store:
        assert len(journey) == sum(entry.what == "reviewed" for entry in store.history(last.id))
        assert () == store.doctor().mended
