"""Are the odds honest? Simulated candidates prepare, get their odds, and sit examinations.

    python tests/bench/odds.py                        100 persons of each kind, 10 examinations each, the daily order
    python tests/bench/odds.py --way plan             they prepare by the plan for the date
    python tests/bench/odds.py --way plan --kept FILE persons are prepared once and kept in the file
    python tests/bench/odds.py --drawn                each person a learner of their own, drawn at random: to choose
                                                      constants by, apart from the learners that are judged by

Calibration by bins of what was told: its mean against the share that passes, each examination sat 1,000 times by
draws of its own; and how often the 95 % interval holds that share, in whole per cents. The form of the day moves all
answers of a day together by `--spread` in log odds.
"""

import argparse
import pickle
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from arms import ARMS
from learning import HOUR, WORLDS, Cell, Maker, played, true_recall
from numpy.typing import NDArray
from worlds import Activation, HalfLife, Savings, Scheduled, Sigmoid, other_weights

from recall.checkride.learner import Log, fits, form_of, remembered
from recall.checkride.odds import Area, Examination, View, odds, widened

EXAMINATIONS, SITTINGS = 10, 1000
QUESTIONS = (8, 7, 5)
BINS = np.array([0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0 + 1e-9])
FULL = 500

Floats = NDArray[np.float64]
Person = dict[str, Any]


def drawn_learners(seed: int) -> dict[str, Maker]:
    """A learner of each family, its numbers drawn at random."""
    dice = np.random.default_rng(seed + 777)
    curve = float(np.clip(0.1542 * np.exp(dice.normal(0.2, 0.6)), 0.06, 0.8))
    weights = other_weights(
        float(np.exp(dice.normal(0.0, 0.6))),
        float(dice.normal(0.0, 0.3)),
        curve,
        float(np.exp(dice.normal(0.0, 0.25))),
    )
    half, gain = np.exp(dice.normal(np.log([5.0, 1.8]), [0.5, 0.3]))
    threshold, between = dice.uniform(-1.7, -1.05), 0.01 * np.exp(dice.normal(0.0, 0.3))
    middle, bend, apart = (
        np.exp(dice.normal(np.log(9.0), 0.45)),
        dice.uniform(1.5, 3.5),
        dice.uniform(0.3, 0.9),
    )
    fall, scatter = np.exp(dice.normal(np.log(0.3), 0.4)), dice.uniform(0.2, 0.7)
    return {
        "scheduler": lambda n, dice: Scheduled(n, dice, weights),
        "half-life": lambda n, dice: HalfLife(n, dice, half, gain),
        "ACT-R": lambda n, dice: Activation(n, dice, threshold=threshold, between=between),
        "S-shaped": lambda n, dice: Sigmoid(n, dice, middle, bend, apart),
        "savings": lambda n, dice: Savings(n, dice, fall, scatter=scatter),
    }


class Swaying:
    """A learner whose days have a form: all chances of a day are moved together."""

    def __init__(self, maker: Maker, count: int, dice: np.random.Generator, spread: float) -> None:
        self.world, self.spread, self.dice = maker(count, dice), spread, dice
        self.shifts: dict[int, float] = {}

    def chance(self, at: NDArray[np.int64], day: float) -> Floats:
        """True chance on a day of its own form; the hour of the examination has none yet."""
        true = self.world.chance(at, day)
        if day != int(day):
            return true
        shift = self.shifts.setdefault(int(day), float(self.spread * self.dice.standard_normal()))
        return widened(true, self.spread, np.array([shift]))[0]

    def first_chance(self, at: NDArray[np.int64]) -> Floats:
        """Chance of a right answer at first sight."""
        return self.world.first_chance(at)

    def answered(self, at: NDArray[np.int64], right: NDArray[np.bool_], day: int) -> None:
        """These cards were asked."""
        self.world.answered(at, right, day)


def prepared(name: str, maker: Maker, way: str, seed: int, spread: float) -> Person:
    """A person on the date: their answers, which of them were drawn at random, what they truly recall."""
    dice = np.random.default_rng(seed + 99)
    cell = Cell(120, 14, float(dice.uniform(2.0, 6.0)), float(dice.choice([0.0, 0.5, 1.0])))
    world, view, asked = played(lambda n, d: Swaying(maker, n, d, spread), cell, ARMS[way], seed)
    log, drawn = view.log(), set(view.drawn)
    at_random = [pair in drawn for pair in zip(log.card.tolist(), log.day.tolist(), strict=True)]
    return {
        "name": name, "seed": seed, "days": view.days, "true": true_recall(world, view, asked),
        "card": log.card, "day": log.day, "mark": log.mark, "drawn": np.array(at_random, dtype=np.bool_),
    }  # fmt: skip


