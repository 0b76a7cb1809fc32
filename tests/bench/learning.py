"""Does the plan teach? Simulated learners before an examination, ways of choosing side by side, equal seconds a day.

    python tests/bench/learning.py                  the full table (hours)
    python tests/bench/learning.py --quick          a few rows
    python tests/bench/learning.py --cells 100/20/2/1 100/14/3/.5/skips     rows of your own: cards, days, minutes a
                                                    day, share unasked, the life that is led
    python tests/bench/learning.py --tuning         other learners and seeds: to change the plan by, never to report
    python tests/bench/learning.py --read FILE...   what tables printed before come to

Score: true weighted recall at the hour of the examination, in points (0..100). Seeds are paired: every arm meets the
same learner, deck, history and luck. --part k/m runs every m-th row, so that parts may run side by side.
"""

import argparse
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from arms import ARMS, Arm, View
from numpy.typing import NDArray
from worlds import Activation, HalfLife, Savings, Scheduled, Sigmoid, World, other_weights

SECONDS, SECONDS_MISSED, SECONDS_UNASKED = 10.0, 20.0, 20.0
HOUR = 9 / 24 - 0.5
PAST = 40

Maker = Callable[[int, np.random.Generator], World]

WORLDS: dict[str, Maker] = {
    "scheduler, own": lambda n, dice: Scheduled(n, dice),
    "scheduler, fast": lambda n, dice: Scheduled(n, dice, other_weights(0.4, -0.4, 0.35, 0.7)),
    "scheduler, slow": lambda n, dice: Scheduled(n, dice, other_weights(2.0, 0.2, 0.12)),
    "half-life": lambda n, dice: HalfLife(n, dice),
    "ACT-R, moderate": lambda n, dice: Activation(n, dice),
    "ACT-R, fast": lambda n, dice: Activation(n, dice, threshold=-1.15),
    "S-shaped, quick": lambda n, dice: Sigmoid(n, dice, 6.0, 3.0),
    "S-shaped, slow": lambda n, dice: Sigmoid(n, dice, 14.0, 2.0, 0.8),
    "savings, steep": lambda n, dice: Savings(n, dice, 0.45),
    "savings, flat": lambda n, dice: Savings(n, dice, 0.2, scatter=0.6),
}
TUNING: dict[str, Maker] = {
    "scheduler, own": lambda n, dice: Scheduled(n, dice),
    "scheduler, other": lambda n, dice: Scheduled(n, dice, other_weights(0.6, -0.2, 0.25, 0.9)),
    "half-life": lambda n, dice: HalfLife(n, dice, median=6.0, gain=1.5),
    "ACT-R": lambda n, dice: Activation(n, dice, threshold=-1.3, between=0.008),
    "S-shaped": lambda n, dice: Sigmoid(n, dice, 9.0, 2.5, 0.6),
    "savings": lambda n, dice: Savings(n, dice, 0.3, scatter=0.4),
}


@dataclass(frozen=True)
class Cell:
    """One row of the table: deck size, days, minutes a day, share unasked at the start, and the life that is led:
    `skips` 30 % of the days, `half` of the minutes, `misjudged` marks (a fifth of those of a quarter of the cards),
    `guessed` sets (a third of the cards are one of two choices), or none of these."""

    count: int
    days: int
    minutes: float
    unasked: float
    life: str = ""


LIVES = ("", "skips", "half", "misjudged", "guessed")


SHAPES = (
    *((300, 14, 8.0), (300, 30, 4.0), (300, 45, 3.0)),
    *((500, 14, 15.0), (500, 30, 7.0), (500, 45, 5.0)),
    *((1000, 14, 30.0), (1000, 30, 16.0), (1000, 45, 10.0)),
    *((5000, 14, 60.0), (5000, 30, 60.0), (5000, 45, 60.0)),
)
FULL = [Cell(*shape, unasked) for shape in SHAPES for unasked in (1.0, 0.5, 0.0)]
QUICK = [Cell(300, 14, 8.0, unasked) for unasked in (1.0, 0.5, 0.0)]


