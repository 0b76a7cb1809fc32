"""The piece of the notes that a card was read from: it holds what is answered, and changes when that does."""

from pathlib import Path

import pytest
from demo_decks import demo
from hypothesis import given
from hypothesis import strategies as st

from recall.base.text import words_of
from recall.deck.model import Deck
from recall.deck.read import read_deck

DECKS = Path(__file__).parents[2] / "decks"
CASES = Path(__file__).parents[1] / "cases"
SHORT = 5
"""Shorter words may be a sign or a unit that was spelt otherwise, or the number of an item in a list; `eighths` is
`eighth` behind a 1."""


def deck_of(folder: Path, text: str) -> Deck:
    """One note as a deck."""
    (folder / "note.md").write_text(text, encoding="utf-8")
    return read_deck(folder / "note.md")[0]


def sources(deck: Deck) -> dict[str, str]:
    """Source by question."""
    return {card.prompt: card.source for card in deck.cards}


def lacking(deck: Deck) -> list[tuple[str, str]]:
    """Prompt and word where an answer has a word or a number that its piece doesn't."""
    found = []
    for card in deck.cards:
        piece = set(words_of(deck.pieces[card.source].replace("**", " ")))
        said = (
            card.answer.normal() if card.aspect == "cause" else card.answer.texts
        )  # shown as what has happened
        for word in (word for part in said for word in words_of(part)):
            if not {word, f"{word}s"} & piece and len(word) >= SHORT and not word.startswith("0"):
                found.append((card.prompt, word))
    return found


@pytest.mark.parametrize("name", ["skerry", "rules-and-weather"])
def test_the_piece_holds_the_answer(name: str) -> None:
    """Every word of an answer stands in the piece that the card was read from, in both decks."""
    deck, _ = demo(name)

    assert [] == lacking(deck)
    assert all(card.source for card in deck.cards)


TABLE = """# Fuel

| Parameter | Condition | Maximum | Unit |
|---|---|---|---|
| Imbalance | In flight | 200 | kg |
| " | On the ground | 400 | kg |
| Pump pressure | Boost | 30 | psi |
"""


def test_another_row(tmp_path: Path) -> None:
    """A change in one row of a table is a change of that row alone."""
    before = sources(deck_of(tmp_path, TABLE))
    after = sources(deck_of(tmp_path, TABLE.replace("| 30 |", "| 35 |")))

    assert {"pump pressure"} == {
        key
        for prompt in before
        for key in ("pump pressure", "imbalance")
        if before[prompt] != after[prompt] and key in prompt
    }


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("| Imbalance | In", "| Difference | In"),
        ("# Fuel", "# Hydraulics"),
        ("| Maximum |", "| Minimum |"),
        ("| 400 |", "| 450 |"),
    ],
)
def test_what_governs_a_row(tmp_path: Path, old: str, new: str) -> None:
    """A row whose first cell is left to the row above changes with that, with its header, its heading and itself."""
    before = deck_of(tmp_path, TABLE).cards
    after = deck_of(tmp_path, TABLE.replace(old, new)).cards
    rows = [{card.source for card in cards if card.line == 6} for cards in (before, after)]

    assert all(rows)
    assert not rows[0] & rows[1]


def test_layout_is_nothing(tmp_path: Path) -> None:
    """Blanks between cells and what stands elsewhere don't change a row's piece."""
    before = sources(deck_of(tmp_path, TABLE))
    wide = TABLE.replace("| 200 |", "|   200   |") + "\nSome prose.\n\n## Elsewhere\n\nAnd more of it.\n"

    assert before == sources(deck_of(tmp_path, wide))


FLOW = """# Before start

1. Battery switch ON
2. Boost pump ON
3. Beacon ON

# After start

1. Generator ON
2. Boost pump OFF
"""


def test_steps_are_one(tmp_path: Path) -> None:
    """Steps under one heading are one piece, those under the next another."""
    before = deck_of(tmp_path, FLOW).cards
    after = deck_of(tmp_path, FLOW.replace("Beacon ON", "Beacon OFF")).cards
    pairs = {(one.subject, one.source == two.source) for one, two in zip(before, after, strict=True)}

    assert {("Before start", False), ("After start", True)} == pairs


SUPPLY = """# Electrics

| Bus | Feeds |
|---|---|
| Main bus | Pump, Standby bus |
| Standby bus | Compass |
"""


def test_what_is_computed(tmp_path: Path) -> None:
    """What is computed from all supplies changes with any of them, what one row says with that row."""
    before = deck_of(tmp_path, SUPPLY).cards
    after = {
        card.id: card.source
        for card in deck_of(tmp_path, SUPPLY.replace("Compass", "Compass, Horizon")).cards
    }
    same = {(card.aspect, card.subject): card.source == after[card.id] for card in before}

    assert (False, True) == (same["lost", "Main bus"], same["feeds", "Main bus"])


@given(
    rows=st.lists(st.tuples(st.integers(10, 999), st.integers(1000, 9999)), min_size=2, max_size=6),
    at=st.integers(0, 5),
    by=st.integers(1, 9),
)
def test_a_number_that_changes(
    rows: list[tuple[int, int]], at: int, by: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whichever number of a table changes, the cards of its row have another source, and no others."""
    folder = tmp_path_factory.mktemp("notes")
    at %= len(rows)

    def table(changed: int) -> str:
        lines = (
            f"| Pressure {n} | {low} | {high + (changed if n == at else 0)} | psi |"
            for n, (low, high) in enumerate(rows)
        )
        return (
            "# Limits\n\n| Parameter | Minimum | Maximum | Unit |\n|---|---|---|---|\n"
            + "\n".join(lines)
            + "\n"
        )

    before, after = sources(deck_of(folder, table(0))), sources(deck_of(folder, table(by)))

    assert {f"pressure {at}"} == {
        f"pressure {n}"
        for n in range(len(rows))
        for prompt in before
        if before[prompt] != after[prompt] and f"pressure {n}" in prompt.casefold()
    }
