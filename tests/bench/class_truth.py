"""Simulated classes whose truth is known: is what was planted found, what wasn't left alone, do intervals
hold?

python tests/bench/class_truth.py [--classes 40] [--people 30]

Each class: 100 points in 10 topics, 40 days, of 30 people of unlike strength; two weak topics (a log odds
lower), four points that are missed far more (2.5 lower), two that are missed by who knows the rest; a
revision after 20 days that makes five points harder (1.5 lower) and leaves the others. Prints shares with
their 95 % intervals (Wilson).
"""

import argparse
import shutil
import sys
import tempfile
from pathlib import Path

from recall.base.dataclass import replace

sys.path.insert(0, str(Path(__file__).parent.parent))

import numpy as np
import pyarrow as pa
from class_kit import FIRST_DAY, Deck, Planted, hand_ins, learn

from recall.cohort import ask, contrast
from recall.cohort.columns import CARDS
from recall.cohort.engine import open_tables
from recall.cohort.taken import keep
from recall.cohort.view import doubts
from recall.insight.rates import wilson

HALF = 20


def told(name: str, hits: int, of: int) -> None:
    """Print a share."""
    low, high = wilson(hits, of)
    print(
        f"{name:>44}: {hits} of {of}, {100 * hits / max(of, 1):.1f} % ({100 * low:.1f} to {100 * high:.1f})",
        flush=True,
    )


def main() -> None:
    """Run it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--classes", type=int, default=40)
    parser.add_argument("--people", type=int, default=30)
    wanted = parser.parse_args()
    deck = Deck()
    points = [str(row["point"]) for row in deck.rows()]
    cards = pa.Table.from_pylist(deck.rows(), schema=CARDS)
    names = ("weak found", "others called weak", "bad found", "turned found", "others suspected", "drift found",
             "drift by chance", "interval of a topic holds")  # fmt: skip
    tally = {name: [0, 0] for name in names}

    def count(name: str, hits: int, of: int) -> None:
        tally[name][0] += int(hits)
        tally[name][1] += of

    for seed in range(wanted.classes):
        random = np.random.default_rng(seed)
        weak = tuple(random.choice(deck.topics, 2, replace=False).tolist())
        odd = random.choice(
            [at for at in range(deck.points) if at // 10 not in weak], 11, replace=False
        ).tolist()
        bad, turned, harder = tuple(odd[:4]), tuple(odd[4:6]), tuple(odd[6:])
        planted = Planted(weak=weak, bad=bad, turned=turned, harder=harder, since=HALF)
        folder = Path(tempfile.mkdtemp())
        learned = learn(deck, wanted.people, 40, seed, planted)
        for made in hand_ins(deck, learned):
            later = [int(day >= FIRST_DAY + HALF) for day in made.answers["day"]]
            keep(folder, replace(made, revisions=("1", "2"), answers={**made.answers, "revision": later}))
        tables = open_tables(folder, "skerry", cards)
        suspected = {int(name.split()[1]) for name in doubts(tables, dict.fromkeys(points, 30))}
        named = {
            int(one.name.split()[1])
            for one in contrast.weak_topics(tables, [f"point {at:05d}" for at in suspected])
        }
        drifted = {int(one.name.split()[1]) for one in contrast.drift(tables, ["2"])}
        count("weak found", len(named & set(weak)), 2)
        count("others called weak", len(named - set(weak)), 8)
        count("bad found", len(suspected & set(bad)), 4)
        count("turned found", len(suspected & set(turned)), 2)
        count("others suspected", len(suspected - {*bad, *turned, *harder}), 89)
        count("drift found", len(drifted & set(harder)), 5)
        count("drift by chance", len(drifted - set(harder)), max(len(drifted), 1))
        for group in ask.topics(tables):
            topic = int(group.name[1].split()[1])
            share = learned.expected[topic]
            count("interval of a topic holds", group.rate.low <= share <= group.rate.high, 1)
        shutil.rmtree(folder)
    for name, (hits, of) in tally.items():
        told(name, hits, of)


if __name__ == "__main__":
    main()
