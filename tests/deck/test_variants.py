"""Variants are declared once in the record, with their serial numbers."""

import pytest
from cli_kit import recall
from deck_kit import deck_of, said

NOTE = """---
deck: fuel
aircraft:
  6A: 01–09
  6B: 10–14
---

| Control | Position | Applies to |
| --- | --- | --- |
| Crossfeed | SHUT | 6A |
| Vent | OPEN | 10–12 |
| Drain | SHUT | |
"""


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("aircraft: {6A: 01–09, 6B: 10–14}", {"6A": "01–09", "6B": "10–14"}),
        ('aircraft: "6A: 01–09, 12; 6B: 10–14"', {"6A": "01–09, 12", "6B": "10–14"}),
        ("aircraft: {6A: [01–09, 12]}", {"6A": "01–09, 12"}),
        ("aircraft: 6A, 6B", {"6A": "", "6B": ""}),
        ("aircraft: 5", {"5": ""}),
    ],
)
def test_how_it_is_written(tmp_path, line, expected):
    """As lines of the record, or as one text in quotes."""
    deck, findings = deck_of(tmp_path, f"---\n{line}\n---\n\n# Notes\n")

    assert (expected, []) == (dict(deck.record.aircraft), said(findings))


@pytest.mark.parametrize(
    ("aircraft", "asked"),
    [
        ("6A", "Crossfeed Drain"),
        ("05", "Crossfeed Drain"),
        ("6B", "Vent Drain"),
        ("12", "Vent Drain"),
        ("14", "Drain"),
    ],
)
def test_a_person_is_asked_what_applies(tmp_path, aircraft, asked):
    """A variant's name and its serials are one, whichever of them the notes or the person name."""
    note, store = tmp_path / "fuel.md", tmp_path / "store.db"
    note.write_text(NOTE, encoding="utf-8")
    recall("load", note, store=store)
    told = recall("settings", "aircraft", aircraft, store=store).out

    assert f"{len(asked.split())} of 3 loaded cards" in " ".join(told.split())


def test_a_variant_that_no_deck_declares_is_told(tmp_path):
    """When it is set, with those that are."""
    note, store = tmp_path / "fuel.md", tmp_path / "store.db"
    note.write_text(NOTE, encoding="utf-8")
    recall("load", note, store=store)
    told = " ".join(recall("settings", "aircraft", "6C", store=store).out.split())

    assert "Caution: no loaded deck declares 6c: declared are 6A, 6B." in told
