"""Memories of 1,000,000 reviews over 100,000 cards: in batch, and one by one by the `fsrs` library."""

import random
import time

import numpy as np
from fsrs import Card, Rating, Scheduler

from recall.schedule import batch
from recall.schedule.single import _noon

CARDS, REVIEWS = 100_000, 1_000_000


def main() -> None:
    """Print both times, their ratio and the greatest relative difference."""
    rng = random.Random(7)
    cards = [rng.randrange(CARDS) for _ in range(REVIEWS)]
    marks = rng.choices([1, 2, 3, 4], [12, 10, 70, 8], k=REVIEWS)
    days = sorted(rng.randrange(739_000, 740_500) for _ in range(REVIEWS))

    start = time.perf_counter()
    memories = batch.replay(cards, days, marks)
    together = time.perf_counter() - start
    arrays = np.array(cards), np.array(days), np.array(marks)
    start = time.perf_counter()
    batch.replay(*arrays)
    from_arrays = time.perf_counter() - start

    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    known = [Card(card_id=at, due=_noon(739_000)) for at in range(CARDS)]
    noons = {day: _noon(day) for day in range(739_000, 740_500)}
    ratings = {mark: Rating(mark) for mark in (1, 2, 3, 4)}
    start = time.perf_counter()
    for card, day, mark in zip(cards, days, marks, strict=True):
        known[card], _ = scheduler.review_card(known[card], ratings[mark], noons[day])
    alone = time.perf_counter() - start

    holds = np.array([card.stability or np.nan for card in known])
    difference = np.nanmax(np.abs(memories.holds / holds - 1))
    print(f"one by one        {alone:7.2f} s")
    print(f"batch, from lists {together:7.2f} s   {alone / together:5.1f} x")
    print(f"batch, from numpy {from_arrays:7.2f} s   {alone / from_arrays:5.1f} x")
    print(f"greatest relative difference {difference:.1e}")


if __name__ == "__main__":
    main()
