"""The draw for a mock oral, by the blueprint: as many cards of each area as it asks questions."""

from collections.abc import Iterable, Mapping, Sequence
from math import ceil
from random import Random
from typing import TypeVar

T = TypeVar("T")


def needed(pass_mark: float, questions: int) -> int:
    """Right answers needed for a mark: 56 of 80 at 0.70."""
    return ceil(pass_mark * questions - 1e-9)


def draw(areas: Iterable[tuple[Sequence[int], int]], rng: Random) -> list[int]:
    """Indices of the cards to ask, in a fresh order, areas mixed; each card of an area is as likely as any other.
    areas: its cards, and how many of them are asked."""
    drawn = [card for cards, questions in areas for card in rng.sample(cards, questions)]
    rng.shuffle(drawn)
    return drawn


def shares(weights: Mapping[T, int], questions: int, most: Mapping[T, int]) -> dict[T, int]:
    """Spread a number of questions over topics by their weights (largest remainders), none over its most."""
    found = dict.fromkeys(weights, 0)
    left = {topic: weight for topic, weight in weights.items() if weight > 0}
    questions = min(questions, sum(most[topic] for topic in left))
    while full := [t for t in left if questions * left[t] >= most[t] * sum(left.values())]:
        for topic in full:
            found[topic] = most[topic]
            questions -= most[topic]
            del left[topic]
    total = sum(left.values())
    for topic, weight in left.items():
        found[topic] = questions * weight // total
    by_rest = sorted(left, key=lambda topic: -(questions * left[topic] % total))
    for topic in by_rest[: questions - sum(found[topic] for topic in left)]:
        found[topic] += 1
    return found
