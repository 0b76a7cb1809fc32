"""Which recall should the daily order aim at? Learners of the bench, the daily order every day, minutes used.

    python tests/bench/targets.py               90 and 365 days, 150 cards, all learners (an hour)
    python tests/bench/targets.py --days 90     only so many days

Score: true recall of all cards, of 100, the mean over the last tenth of the days, and the same for each minute a day
that was used (the day ends when nothing is due or to be begun). Seeds are paired over targets.
"""

import argparse

import numpy as np
from arms import View, daily
from learning import WORLDS, Cell, Maker, answer, ask

SECONDS, SECONDS_MISSED, SECONDS_UNASKED = 10.0, 20.0, 20.0
TARGETS = (0.70, 0.75, 0.80, 0.85, 0.90)


def lived(maker: Maker, cell: Cell, target: float, seed: int) -> tuple[float, float]:
    """Recall over the last tenth of the days, in points, and minutes a day that were used."""
    dice = np.random.default_rng(seed)
    world, count = maker(cell.count, dice), cell.count
    targets = (target, (1.0 + target) / 2.0)
    view = View(
        count,
        0,
        cell.days,
        cell.minutes * 60.0,
        np.ones(count),
        [],
        [],
        [],
        dice,
        np.zeros(count),
        targets=targets,
    )
    view.kept["doubtful"] = np.zeros(count, dtype=np.bool_)
    asked, luck = np.zeros(count, dtype=np.bool_), np.random.default_rng(seed + 13)
    known, used = [], 0.0
    for day in range(cell.days):
        if day >= 0.9 * cell.days:
            known.append(float(np.where(asked, world.chance(np.arange(count), day + 0.0), 0.0).mean()))
        view.day = day
        (at,) = daily(view, fill=False)
        right = ask(world, asked, at, day, luck.random(count))
        dearest = np.where(asked[at], SECONDS_MISSED, SECONDS_UNASKED)
        cost = np.where(asked[at] & right, SECONDS, dearest)
        fits = np.logical_and.accumulate(np.cumsum(cost) - cost + dearest <= view.seconds)
        used += float(cost[fits].sum()) / 60.0
        answer(view, world, asked, at[fits], right[fits], day)
    return 100.0 * float(np.mean(known)), used / cell.days


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--days", type=int, nargs="+", default=[90, 365])
    parser.add_argument("--cards", type=int, default=150)
    parser.add_argument("--minutes", type=float, nargs="+", default=[1.0, 2.0])
    parser.add_argument("--seeds", type=int, default=1)
    chosen = parser.parse_args()
    print(
        f"seeds {[900 + at for at in range(chosen.seeds)]}, {chosen.cards} cards; recall / for each minute used"
    )
    print(f"{'learner':<18}{'days':>5}{'min':>5}  " + "".join(f"{target:>14.2f}" for target in TARGETS))
    totals = []
    for days in chosen.days:
        for minutes in chosen.minutes:
            for name, maker in WORLDS.items():
                cell = Cell(chosen.cards, days, minutes, 1.0)
                row = [
                    np.mean([lived(maker, cell, target, 900 + at) for at in range(chosen.seeds)], axis=0)
                    for target in TARGETS
                ]
                totals.append([known for known, _ in row])
                cells = "".join(f"{known:>7.1f}/{known / max(used, 0.01):<6.0f}" for known, used in row)
                print(f"{name:<18}{days:>5}{minutes:>5.1f}  {cells}", flush=True)
    print(f"{'mean':<18}{'':>12}" + "".join(f"{mean:>7.1f}{'':<7}" for mean in np.mean(totals, axis=0)))


if __name__ == "__main__":
    main()
