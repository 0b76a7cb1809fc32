"""A kind that is added in one file is known everywhere: cards, findings, sheet, exports, changes, fates, sittings."""

from collections.abc import Mapping
from pathlib import Path
from typing import ClassVar

from note_kit import table

from recall.answers import MembersAnswer
from recall.deck.held import Held
from recall.deck.model import Deck
from recall.deck.read import read_deck, read_written
from recall.deck.source import find_sources
from recall.kinds.aspect import Aspect
from recall.kinds.kind import Kind
from recall.kinds.registry import KINDS
from recall.kinds.tables.cells import parts_of
from recall.publish.difference import Difference
from recall.publish.sheet import sheet_of
from recall.publish.tables import cards_table, points_table


class Signal(Kind):
    """A flag with the letters that it stands for."""

    name = "signal"
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {"flag": ("flag",), "letters": ("letters",)}
    required = (("flag",), ("letters",))
    cells: ClassVar = {"letters": parts_of}
    aspects = (
        Aspect(
            "letters", "letters", "Which letter does the {subject} flag show?",
            "Which {n} letters does the {subject} flag show?", MembersAnswer,
        ),
    )  # fmt: skip
    title = "Signals"
    sheet: ClassVar[Mapping[str, str]] = {"": "Flag", "letters": "Letters"}


ALL = (*KINDS, Signal())


def deck_of(folder: Path, *rows: str) -> Deck:
    """A deck of one table of flags."""
    folder.mkdir(exist_ok=True)
    (folder / "flags.md").write_text(
        table("Flag | Letters | Hoist", *rows, heading="Flags"), encoding="utf-8"
    )
    return read_deck(folder, kinds=ALL)[0]


def test_a_kind_of_one_file_is_known_everywhere(tmp_path: Path) -> None:
    """It is asked, told, shown on the sheet, exported, compared and accounted for."""
    deck = deck_of(tmp_path / "old", "**Blue** | P; Q | top", "Red | | low", "White | S | top")
    (card, _) = deck.cards
    findings = read_deck(tmp_path / "old", kinds=ALL)[1]
    (section,) = sheet_of(deck, ALL).sections
    (block,) = section.groups[0].blocks

    assert ("Which 2 letters does the Blue flag show?", ("P", "Q"), True) == (
        card.prompt,
        card.answer.texts,
        card.critical,
    )
    assert (6, "missing-answer") in [(said.place.line, said.rule) for said in findings]
    assert ("Signals", ("Flag", "Letters", "Notes")) == (section.title, block.heads)
    assert ["signal", "signal"] == [row["kind"] for row in cards_table([deck])]
    assert ["Blue", "White"] == [row["subject"] for row in points_table([deck])]
    written = read_written(find_sources(tmp_path / "old")[0], Held(), kinds=ALL)
    fates = [fate for note in written.notes for fate in written.fates(note)]
    assert ["told", "told"] == [fate.fate for fate in fates if fate.place.line == 6]

    new = deck_of(tmp_path / "new", "**Blue** | P; Q | top", "White | T | top")
    assert [("changed", "signal", "White")] == [
        (change.change, change.kind, change.subject) for change in Difference.between(deck, new).changes()
    ]
