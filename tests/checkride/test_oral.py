"""The draw for a mock oral."""

from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.checkride.oral import draw, shares

AREAS = ((range(10), 4), (range(10, 40), 6))


def test_draw_follows_the_blueprint() -> None:
    """Each area gives its number of questions, each card once."""
    drawn = draw(AREAS, Random(1))

    assert 10 == len(set(drawn))
    assert 4 == sum(card < 10 for card in drawn)


def test_each_draw_is_its_own() -> None:
    """Other random numbers give another draw; the same ones give the same."""
    assert draw(AREAS, Random(1)) == draw(AREAS, Random(1))
    assert draw(AREAS, Random(1)) != draw(AREAS, Random(2))


def test_areas_are_mixed() -> None:
    """Areas don't follow one another in blocks."""
    drawn = draw(AREAS, Random(3))

    assert sorted(drawn, key=lambda card: card >= 10) != drawn


def test_cards_of_an_area_are_drawn_alike() -> None:
    """In 2,000 draws each card of an area is drawn about as often as any other (chi-square, 99.9 %)."""
    rng, counts = Random(5), np.zeros(40)
    for _ in range(2000):
        counts[draw(AREAS, rng)] += 1

    assert float(((counts[:10] - 800) ** 2 / 800).sum()) < 27.9  # 9 degrees of freedom
    assert float(((counts[10:] - 400) ** 2 / 400).sum()) < 58.3  # 29


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(st.text(max_size=3), st.integers(0, 50), max_size=8), st.integers(0, 100))
def test_shares_add_up_and_fit(sizes: dict[str, int], questions: int) -> None:
    """Questions spread over topics add up to what there is, none over a topic's cards, and near proportion."""
    spread = shares(sizes, questions, sizes)
    total = sum(sizes.values())

    assert min(questions, total) == sum(spread.values())
    assert all(0 <= spread[topic] <= sizes[topic] for topic in sizes)
    assert all(abs(spread[t] - min(questions, total) * sizes[t] / total) < 1 for t in sizes if total)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 20)), max_size=6), st.integers(0, 150))
def test_shares_keep_their_weights_until_a_topic_is_full(
    topics: list[tuple[int, int]], questions: int
) -> None:
    """All questions are placed while there is room, and of topics that aren't full the heavier has no fewer."""
    weights = {str(at): weight for at, (weight, _) in enumerate(topics)}
    most = {str(at): cards for at, (_, cards) in enumerate(topics)}
    spread = shares(weights, questions, most)
    free = [topic for topic in spread if spread[topic] < most[topic]]

    assert min(questions, sum(most[topic] for topic in weights if weights[topic])) == sum(spread.values())
    assert all(0 <= spread[topic] <= most[topic] for topic in spread)
    assert all(spread[a] >= spread[b] for a in free for b in free if weights[a] > weights[b])


def test_shares_beyond_a_topics_cards_go_to_the_others() -> None:
    """Ten and ten questions of 100 and 12 cards: thirty are 18 and 12, one more than twenty is 11 and 10."""
    weights, most = {"A": 10, "B": 10}, {"A": 100, "B": 12}

    assert {"A": 18, "B": 12} == shares(weights, 30, most)
    assert {"A": 11, "B": 10} == shares(weights, 21, most)
