"""How near its bound is the plan, how long does it take, how much memory does it need?

    python tests/bench/planning.py

Value over certified bound under the plan's own model, mean and least over seeds, next to the daily order's; then
processor time and peak memory of a whole plan with its certificate, and of planning again on a day, for one mind or
for all shapes of forgetting that count before any answer.
"""

import resource
import time
from random import Random

import numpy as np

from recall.checkride.form import NOTHING, form
from recall.checkride.learner import Log, fits
from recall.checkride.model import Model
from recall.checkride.odds import Area, Examination, View, odds
from recall.checkride.plan import make_plan, plan_today
from recall.checkride.state import CardState, Horizon, Mind

SEEDS = 8


def deck(count: int, unasked: float, seed: int) -> CardState:
    """Cards of scattered memories, a tenth of them critical."""
    dice = np.random.default_rng(seed)
    return CardState.of(
        np.exp(dice.normal(1.5, 1.2, count)),
        dice.uniform(2, 9, count),
        dice.integers(1, 30, count).astype(float),
        dice.random(count) >= unasked,
        weight=np.where(dice.random(count) < 0.1, 3.0, 1.0),
    )


def main() -> None:
    """Print both tables."""
    print(
        f"{'cards':>6}{'days':>5}{'min':>5}{'unasked':>8}{'mean/bound':>12}{'least':>8}{'points':>8}{'daily':>8}"
    )
    for count, days, minutes, unasked in (
        (100, 14, 6.0, 1.0),
        (100, 30, 6.0, 0.5),
        (300, 14, 8.0, 1.0),
        (300, 14, 8.0, 0.5),
        (500, 30, 7.0, 1.0),
        (500, 30, 7.0, 0.0),
    ):
        plans = [
            make_plan([Mind(deck(count, unasked, seed), Model())], Horizon((minutes,) * days), Random(seed))
            for seed in range(SEEDS)
        ]
        shares = [plan.expected / plan.bound for plan in plans]
        points = float(np.mean([100 * (plan.bound - plan.expected) for plan in plans]))
        daily = float(np.mean([plan.daily / plan.bound for plan in plans]))
        head = f"{count:>6}{days:>5}{minutes:>5.0f}{unasked:>8.0%}"
        print(f"{head}{np.mean(shares):>12.4f}{min(shares):>8.4f}{points:>8.2f}{daily:>8.3f}", flush=True)
    columns = (("cards", 6), ("days", 5), ("unasked", 8), ("minds", 6), ("plan, s", 9), ("again, s", 9))
    print("".join(f"{name:>{wide}}" for name, wide in (*columns, ("value/bound", 12), ("peak, MB", 10))))
    nothing = Log(*(np.empty(0, dtype=np.int64),) * 3)
    for count, days, minutes, unasked, most in (
        (500, 30, 7.0, 0.5, 1),
        (500, 732, 7.0, 0.5, 1),
        (5000, 45, 60.0, 0.5, 1),
        (5000, 45, 60.0, 1.0, 3),
    ):
        cards, horizon = deck(count, unasked, 1), Horizon((minutes,) * days)
        minds = (
            [Mind(cards, one.model, one.weight) for one in fits(nothing)]
            if most > 1
            else [Mind(cards, Model())]
        )
        begun = time.process_time()
        plan = make_plan(minds, horizon, Random(1))
        took, begun = time.process_time() - begun, time.process_time()
        plan_today(minds, horizon, Random(1))
        again = time.process_time() - begun
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        head = f"{count:>6}{days:>5}{unasked:>8.0%}{len(minds):>6}{took:>9.2f}{again:>9.2f}"
        print(f"{head}{plan.expected / plan.bound:>12.4f}{peak:>10.0f}", flush=True)
    for count, questions in ((1_000, 40), (10_000, 40), (10_000, 80)):
        area = Area("all", np.arange(count), questions)
        recall = np.random.default_rng(1).random(count)
        begun = time.process_time()
        odds(Examination((area,), 0.5, without_fail=recall < 0.1), [View(recall, form(NOTHING))])
        took = time.process_time() - begun
        print(f"odds, one area of {count} cards, {questions} questions: {took:.2f} s", flush=True)


if __name__ == "__main__":
    main()
