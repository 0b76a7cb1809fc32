"""The draw for a mock oral."""

from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.checkride.odds import Area, Examination
from recall.checkride.oral import draw, shares

AREAS = (Area("Fuel", np.arange(10), 4), Area("Oil", np.arange(10, 40), 6))


def test_draw_follows_the_blueprint() -> None:
    """Each area gives its number of questions, each card once."""
    drawn = draw(Examination(AREAS, 0.7), Random(1))

    assert 10 == len(set(drawn))
    assert 4 == sum(card < 10 for card in drawn)


def test_each_draw_is_its_own() -> None:
    """Other random numbers give another draw; the same ones give the same."""
    examination = Examination(AREAS, 0.7)

    assert draw(examination, Random(1)) == draw(examination, Random(1))
    assert draw(examination, Random(1)) != draw(examination, Random(2))


def test_areas_are_mixed() -> None:
    """Areas don't follow one another in blocks."""
    drawn = draw(Examination(AREAS, 0.7), Random(3))

    assert sorted(drawn, key=lambda card: card >= 10) != drawn


def test_a_card_in_two_areas_is_asked_once() -> None:
    """Overlapping areas still give as many different cards as they ask."""
    overlapping = (Area("Fuel", np.arange(4), 4), Area("All", np.arange(10), 6))

    assert 10 == len(set(draw(Examination(overlapping, 0.7), Random(0))))


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(st.text(max_size=3), st.integers(0, 50), max_size=8), st.integers(0, 100))
def test_shares_add_up_and_fit(sizes: dict[str, int], questions: int) -> None:
    """Questions spread over topics add up to what there is, none over a topic's cards, and near proportion."""
    spread = shares(sizes, questions)
    total = sum(sizes.values())

    assert min(questions, total) == sum(spread.values())
    assert all(0 <= spread[topic] <= sizes[topic] for topic in sizes)
    assert all(abs(spread[t] - min(questions, total) * sizes[t] / total) < 1 for t in sizes if total)
