"""Tables of points and cards, read back by others."""

import csv
import io
import json
from pathlib import Path

import pytest
from demo_decks import demo
from hypothesis import given, settings
from hypothesis import strategies as st
from publish_kit import notes

from recall.deck.read import read_deck
from recall.publish.tables import as_csv, as_json_lines, cards_table, points_table

SKERRY = Path(__file__).parents[2] / "decks" / "skerry"


def by_the_grammar(text: str) -> list[list[str]]:
    """A reader made of the grammar in RFC 4180, section 2, and nothing else; anything outside of it fails."""
    rows: list[list[str]] = [[]]
    at = 0
    while at < len(text):
        if text[at] == '"':
            field, at = "", at + 1
            while True:
                end = text.index('"', at)
                field += text[at:end]
                at = end + 1
                if text[at : at + 1] != '"':
                    break
                field, at = field + '"', at + 1
        else:
            end = at
            while end < len(text) and text[end] not in ',"\r\n':
                end += 1
            field, at = text[at:end], end
        rows[-1].append(field)
        if text[at : at + 1] == ",":
            at += 1
            if at == len(text) or text[at] == "\r":
                rows[-1].append("")
        if text[at : at + 2] == "\r\n":
            at += 2
            rows.append([])
        elif at < len(text) and text[at - 1] != ",":
            raise ValueError(f"outside the grammar at {at}: {text[at : at + 20]!r}")
    assert rows.pop() == []
    return rows


@pytest.mark.parametrize("table", [cards_table, points_table])
def test_two_readers_agree_on_the_demo_deck(table: object) -> None:
    """Python's reader in its strict mode and the RFC's own grammar find the same cells, every row of one length."""
    deck, _ = demo()
    rows = list(table([deck]))  # type: ignore[operator]
    text = as_csv(rows)
    read = list(csv.reader(io.StringIO(text, newline=""), strict=True))

    assert read == by_the_grammar(text)
    assert {len(rows[0])} == {len(row) for row in read}
    assert 1 + len(rows) == len(read)
    assert [row["subject"] for row in rows] == [row[read[0].index("subject")] for row in read[1:]]


def plain(cell: str) -> str:
    """What stood in a cell before it was made harmless, as `tables.py` says."""
    return cell.removeprefix("'")


cells = st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=20)


@settings(max_examples=60)
@given(st.lists(st.fixed_dictionaries({"one": cells, "two": cells, "three": cells}), min_size=1, max_size=4))
def test_every_text_comes_back(rows: list[dict[str, str]]) -> None:
    """Quotes, commas, line ends and blanks of any kind."""
    text = as_csv(rows)
    read = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))

    assert rows == [{name: plain(cell) for name, cell in row.items()} for row in read]
    assert [[row[head] for head in rows[0]] for row in rows] == [
        [plain(cell) for cell in row] for row in by_the_grammar(text)[1:]
    ]


def formulas(text: str, into: Path) -> list[str]:
    """Cells that a spreadsheet carries out: the CSV read by `pyexcel`, saved as a workbook, and its cells as
    `openpyxl` (ECMA-376: a cell with a formula) finds them there."""
    pyexcel, openpyxl = pytest.importorskip("pyexcel"), pytest.importorskip("openpyxl")
    pytest.importorskip("pyexcel_xlsx")
    pyexcel.get_sheet(file_content=text, file_type="csv").save_as(str(into))
    sheet = openpyxl.load_workbook(into).active
    return [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]


EVALUATED = ("=1+1", "=HYPERLINK(1)", "+1+1", "-2+3", "@SUM(1)", "\t=1", "'=1", "-30 °C", "＝1")


def test_no_cell_is_carried_out_by_a_spreadsheet(tmp_path: Path) -> None:
    """Cells that begin like a formula are words to it; written plainly, some would be carried out."""
    rows = [{"subject": cell, "answer": "24 V"} for cell in EVALUATED]
    bare = io.StringIO(newline="")
    csv.writer(bare).writerows([row["subject"]] for row in rows)

    assert [] == formulas(as_csv(rows), tmp_path / "safe.xlsx")
    assert "=1+1" in formulas(bare.getvalue(), tmp_path / "bare.xlsx")


def test_what_is_made_harmless_is_marked_and_comes_back() -> None:
    """An apostrophe before it, and before nothing else."""
    cells = [
        row[0] for row in by_the_grammar(as_csv({"one": cell} for cell in (*EVALUATED, "24 V", "a=b")))[1:]
    ]

    assert [f"'{cell}" for cell in EVALUATED] + ["24 V", "a=b"] == cells
    assert [*EVALUATED, "24 V", "a=b"] == [plain(cell) for cell in cells]


def test_json_lines_hold_the_same_rows(tmp_path: Path) -> None:
    """Lists stay lists, yes and no stay what they are."""
    deck, _ = read_deck(notes(tmp_path / "deck"))
    rows = list(cards_table([deck]))

    assert rows == [json.loads(line) for line in as_json_lines(rows).splitlines()]
    assert (["Fuel"], ["200 kg"], True) == (rows[0]["topic"], rows[0]["answer"], rows[0]["critical"])


def test_a_point_says_all_that_its_row_says(tmp_path: Path) -> None:
    """Amounts as they are shown, with the words beside them."""
    note = tmp_path / "fuel.md"
    note.write_text(
        "# Fuel\n\n| Parameter | Minimum | Maximum | Unit | If above |\n| --- | --- | --- | --- | --- |\n"
        "| Pressure | 10 | 30 | psi | Pump off |\n\n1. Pump ON\n2. Valve OPEN\n",
        encoding="utf-8",
    )
    limit, flow = points_table([read_deck(note)[0]])

    assert ["minimum: 10 psi", "maximum: 30 psi", "above: Pump off"] == limit["says"]
    assert ["step: Pump ON", "step: Valve OPEN"] == flow["says"]
