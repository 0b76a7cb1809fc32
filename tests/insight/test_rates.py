"""Intervals against published ones: Newcombe 1998, Statistics in Medicine 17:857, table I, method 3."""

import pytest

from recall.insight.rates import wilson


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_as_newcombe_gives_it(hits: int, of: int, low: float, high: float) -> None:
    """The interval is the published one to its four places."""
    found = wilson(hits, of)

    assert (low, high) == (round(found[0], 4), round(found[1], 4))


def test_nothing_counted_says_nothing() -> None:
    """No answers: anything is possible."""
    assert (0.0, 1.0) == wilson(0, 0)


def test_an_interval_mirrors() -> None:
    """The interval of misses is that of hits turned round."""
    hits, misses = wilson(7, 30), wilson(23, 30)

    assert hits == pytest.approx((1 - misses[1], 1 - misses[0]))
