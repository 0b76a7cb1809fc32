"""Are the odds honest? Simulated candidates prepare, get their odds, and sit examinations.

    python tests/bench/odds.py                 500 persons of each kind, 40 examinations each (20,000 candidates)
    python tests/bench/odds.py --persons 25    quick
    python tests/bench/odds.py --way plan      they prepare by the plan for the date, else in the daily order

Calibration by bins: mean of what was predicted against how often it came true, for P(pass) of whole examinations
and for recall of single cards. The form of the day moves all answers of a day together by `--spread` in log odds.
"""

import argparse
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from arms import ARMS, Arm, minds
from learning import HOUR, WORLDS, Cell, Maker, played, true_recall
from numpy.typing import NDArray

from recall.checkride.learner import foretold
from recall.checkride.odds import Area, Examination, View, odds, widened
from recall.checkride.state import over

EXAMINATIONS = 40
QUESTIONS = 20
BINS = np.array([0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0 + 1e-9])

Floats = NDArray[np.float64]


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


def candidate(
    maker: Maker, way: Arm, seed: int, spread: float
) -> Iterator[tuple[float, bool, Floats, NDArray[np.bool_]]]:
    """Odds and outcome of each examination, with recall predicted and answers to the cards drawn."""
    dice = np.random.default_rng(seed + 99)
    cell = Cell(120, 14, float(dice.uniform(2.0, 6.0)), float(dice.choice([0.0, 0.5, 1.0])))
    world, view, asked = played(lambda n, d: Swaying(maker, n, d, spread), cell, way, seed)
    known, log, probes = minds(view), view.log(), set(view.drawn)
    drawn = np.array([pair in probes for pair in zip(log.card.tolist(), log.day.tolist(), strict=True)])
    views = [
        View(
            mind.recall(HOUR),
            foretold(log, mind.model),
            mind.weight,
            foretold(log, mind.model, drawn) if view.drawn else None,
        )
        for mind in known
    ]
    recall = over(known, [one.recall for one in views])
    true = true_recall(world, view, asked)
    size = len(true) // 3
    for _ in range(EXAMINATIONS):
        order = dice.permutation(len(true))
        areas = tuple(Area(str(k), order[k * size : (k + 1) * size], n) for k, n in enumerate((8, 7, 5)))
        mark = float(np.clip(recall.mean() + dice.normal(0.0, 0.08), 0.2, 0.9))
        told_odds = odds(Examination(areas, mark), views).passed
        answers = (
            dice.random(len(true)) < widened(true, spread, np.array([spread * dice.standard_normal()]))[0]
        )
        drawn = np.concatenate([dice.choice(area.cards, area.questions, replace=False) for area in areas])
        passed = bool(answers[drawn].sum() >= np.ceil(mark * QUESTIONS - 1e-9))
        yield told_odds, passed, recall[drawn], answers[drawn]


def table(predicted: Floats, happened: Floats) -> tuple[str, float]:
    """Bins as text, and the largest gap of a bin with 500 or more, in points."""
    cells, worst = [], 0.0
    for low, high in pairwise(BINS):
        inside = (predicted >= low) & (predicted < high)
        if not inside.any():
            cells.append(f"{'':>14}")
            continue
        told, came = 100 * predicted[inside].mean(), 100 * happened[inside].mean()
        worst = max(worst, abs(told - came)) if inside.sum() >= 500 else worst
        cells.append(f"{told:>6.1f}/{came:<5.1f}{'' if inside.sum() >= 500 else '*':<2}")
    return "".join(cells), worst


def main() -> None:
    """Print calibration for each kind of learner."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--persons", type=int, default=500)
    parser.add_argument("--way", choices=["daily", "plan"], default="daily")
    parser.add_argument("--spread", type=float, default=0.3)
    chosen = parser.parse_args()
    print("predicted / came true, per cent, by bin; * under 500; worst gap of a full bin in points")
    for name, maker in WORLDS.items():
        rows = [
            row
            for person in range(chosen.persons)
            for row in candidate(maker, ARMS[chosen.way], 5_000 + person, chosen.spread)
        ]
        told, passed, recall, answers = (list(column) for column in zip(*rows, strict=True))
        for what, pair in (
            ("pass", (np.array(told), np.array(passed, dtype=np.float64))),
            ("recall", (np.concatenate(recall), np.concatenate(answers).astype(np.float64))),
        ):
            cells, worst = table(*pair)
            print(f"{name:<17}{what:<8}{cells}{worst:>6.1f}", flush=True)


if __name__ == "__main__":
    main()
