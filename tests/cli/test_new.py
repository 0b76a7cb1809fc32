"""`recall new`: the starter deck."""

import json

from cli_kit import recall

from recall.kinds.registry import KINDS


def test_the_starter_deck_lints_clean_and_asks_each_kind(tmp_path):
    """Nothing is found wrong with it, and its slug is the folder's."""
    folder = tmp_path / "My Boat"
    recall("new", str(folder))
    cards = [json.loads(line) for line in recall("cards", str(folder), "--json").out.splitlines()]

    assert "No findings.\n" == recall("lint", str(folder)).out
    assert f"`recall cards '{folder}'`" in recall("new", str(tmp_path / "A Boat")).out.replace(
        "A Boat", "My Boat"
    )
    assert {kind.name for kind in KINDS} == {card["kind"] for card in cards}
    assert {"my-boat"} == {card["deck"] for card in cards}
    assert {"duration", "action", "override", "whose-role", "skipped", "kept"} <= {
        card["aspect"] for card in cards
    }


def test_a_folder_that_holds_something_is_refused(tmp_path):
    """Nothing is written over, not even by a second start."""
    recall("new", str(tmp_path / "a"))
    (tmp_path / "a" / "deck.md").write_text("mine")
    said = recall("new", str(tmp_path / "a"))

    assert (2, "mine") == (said.code, (tmp_path / "a" / "deck.md").read_text())
    assert "isn't an empty folder\nhelp: name one that isn't there yet" in said.err
