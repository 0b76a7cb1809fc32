"""Count what the doctor says of invented clock histories: python tests/clocks.py [ROUNDS]."""

import random
import sys
from collections import Counter
from statistics import median

from clock_kit import DAY, fewest, goes_together, invented, moved, verdict


def main(rounds: int = 5_000) -> None:
    """Print the counts, by how many runs were wrong."""
    for wrong in (0, 1, 2):
        rng = random.Random(wrong)
        said: Counter[str] = Counter()
        off, together = [], 0
        for _ in range(rounds):
            history = invented(rng, wrong=wrong)
            said[verdict(history)] += 1
            after = moved(history)
            together += goes_together(after, history.now)
            if verdict(history) == "right":
                off += [abs(after[at].last - history.true[at].last) / DAY for at in history.wrong]
        words = ", ".join(f"{said[what]} {what}" for what in ("right", "unseen", "another", "false"))
        days = f"; off by {median(off):.2f} days in the middle once corrected" if off else ""
        print(f"{rounds} histories with {wrong} wrong: {words}; {together} go together once corrected{days}")
    rng, least = random.Random(3), 0
    for _ in range(rounds // 10):
        history = invented(rng, most=9)
        least += fewest(history) == sum(a != b for a, b in zip(history.written, moved(history), strict=True))
    print(f"{rounds // 10} short histories against trying all: {least} with the fewest wrong runs")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
