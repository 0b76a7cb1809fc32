"""Cards of the demo decks to be graded by a reader who hasn't seen the notes.

    python tests/grading.py                                           # what each grade means
    python tests/grading.py --blank > tests/deck/grading/64-NAME.tsv  # some 200 cards, to be graded
    python tests/grading.py --left tests/deck/grading/64-NAME.tsv     # what is asked now and isn't in it, to be added
    python tests/grading.py --figures                                 # what the kept sheets come to

A row a card: its grade, its number, its topic as the screen shows it, the question, the right answer, a remark. The
grader replaces each `?` in the first column by one of GRADES, from the row alone, and says in the last what is wrong.
Nothing else is changed. A sheet is named after its seed and its grader. Which cards are drawn hangs on the seed and
their ids alone: a change of one card leaves the others drawn.
"""

import argparse
import hashlib
import random
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent)]

from recall.deck.read import read_deck  # noqa: E402
from recall.kinds.marking import pose  # noqa: E402
from recall.kinds.model import Card  # noqa: E402

DECKS = ("rules-and-weather", "skerry")
KEPT = HERE / "deck" / "grading"
SEED, CARDS, OF_EACH = 2222, 200, 2
GRADES = {
    "clear": "one answer is right, and it is the one that stands there",
    "ambiguous": "another answer would be as right by the words of the question",
    "unanswerable": "nobody could be expected to answer it: it lacks what it is about, or has no answer worth having",
    "wrong-way": "question and answer point opposite ways, or who learns it does harm",
    "bad-english": "clear, and no examiner would say it so: articles, number, case, word order",
}
HEAD = ("grade", "card", "topic", "question", "answer", "remark")


@dataclass(frozen=True, slots=True)
class Asked:
    """A card as it is put to the grader. aspect: deck, kind and aspect; card: its id."""

    aspect: tuple[str, str, str]
    card: str
    topic: str
    question: str
    answer: str


def _draws(seed: int, card: Card) -> int:
    return int(hashlib.sha256(f"{seed} {card.deck} {card.id}".encode()).hexdigest(), 16)


def _asked(seed: int, card: Card) -> Asked:
    """A card in one of its wordings, or with a reading, drawn by the seed."""
    posed = pose(card, random.Random(_draws(seed, card)), _draws(seed, card) % 6)
    return Asked(
        (card.deck, card.kind, card.aspect),
        card.id,
        " / ".join(card.topic),
        posed.prompt,
        " | ".join(" / ".join(text.splitlines()) for text in posed.answer.texts),
    )


def drawn(seed: int, count: int = CARDS) -> list[Asked]:
    """Cards of both decks: of each deck, kind and aspect the first two by lot, then by lot whatever they are. In the
    order of another lot, so that neighbours in the notes aren't neighbours here."""
    cards = [card for deck in DECKS for card in read_deck(HERE.parent / "decks" / deck)[0].cards]
    cards.sort(key=lambda card: _draws(seed, card))
    of_each = Counter[tuple[str, str, str]]()
    chosen, others = [], []
    for card in cards:
        sort = card.deck, card.kind, card.aspect
        of_each[sort] += 1
        (chosen if of_each[sort] <= OF_EACH else others).append(card)
    chosen += others[: max(0, count - len(chosen))]
    return [_asked(seed, card) for card in sorted(chosen, key=lambda card: _draws(-seed, card))]


def blank(asked: Sequence[Asked]) -> str:
    """The sheet before it is graded."""
    rows = (("?", one.card, one.topic, one.question, one.answer, "") for one in asked)
    return "".join("\t".join(row) + "\n" for row in (HEAD, *rows))


def graded(path: Path) -> list[dict[str, str]]:
    """The rows of a sheet. Raises ValueError for a grade that is none."""
    lines = path.read_text(encoding="utf-8").splitlines()[1:]
    rows = [dict(zip(HEAD, [*line.split("\t"), ""], strict=False)) for line in lines]
    for at, row in enumerate(rows, 2):
        if row["grade"] not in GRADES:
            raise ValueError(f"{path.name}:{at}: `{row['grade']}` is none of {', '.join(GRADES)}")
    return rows


def stale(rows: Sequence[dict[str, str]], asked: Sequence[Asked]) -> list[dict[str, str]]:
    """Rows whose card isn't asked any more as it was graded."""
    today = {(one.card, one.topic, one.question, one.answer) for one in asked}
    return [row for row in rows if (row["card"], row["topic"], row["question"], row["answer"]) not in today]


def left(rows: Sequence[dict[str, str]], asked: Sequence[Asked]) -> list[Asked]:
    """What is asked now and wasn't graded."""
    known = {(row["card"], row["topic"], row["question"], row["answer"]) for row in rows}
    return [one for one in asked if (one.card, one.topic, one.question, one.answer) not in known]


def counted(rows: Sequence[dict[str, str]]) -> dict[str, int]:
    """How many rows have each grade."""
    return {grade: sum(row["grade"] == grade for row in rows) for grade in GRADES}


def main() -> None:
    """Print a blank sheet, or what the kept ones come to."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--blank", action="store_true")
    parser.add_argument("--figures", action="store_true")
    parser.add_argument("--left", type=Path, metavar="SHEET")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--cards", type=int, default=CARDS)
    chosen = parser.parse_args()
    asked = drawn(chosen.seed, chosen.cards)
    if chosen.blank:
        sys.stdout.write(blank(asked))
    if chosen.left:
        sys.stdout.write(blank(left(graded(chosen.left), asked)))
    for path in sorted(KEPT.glob("*.tsv")) if chosen.figures else ():
        rows = graded(path)
        today = drawn(int(path.name.partition("-")[0]), chosen.cards)
        print(path.name, f"{len(rows)} cards", f"{len(stale(rows, today))} stale", counted(rows))
    if not (chosen.blank or chosen.figures or chosen.left):
        for grade, meaning in GRADES.items():
            print(f"{grade}: {meaning}")


if __name__ == "__main__":
    main()
