"""One answer at a time, against outside values and outside programs."""

import json
import math
from datetime import date
from pathlib import Path

import fsrs
import fsrs_rs_python
import pytest
from fsrs.scheduler import DEFAULT_PARAMETERS
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.base.errors import RecallError
from recall.schedule import DEFAULT, Memory, Parameters, answered, check, due_day, interval, recall_at

VECTORS = json.loads((Path(__file__).parent / "fsrs-vectors.json").read_text())
START = date(2026, 3, 1).toordinal()

histories = st.lists(st.tuples(st.integers(1, 4), st.integers(0, 200)), min_size=1, max_size=12)


def life(steps: list[tuple[int, int]], parameters: Parameters = DEFAULT) -> list[Memory]:
    """The memory after each (mark, days since the last)."""
    memories: list[Memory] = []
    day = START
    for mark, elapsed in steps:
        day += elapsed if memories else 0
        memories.append(answered(memories[-1] if memories else None, mark, day, parameters))
    return memories


@pytest.mark.parametrize("name", VECTORS["sequences"])
def test_worked_sequences(name: str) -> None:
    """Holds, difficulty, recall before and interval follow the worked sequences (source in the file)."""
    rows = VECTORS["sequences"][name]
    memories = life([(row["rating"], row["elapsed_days"]) for row in rows])

    for before, row, memory in zip([None, *memories], rows, memories, strict=False):
        assert row["stability"] == pytest.approx(memory.holds, rel=1e-12)
        assert row["difficulty"] == pytest.approx(memory.difficulty, rel=1e-12)
        assert min(row["interval_days"], 365) == interval(memory.holds, 0.90, critical=False)
        if before is not None:
            assert row["R_before"] == pytest.approx(recall_at(before, row["elapsed_days"]), rel=1e-12)


def test_default_parameters_are_the_librarys() -> None:
    """The defaults written out are those of the `fsrs` package."""

    assert tuple(DEFAULT_PARAMETERS) == DEFAULT.weights
    assert tuple(VECTORS["parameters"]) == DEFAULT.weights


@pytest.mark.parametrize(
    ("elapsed", "expected"),
    [
        (1, 0.98568241),
        (5, 0.94034429),
        (10, 0.9),
        (20, 0.84588465),
        (50, 0.76052756),
        (100, 0.69282663),
        (365, 0.57355867),
    ],
)
def test_recall_table(elapsed: int, expected: float) -> None:
    """Recall of a card that holds 10 days (values from fsrs 6.3.2)."""

    assert expected == pytest.approx(recall_at(Memory(10.0, 5.0, START), elapsed), abs=5e-9)


@pytest.mark.parametrize(
    ("target", "expected"), [(0.70, 93), (0.80, 33), (0.85, 19), (0.90, 10), (0.95, 4), (0.97, 2)]
)
def test_interval_table(target: float, expected: int) -> None:
    """Intervals of a card that holds 10 days (fsrs 6.3.2, ts-fsrs 5.4.2 and fsrs-rs-python 0.9.3 give the same)."""

    assert expected == interval(10.0, target, critical=False)


def test_recall_counts_hours() -> None:
    """Recall falls within a day, between the recalls of whole days."""
    memory = Memory(1.0, 5.0, START)

    assert recall_at(memory, 0) > recall_at(memory, 0.25) > recall_at(memory, 1)
    assert recall_at(memory, -1) == recall_at(memory, 0) == 1.0


def test_longest_intervals() -> None:
    """A card is due after 365 days at the latest, a critical one after 180."""
    memory = Memory(5000.0, 2.0, START)

    assert START + 365 == due_day(memory, 0.90, critical=False)
    assert START + 180 == due_day(memory, 0.90, critical=True)


def test_shortest_interval() -> None:
    """A card is due on the next day at the earliest."""

    assert START + 1 == due_day(Memory(0.001, 9.0, START), 0.99, critical=True)


def test_half_days_go_up() -> None:
    """Half a day goes up, where rounding to even would go down."""

    assert 3 == interval(2.5, 0.90, critical=False)
    assert 5 == interval(4.5, 0.90, critical=False)


@pytest.mark.parametrize("target", [0.0, 0.69, 0.995, 1.0, 1.5, math.nan])
def test_target_out_of_range(target: float) -> None:
    """A target that the library would take in silence is refused."""

    with pytest.raises(RecallError, match="target recall"):
        interval(10.0, target, critical=False)


@pytest.mark.parametrize("mark", [0, 5, -1])
def test_unknown_mark(mark: int) -> None:
    """A mark outside 1 to 4 is refused."""

    with pytest.raises(RecallError, match="no mark"):
        answered(None, mark, START)


def test_unusable_parameters() -> None:
    """Parameters of a wrong number, or out of the library's bounds, are refused."""

    with pytest.raises(RecallError, match="21 finite numbers"):
        Parameters((1.0,) * 19)
    with pytest.raises(RecallError, match="out of bounds"):
        check(Parameters((*DEFAULT.weights[:20], 0.95)))


def test_day_before_the_last() -> None:
    """An answer dated before the last one counts on the last one's day."""
    first = answered(None, 3, START)

    assert answered(first, 3, START) == answered(first, 3, START - 40)


@given(histories)
@settings(max_examples=60, deadline=None)
def test_against_the_librarys_own_life(steps: list[tuple[int, int]]) -> None:
    """Going on from a stored memory equals one life of the library's own card."""
    scheduler = fsrs.Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = fsrs.Card(card_id=1)
    from recall.schedule.single import _noon

    day = START
    for at, (mark, elapsed) in enumerate(steps):
        day += elapsed if at else 0
        card, _ = scheduler.review_card(card, fsrs.Rating(mark), _noon(day))
    memory = life(steps)[-1]

    assert (card.stability, card.difficulty) == (memory.holds, memory.difficulty)


@given(histories)
@settings(max_examples=60, deadline=None)
def test_against_fsrs_rs(steps: list[tuple[int, int]]) -> None:
    """Memories agree with `fsrs-rs-python` (float32) on random histories."""
    reviews = [
        fsrs_rs_python.FSRSReview(mark, elapsed if at else 0) for at, (mark, elapsed) in enumerate(steps)
    ]
    outside = fsrs_rs_python.FSRS(list(DEFAULT.weights)).memory_state(fsrs_rs_python.FSRSItem(reviews))
    memory = life(steps)[-1]

    assert outside.stability == pytest.approx(min(memory.holds, 36500), rel=1e-4)
    assert outside.difficulty == pytest.approx(memory.difficulty, rel=1e-4)
