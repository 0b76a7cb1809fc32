"""Many cards at once, against one at a time and against outside programs."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.schedule import DEFAULT, Memory, Parameters, answered, batch, interval, recall_at

VECTORS = json.loads((Path(__file__).parent / "fsrs-vectors.json").read_text())
TUNED = Parameters((*(weight * 1.07 for weight in DEFAULT.weights[:20]), 0.31))

reviews = st.lists(
    st.tuples(st.integers(0, 6), st.integers(739_000, 739_400), st.integers(1, 4)), max_size=60
)


@given(reviews, st.sampled_from([DEFAULT, TUNED]))
@settings(max_examples=80, deadline=None)
def test_batch_and_single_agree(steps: list[tuple[int, int, int]], parameters: Parameters) -> None:
    """Random histories, days out of order too: equal memories within 1e-9, equal days and recalls."""
    cards, days, marks = ([row[at] for row in steps] for at in range(3))
    memories = batch.replay(cards, days, marks, parameters, count=7)

    alone: dict[int, Memory] = {}
    for at, (card, day, mark) in enumerate(steps):
        before = alone.get(card)
        if before is None:
            assert np.isnan(memories.recall_before[at])
        else:
            recall = recall_at(before, day - before.last_day, parameters)
            assert recall == pytest.approx(memories.recall_before[at], rel=1e-9)
        alone[card] = answered(before, mark, day, parameters)
    for card in range(7):
        if card in alone:
            assert alone[card].holds == pytest.approx(memories.holds[card], rel=1e-9)
            assert alone[card].difficulty == pytest.approx(memories.difficulty[card], rel=1e-9)
            assert alone[card].last_day == memories.last_day[card]
        else:
            assert np.isnan(memories.holds[card])
            assert memories.last_day[card] == -1


def test_worked_sequences_in_step() -> None:
    """All worked sequences at once (source in the file), interleaved, give their last values."""
    sequences = list(VECTORS["sequences"].values())
    rows = []
    for card, sequence in enumerate(sequences):
        day = 0
        for at, step in enumerate(sequence):
            day += step["elapsed_days"]
            rows.append((at, card, day, step["rating"]))
    rows.sort()
    memories = batch.replay([row[1] for row in rows], [row[2] for row in rows], [row[3] for row in rows])

    assert [sequence[-1]["stability"] for sequence in sequences] == pytest.approx(memories.holds, rel=1e-12)
    assert [sequence[-1]["difficulty"] for sequence in sequences] == pytest.approx(
        memories.difficulty, rel=1e-12
    )


@given(
    st.lists(st.floats(0.001, 5000), min_size=1, max_size=30),
    st.sampled_from([0.70, 0.90, 0.95, 0.99]),
    st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_intervals_agree(holds: list[float], target: float, critical: bool) -> None:
    """Whole days are the same in batch and single."""
    together = batch.intervals(np.array(holds), target, np.full(len(holds), critical))

    assert [interval(each, target, critical) for each in holds] == together.tolist()


def test_no_reviews() -> None:
    """Nothing to replay leaves every card without a memory."""
    memories = batch.replay([], [], [], count=3)

    assert np.isnan(memories.holds).all()
    assert [-1, -1, -1] == memories.last_day.tolist()


def test_several_parameters_at_once_are_each_alone() -> None:
    """One replay under three sets of parameters gives the three replays."""
    dice = np.random.default_rng(5)
    card, day = dice.integers(0, 20, 200), np.sort(dice.integers(0, 60, 200))
    marks = dice.integers(1, 5, 200)
    sets = [Parameters(tuple(w * scale for w in DEFAULT.weights)) for scale in (0.9, 1.0, 1.1)]
    together = batch.replay(card, day, marks, batch.Several.at_once(sets))

    for at, alone in enumerate(batch.replay(card, day, marks, one) for one in sets):
        np.testing.assert_allclose(together.recall_before[at], alone.recall_before, rtol=1e-12)
        np.testing.assert_allclose(together.holds[at], alone.holds, rtol=1e-12)
