"""A real deck of limits: masses, speeds and ceilings of aircraft types, from the open data of `openap` 2.6.2
(LGPL-3.0; only the numbers, in `data/aircraft-types.csv`), written as instructors write them and read back."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from recall.deck.read import read_deck
from recall.kinds.marking import pose
from recall.kinds.model import Card

ROWS = list(csv.DictReader((Path(__file__).parent / "data" / "aircraft-types.csv").read_text().splitlines()))
COLUMNS = {
    "mtow_kg": ("Takeoff mass", "kg"),
    "mlw_kg": ("Landing mass", "kg"),
    "vmo_kt": ("Airspeed", "KIAS"),
    "ceiling_m": ("Altitude", "m"),
}


def _matrix() -> str:
    """A row a type, a column a quantity."""
    heads = " | ".join(f"{name}, {unit}" for name, unit in COLUMNS.values())
    lines = [f"| Type | {heads} |", "|---" * (len(COLUMNS) + 1) + "|"]
    lines += [
        f"| Type {row['type'].upper()} | " + " | ".join(row[key] or "–" for key in COLUMNS) + " |"
        for row in ROWS
    ]
    return "\n".join(lines)


def _rows() -> str:
    """A row a limit."""
    lines = ["| Parameter | When | Maximum | Unit |", "|---|---|---|---|"]
    for row in ROWS:
        for key, (name, unit) in COLUMNS.items():
            if row[key]:
                lines.append(f"| {name} | Type {row['type'].upper()} | {int(row[key]):,} | {unit} |")
    return "\n".join(lines)


def _read(folder: Path, table: str) -> list[Card]:
    note = folder / "types.md"
    note.write_text(f"# Types\n\nSource: open data\n\n{table}\n", encoding="utf-8")
    deck, findings = read_deck(note)
    assert [said for said in findings if said.severity != "note"] == []
    return list(deck.cards)


@pytest.mark.parametrize("table", [_matrix(), _rows()], ids=["matrix", "rows"])
def test_every_number_is_read_exactly(tmp_path: Path, table: str) -> None:
    """Each filled cell is one number to ask, with its value and unit, and nothing else is asked."""
    cards = [card for card in _read(tmp_path, table) if card.answer.form == "number"]
    read = sorted(Decimal(card.answer.texts[0].rsplit(" ", 1)[0].replace(",", "")) for card in cards)
    given = sorted(Decimal(row[key]) for row in ROWS for key in COLUMNS if row[key])

    assert given == read
    assert {unit for _, unit in COLUMNS.values()} == {
        card.answer.texts[0].rsplit(" ", 1)[1] for card in cards
    }


def test_each_value_is_taken_for_its_own_type_alone(tmp_path: Path) -> None:
    """Typed for the right type it is right; the next higher value isn't."""
    import random

    rng = random.Random(2)
    cards = [card for card in _read(tmp_path, _rows()) if card.answer.form == "number"]
    for card in cards:
        value, unit = card.answer.texts[0].rsplit(" ", 1)
        question = pose(card, rng)

        assert question.mark(value.replace(",", "")).right
        assert not question.mark(f"{Decimal(value.replace(',', '')) + 1} {unit}").right
