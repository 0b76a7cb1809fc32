"""More points of one name than can be compared with one another."""

from pathlib import Path

import pytest

from recall.deck.read import read_deck


@pytest.mark.parametrize(("rows", "asked"), [(200, True), (201, False)])
def test_a_crowd_of_one_name_is_said_once_and_not_asked(tmp_path: Path, rows: int, asked: bool) -> None:
    """Two hundred meanings are compared with one another; one more, and none is asked."""
    lines = [f"| AB | alpha beta {at} |" for at in range(rows)]
    path = tmp_path / "words.md"
    path.write_text("\n".join(("| Abbreviation | Meaning |", "| --- | --- |", *lines)) + "\n")
    deck, findings = read_deck(path)
    crowd = [said.place.line for said in findings if said.rule == "conflicting-points"]

    assert ([] if asked else [203]) == crowd
    assert asked == bool(deck.cards)