def ask(
    world: World, asked: NDArray[np.bool_], at: NDArray[np.int64], day: int, luck: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Whether these cards are answered right; luck: uniform numbers, one a card."""
    first = world.first_chance(at)
    return luck[at] < np.where(asked[at], world.chance(at, day), first)


def history(world: World, cell: Cell, dice: np.random.Generator) -> tuple[View, NDArray[np.bool_]]:
    """Answers of the days before the plan: asked cards first met on a random day, then reviewed at doubling gaps."""
    count = cell.count
    asked = np.zeros(count, dtype=np.bool_)
    weight = np.where(dice.random(count) < 0.1, 3.0, 1.0)
    guess = np.where(dice.random(count) < (1 / 3 if cell.life == "guessed" else 0.0), 0.5, 0.0)
    view = View(count, 0, cell.days, cell.minutes * 60.0, weight, [], [], [], dice, guess)
    view.kept["doubtful"] = dice.random(count) < (0.25 if cell.life == "misjudged" else 0.0)
    begins = np.where(dice.random(count) < cell.unasked, 10**6, dice.integers(-PAST, 0, count))
    due, gap = begins.copy(), np.ones(count, dtype=np.int64)
    for day in range(-PAST, 0):
        at = np.flatnonzero(due == day)
        right = ask(world, asked, at, day, dice.random(count))
        right = answer(view, world, asked, at, right, day)
        gap[at] = np.where(right, gap[at] * 2, 1)
        due[at] = day + gap[at]
    return view, asked


def answer(
    view: View,
    world: World,
    asked: NDArray[np.bool_],
    at: NDArray[np.int64],
    right: NDArray[np.bool_],
    day: int,
) -> NDArray[np.bool_]:
    """Move the learner on and write the log, with what was guessed and misjudged: a missed card has a second, right
    answer on the same day. Returns what counted as right."""
    world.answered(at, right, day)
    asked[at] = True
    said = right | (view.dice.random(len(at)) < view.guess[at])
    said ^= view.kept["doubtful"][at] & (view.dice.random(len(at)) < 0.2)
    again = at[~said]
    view.card += [at, again]
    view.when += [np.full(len(at), day), np.full(len(again), day)]
    view.mark += [np.where(said, 3, 1), np.full(len(again), 3)]
    return said


def played(maker: Maker, cell: Cell, arm: Arm, seed: int) -> tuple[World, View, NDArray[np.bool_]]:
    """The learner on the date, the view with its log, and the cards ever asked."""
    dice = np.random.default_rng(seed)
    world = maker(cell.count, dice)
    view, asked = history(world, cell, dice)
    view.dice = np.random.default_rng(seed + 7)
    luck = np.random.default_rng(seed + 13)
    model = None if cell.life else getattr(world, "model", None)
    view.kept |= {"world": world, "asked": asked, "hour": HOUR, "model": model}
    skips = luck.random(cell.days) < (0.3 if cell.life == "skips" else 0.0)
    for day in range(cell.days):
        view.day = day
        left, draws = view.seconds * (0.5 if cell.life == "half" else 1.0), luck.random((40, cell.count))
        before = left
        for number, at in enumerate(arm(view) if not skips[day] else ()):
            right = ask(world, asked, at, day, draws[min(number, 39)])
            dearest = np.where(asked[at], SECONDS_MISSED, SECONDS_UNASKED)
            cost = np.where(asked[at] & right, SECONDS, dearest)
            fits = np.cumsum(cost) - cost + dearest <= left  # nobody knows what an answer will cost
            fits = np.logical_and.accumulate(fits)
            left -= float(cost[fits].sum())
            answer(view, world, asked, at[fits], right[fits], day)
            if not fits.all():
                break
        view.used.append(before - left)
    view.day = cell.days
    return world, view, asked


def true_recall(world: World, view: View, asked: NDArray[np.bool_]) -> NDArray[np.float64]:
    """What the learner truly recalls at the hour of the examination, shape (n,)."""
    return np.where(asked, world.chance(np.arange(view.count), view.days + HOUR), 0.0)


def run(maker: Maker, cell: Cell, arm: Arm, seed: int) -> float:
    """True weighted recall on the date, in points."""
    world, view, asked = played(maker, cell, arm, seed)
    return 100.0 * float(view.weight @ true_recall(world, view, asked) / view.weight.sum())


def cells(worlds: dict[str, Maker], rows: list[Cell]) -> Iterator[tuple[str, Maker, Cell]]:
    """All rows of the table."""
    for cell in rows:
        for name, maker in worlds.items():
            yield name, maker, cell


def leads(results: list[tuple[str, dict[str, float]]]) -> list[str]:
    """Of the first way over each other, and of it and the oracle over the best of the rest in each row: mean lead,
    its standard error over the rows, the least, and in how many rows it is ahead."""
    first, *others = results[0][1]
    rest = [name for name in others if name != "oracle"]
    pairs = [(first, (other,)) for other in others]
    if len(rest) > 1:
        pairs += [(name, tuple(rest)) for name in (first, *set(others) - set(rest))]
    lines = []
    for name, rivals in pairs:
        lead = np.array([row[name] - max(row[rival] for rival in rivals) for _, row in results])
        error = lead.std(ddof=1) / np.sqrt(len(lead)) if len(lead) > 1 else np.nan
        of = f"the best of {', '.join(rivals)}" if len(rivals) > 1 else rivals[0]
        lines.append(
            f"{name} over {of}: {lead.mean():+.1f} points on average (standard error {error:.1f}), {lead.min():+.1f} "
            f"at least, ahead in {(lead > 0).sum()} of {len(lead)} rows"
        )
    return lines


def read(file: Path) -> Iterator[tuple[str, dict[str, float]]]:
    """Rows of a table printed before."""
    arms: list[str] = []
    for line in file.read_text(encoding="utf-8").splitlines():
        name, words = line[10:28].strip(), line[28:].split()
        if name == "learner":
            arms = words[4:]
        elif name in WORLDS and len(words) == 4 + len(arms):
            yield name, dict(zip(arms, map(float, words[4:]), strict=True))


def _cell(text: str) -> Cell:
    count, days, minutes, unasked, *life = text.split("/")
    return Cell(int(count), int(days), float(minutes), float(unasked), *life)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--tuning", action="store_true")
    parser.add_argument("--seeds", type=int, default=0, help="else 3 for 300 cards, 2 for 500, 1 for more")
    parser.add_argument("--cells", nargs="+", type=_cell, default=[])
    parser.add_argument("--arms", nargs="+", choices=list(ARMS), default=list(ARMS))
    parser.add_argument("--part", default="0/1")
    parser.add_argument("--read", nargs="+", type=Path, default=[])
    chosen = parser.parse_args()
    if chosen.read:
        print("\n".join(leads([row for file in chosen.read for row in read(file)])))
        return
    part, parts = (int(number) for number in chosen.part.split("/"))
    worlds = TUNING if chosen.tuning else WORLDS
    rows = chosen.cells or (QUICK if chosen.quick else FULL)
    arms = {name: ARMS[name] for name in chosen.arms}
    base = 50_000 if chosen.tuning else 1_000
    print(f"seeds from {base}, {chosen.seeds or '3 to 1'} of them a row")
    print(
        f"{'life':<10}{'learner':<18}{'cards':>6}{'days':>5}{'min':>5}{'unasked':>8}  "
        + "".join(f"{arm:>9}" for arm in arms)
    )
    results = []
    begun = time.monotonic()
    for name, maker, cell in list(cells(worlds, rows))[part::parts]:
        seeds = chosen.seeds or max(1, 1000 // cell.count)
        row = {
            arm: float(np.mean([run(maker, cell, choose, base + 101 * seed) for seed in range(seeds)]))
            for arm, choose in arms.items()
        }
        results.append((name, row))
        head = f"{name:<18}{cell.count:>6}{cell.days:>5}{cell.minutes:>5.0f}{cell.unasked:>8.0%}  "
        head = f"{cell.life:<10}{head}"
        print(head + "".join(f"{score:>9.1f}" for score in row.values()), flush=True)
    print("\n".join(leads(results)))
    print(f"{time.monotonic() - begun:.0f} s", file=sys.stderr)


if __name__ == "__main__":
    main()
