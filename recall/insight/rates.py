"""Rates with their intervals."""

import math

Z95 = 1.959963984540054


def wilson(hits: int, of: int) -> tuple[float, float]:
    """95 % interval of a proportion: the score interval (Wilson 1927; Newcombe 1998, Statistics in Medicine 17:857,
    method 3). hits of `of`; (0, 1) where nothing was counted."""
    if of == 0:
        return 0.0, 1.0
    share = hits / of
    square = Z95 * Z95
    middle = share + square / (2 * of)
    spread = Z95 * math.sqrt(share * (1 - share) / of + square / (4 * of * of))
    low, high = (middle - spread) / (1 + square / of), (middle + spread) / (1 + square / of)
    return max(0.0, low) if hits else 0.0, min(1.0, high) if hits < of else 1.0
