"""What the store knows, as topics count it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from store_kit import MORNING, answer, deck

from recall.base.clock import SetClock
from recall.insight.known import topics_of
from recall.insight.weak import TopicRecord
from recall.store import Store


@pytest.fixture
def clock() -> SetClock:
    """1 March 2026, 09:00 UTC."""
    return SetClock(MORNING)


@pytest.fixture
def store(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """Two cards of one topic."""
    with Store.open(tmp_path / "recall.db", clock) as opened:
        opened.load(deck({"Fuel / Boost pump": "on", "Fuel / Crossfeed": "shut"}))
        yield opened


def _fuel(store: Store) -> TopicRecord:
    (fuel,) = topics_of(store)
    return fuel


def test_recall_is_that_of_tomorrow_morning(store: Store, clock: SetClock) -> None:
    """Answered at 21:00, it is told for 09:00 the next day: half a day on the curve of FSRS-6 for a first answer
    marked sure (its published defaults: holds 2.3065 days, decay 0.1542), whatever the hour of asking."""
    clock.advance(12 * 3600)
    answer(store, "Boost pump")
    told = [_fuel(store).recall]
    clock.advance(3600)
    told.append(_fuel(store).recall)
    expected = (1 + (0.9 ** (-1 / 0.1542) - 1) * 0.5 / 2.3065) ** -0.1542

    assert [expected, expected] == pytest.approx(told, abs=1e-9)


def test_a_cards_first_answer_each_day_counts(store: Store, clock: SetClock) -> None:
    """Repeats of the day don't, an undone first answer leaves its place to the next one."""
    for mark in (1, 3, 3):
        answer(store, "Boost pump", mark)
    clock.advance(86400)
    undone = answer(store, "Boost pump", 1)
    answer(store, "Boost pump", 3)
    store.undo(undone)
    fuel = _fuel(store)

    assert (2, 1, 2, 0.5) == (fuel.cards, fuel.asked, fuel.answers, fuel.accuracy)