def told(person: Person, spread: float) -> Iterator[tuple[float, float, float, float]]:
    """Of each examination: odds, low and high end of their interval, and the share of sittings that pass."""
    log, true = Log(person["card"], person["day"], person["mark"]), person["true"]
    views = []
    for one in fits(log):
        holds, _, since, asked = remembered(log, one.model, len(true), person["days"])
        recall = np.where(asked, one.model.recall(since + HOUR, holds), 0.0)
        views.append(View(recall, form_of(log, one.model, person["drawn"]), one.weight))
    expected = float(sum(view.weight * view.recall.mean() for view in views))
    dice, size = np.random.default_rng(person["seed"] + 77), len(true) // 3
    for _ in range(EXAMINATIONS):
        order = dice.permutation(len(true))
        parts = [order[k * size : (k + 1) * size] for k in range(3)]
        mark = float(np.clip(expected + dice.normal(0.0, 0.08), 0.2, 0.9))
        areas = tuple(Area(str(k), own, n) for k, (own, n) in enumerate(zip(parts, QUESTIONS, strict=True)))
        found = odds(Examination(areas, mark), views)
        chances = widened(true, spread, spread * dice.standard_normal(SITTINGS))
        right = np.zeros(SITTINGS)
        for own, questions in zip(parts, QUESTIONS, strict=True):
            drawn = own[dice.random((SITTINGS, size)).argpartition(questions, axis=1)[:, :questions]]
            right += (dice.random(drawn.shape) < np.take_along_axis(chances, drawn, axis=1)).sum(axis=1)
        passed = float((right >= np.ceil(mark * sum(QUESTIONS) - 1e-9)).mean())
        yield found.passed, found.low, found.high, passed


def line(rows: Floats) -> str:
    """Bins, the largest gap of a full one in points, and in per cent how often the interval holds, and its width."""
    said, low, high, came = rows.T
    cells, worst = [], 0.0
    for least, most in pairwise(BINS):
        inside = (said >= least) & (said < most)
        if not inside.any():
            cells.append(f"{'':>14}")
            continue
        one, other, full = 100 * said[inside].mean(), 100 * came[inside].mean(), inside.sum() >= FULL
        worst = max(worst, abs(one - other)) if full else worst
        cells.append(f"{one:>6.1f}/{other:<5.1f}{'' if full else '*':<2}")
    holds = (np.round(low, 2) <= np.round(came, 2)) & (np.round(came, 2) <= np.round(high, 2))
    return f"{''.join(cells)}{worst:>6.1f}{100 * holds.mean():>8.1f}{100 * (high - low).mean():>7.0f}"


def main() -> None:
    """Print calibration for each kind of learner, and for all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--persons", type=int, default=100)
    parser.add_argument("--way", choices=["daily", "plan"], default="daily")
    parser.add_argument("--spread", type=float, default=0.3)
    parser.add_argument("--kept", type=Path)
    parser.add_argument("--drawn", action="store_true")
    chosen = parser.parse_args()
    people: list[Person] = []
    if chosen.kept and chosen.kept.exists():
        people = pickle.loads(chosen.kept.read_bytes())
    first, worlds = (200_000, drawn_learners(0)) if chosen.drawn else (5_000, WORLDS)
    for seed in range(first + len(people) // len(worlds), first + chosen.persons):
        learners = drawn_learners(seed) if chosen.drawn else WORLDS
        people += [prepared(name, one, chosen.way, seed, chosen.spread) for name, one in learners.items()]
        if chosen.kept:
            chosen.kept.write_bytes(pickle.dumps(people))
    print(
        f"told / passed, per cent, by bin (* under {FULL}); worst gap of a full bin in points; interval holds, width"
    )
    asked = people[: chosen.persons * len(worlds)]
    rows = {
        name: np.array([row for one in asked if one["name"] == name for row in told(one, chosen.spread)])
        for name in worlds
    }
    for name, own in (*rows.items(), ("all", np.concatenate(list(rows.values())))):
        print(f"{name:<17}{line(own)}", flush=True)


if __name__ == "__main__":
    main()
