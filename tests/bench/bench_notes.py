"""Reading a deck of 10,000 table rows, against the bare parser of the same grammar on the same text."""

import time

from recall.notes.grammar import parser
from recall.notes.reader import read_note

ROWS, RUNS = 10_000, 5


def _deck() -> str:
    lines = ["# Deck"]
    for number in range(ROWS):
        if number % 50 == 0:
            lines += [
                f"\n## System {number // 50}\n",
                "| Parameter | Minimum | Maximum | Unit | When | Source |",
            ]
            lines.append("|---|---|---|---|---|---|")
        bold = "**" if number % 5 == 0 else ""
        subject = f"{bold}Pressure {number}{bold}"
        lines.append(
            f"| {subject} | {number} | {number + 20} | psi | Take-off (5 min) | manual 2-{number % 90} |"
        )
    return "\n".join(lines) + "\n"


def main() -> None:
    """Print the shortest time of each, and their ratio."""
    text = _deck()
    bare, read = [], []
    for _ in range(RUNS):
        plain = parser()
        start = time.perf_counter()
        plain.parse(text)
        bare.append(time.perf_counter() - start)
        start = time.perf_counter()
        read_note(text, "deck.md")
        read.append(time.perf_counter() - start)
    print(f"bare parser {min(bare):.2f} s, reader {min(read):.2f} s, ratio {min(read) / min(bare):.2f}")


if __name__ == "__main__":
    main()
