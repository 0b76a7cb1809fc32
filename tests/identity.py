"""Write anew what the cards of the demo decks are known by: `python tests/identity.py`, by hand only.

A line a card, sorted: id, hash of its answer, the version of its normal form, the normal form itself. Read the
difference before you keep it: DEVELOPERS.md, "What never changes", says what each sort of it would do to a student.
"""

import json
import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent)]
DECKS = ("rules-and-weather", "skerry")
KEPT = HERE / "identity"


def lines(deck: str) -> list[str]:
    """What the cards of a deck are known by, as this version reads it."""
    from recall.answers import NORMAL_FORM
    from recall.deck.read import read_deck

    read, _ = read_deck(HERE.parent / "decks" / deck)
    return sorted(
        f"{card.id} {card.answer_hash} {NORMAL_FORM} {json.dumps(card.answer.normal(), ensure_ascii=False)}"
        for card in read.cards
    )


def main() -> None:
    """Write a file a deck."""
    KEPT.mkdir(exist_ok=True)
    for deck in DECKS:
        text = "".join(f"{line}\n" for line in lines(deck))
        (KEPT / f"{deck}.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
