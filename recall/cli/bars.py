"""Shares over time as rows of bars, for a terminal."""

import sys
from collections.abc import Iterator, Sequence
from math import ceil, floor

from recall.base.text import percent

BARS, PLAIN = "▁▂▃▄▅▆▇█", ".:-=+*%#"
"""From the lowest to the highest; the second where the output can't show the first."""
_MOST = 64


def bars(shares: Sequence[float], low: float = 0.0, high: float = 1.0) -> str:
    """A bar a share, by where it stands between two ends."""
    try:
        BARS.encode(sys.stdout.encoding or "ascii")
        signs = BARS
    except (UnicodeEncodeError, LookupError):
        signs = PLAIN
    steps = (int((share - low) / (high - low) * len(signs)) for share in shares)
    return "".join(signs[min(max(step, 0), len(signs) - 1)] for step in steps)


def picture(lines: Sequence[tuple[str, Sequence[float]]], ends: tuple[str, str], width: int) -> Iterator[str]:
    """Lines over time under one another, on one scale. lines: each a name with shares at equal steps; ends: what
    stands below the first and the last."""
    wide = max(len(name) for name, _ in lines) + 1
    across = max(20, min(width - wide - 6, _MOST))
    shares = [share for _, own in lines for share in own]
    high = min(1.0, ceil(max(shares) * 10 + 1e-9) / 10)
    low = min(floor(min(shares) * 10) / 10, high - 0.1)
    for name, own in lines:
        places = [_at(own, column / (across - 1)) for column in range(across)]
        yield f"{name:<{wide}}{bars(places, low, high)}{percent(own[-1]):>6}"
    left, right = ends
    yield " " * wide + left + right.rjust(across - len(left))
    yield f"The lowest bar is {percent(low)}, the highest {percent(high)}."


def _at(shares: Sequence[float], part: float) -> float:
    """The share at a part of the way, between two steps in proportion."""
    place = part * (len(shares) - 1)
    low, high = floor(place), min(floor(place) + 1, len(shares) - 1)
    return shares[low] + (shares[high] - shares[low]) * (place - low)
