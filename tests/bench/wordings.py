"""How many cards of the demo decks are asked in one wording, and how many in several, by kind and aspect.

python tests/bench/wordings.py
"""

from collections import Counter
from pathlib import Path

from recall.deck.read import read_deck
from recall.deck.source import find_sources
from recall.kinds.marking import wordings


def main() -> None:
    """Print the counts, all cards and critical ones."""
    counted: Counter[tuple[str, str, bool]] = Counter()
    critical: Counter[bool] = Counter()
    for source in find_sources(Path(__file__).parents[2] / "decks"):
        for card in read_deck(source)[0].cards:
            several = len(wordings(card)) > 1
            counted[card.kind, card.aspect, several] += 1
            critical[several] += card.critical
    print(f"{'kind, aspect':30}{'one wording':>14}{'several':>10}")
    for kind, aspect in sorted({key[:2] for key in counted}):
        print(f"{f'{kind}, {aspect}':30}{counted[kind, aspect, False]:>14}{counted[kind, aspect, True]:>10}")
    every = [sum(number for key, number in counted.items() if key[2] is several) for several in (False, True)]
    print(f"{'all':30}{every[0]:>14}{every[1]:>10}")
    print(f"{'critical':30}{critical[False]:>14}{critical[True]:>10}")


if __name__ == "__main__":
    main()
