"""Pictures of rows: whose they are, named at the terminal, shown on the sheet, carried by a published revision."""

import base64
import io
from pathlib import Path

import publish_kit
import pytest
from deck_kit import deck_of, said
from PIL import Image

from recall.base.errors import RecallError, UnverifiedError
from recall.deck.model import Deck
from recall.deck.pictures import type_of
from recall.deck.read import read_deck
from recall.kinds.model import Card
from recall.publish.pictures import pictures_here
from recall.publish.receive import receive
from recall.publish.sheet import sheet_of
from recall.publish.sheet_html import sheet_html
from recall.publish.sheet_lines import sheet_lines
from recall.publish.sheet_pdf import sheet_pdf
from recall.store import Store

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0L4 4"/></svg>'
HEAD = "---\ndeck: small\nrevision: 1\neffective: 2026-03-01\n---\n"
TABLE = "# Fuel\n\n| Control | Position |\n| --- | --- |\n"


def png() -> bytes:
    """A picture of our own."""
    into = io.BytesIO()
    Image.new("RGB", (40, 20), "navy").save(into, "PNG")
    return into.getvalue()


def written(folder: Path, text: str, name: str = "img/panel.png", content: bytes = b"") -> Deck:
    """A deck of one note, with one picture."""
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(content or png())
    (folder / "deck.md").write_text(HEAD + text, encoding="utf-8")
    return read_deck(folder)[0]


def only_card(store: Store) -> Card:
    """The one card of a store."""
    (known,) = store.cards()
    return store.card(known.id)


def shown(deck: Deck) -> list[tuple[str, tuple[tuple[str, str], ...]]]:
    """What each card asks about, with what is shown besides."""
    return [(card.subject, card.extra) for card in deck.cards]


def test_a_picture_belongs_to_its_row(tmp_path: Path) -> None:
    """Wherever it stands in the row, with its words; the row below has none."""
    rows = "| Selector ![panel](img/panel.png) | LEFT |\n| Pump | ON |\n| Crossfeed | ![](img/panel.png) SHUT |\n"

    assert [
        ("Selector", (("Picture", "panel (img/panel.png)"),)),
        ("Pump", ()),
        ("Crossfeed", (("Picture", "(img/panel.png)"),)),
    ] == shown(written(tmp_path, TABLE + rows))


def test_a_column_of_pictures_is_said_once(tmp_path: Path) -> None:
    """A cell that holds a picture alone is no other column's words besides."""
    text = "# Fuel\n\n| Control | Position | View |\n| --- | --- | --- |\n| Pump | ON | ![panel](img/panel.png) |\n"

    assert [("Pump", (("Picture", "panel (img/panel.png)"),))] == shown(written(tmp_path, text))


def test_a_section_has_its_pictures(tmp_path: Path) -> None:
    """A flow has those anywhere under its heading, and a question too; another heading's are another's."""
    text = (
        "# Start\n\n![panel](img/panel.png)\n\n1. Pump ON\n2. Lever RUN\n\n# Why so?\n\nBecause.\n\n"
        "![other](img/other.png)\n\n# Fuel\n\n| Control | Position |\n| --- | --- |\n| Pump | ON |\n"
    )

    assert [
        ("Start", (("Picture", "panel (img/panel.png)"),)),
        ("Why so?", (("Picture", "other (img/other.png)"),)),
        ("Pump", ()),
    ] == shown(written(tmp_path, text))


@pytest.mark.parametrize(
    ("cell", "answer"),
    [
        ("OPEN ![panel](img/panel.png)", "OPEN"),
        ("![panel](img/panel.png) OPEN", "OPEN"),
        ("![OPEN](img/panel.png)", "OPEN"),
        ("held by ![HOLD](img/panel.png)", "held by HOLD"),
        ("Press ![the lock](img/panel.png)", "Press the lock"),
        ("the ![red](img/panel.png) mark", "the red mark"),
    ],
)
def test_words_of_a_picture_are_words_where_they_are_needed(tmp_path: Path, cell: str, answer: str) -> None:
    """At an end, beside others, they aren't; a legend, what is pressed, and what stands between words are."""
    deck = written(tmp_path, f"{TABLE}| Crossfeed | {cell} |\n")

    assert [(answer,)] == [card.answer.texts for card in deck.cards]


def test_a_picture_is_on_the_sheet(tmp_path: Path) -> None:
    """In HTML it is in the file itself, with its words; several points of it share it; in a sitting it is named."""
    rows = "| Selector ![panel](img/panel.png) | LEFT |\n| Pump ![pump](img/panel.png) | ON |\n"
    sheet = sheet_of(written(tmp_path, TABLE + rows))
    html = sheet_html(sheet)

    assert 1 == html.count(base64.b64encode(png()).decode())
    assert "<figcaption>Selector: panel; Pump: pump</figcaption>" in html
    assert "Picture: Selector: panel; Pump: pump (img/panel.png)" in [
        line.text for line in sheet_lines(sheet)
    ]
    assert b"/Subtype /Image" in sheet_pdf(sheet)


def test_what_paper_cant_show_is_named(tmp_path: Path) -> None:
    """A drawing in SVG stands on the HTML sheet, and by its name in the PDF."""
    sheet = sheet_of(written(tmp_path, f"{TABLE}| Pump ![pump](img/pump.svg) | ON |\n", "img/pump.svg", SVG))

    assert "data:image/svg+xml;base64," in sheet_html(sheet)
    assert b"/Subtype /Image" not in sheet_pdf(sheet)


def test_pictures_travel_in_the_revision(tmp_path: Path) -> None:
    """Whoever loads the file has them, byte for byte, where the notes are gone."""
    notes, out = tmp_path / "notes", tmp_path / "out"
    written(notes, TABLE + "| Pump ![pump](img/panel.png) | ON |\n")
    path = publish_kit.published(notes, out).path
    (notes / "img/panel.png").unlink()
    store = publish_kit.store(tmp_path / "student.db")
    receive(store, path)
    card = only_card(store)

    assert [("pump", png(), "image/png")] == [
        (one.words, one.content, one.type) for one in pictures_here(store, card)
    ]


def test_a_picture_of_a_folder_is_found(tmp_path: Path) -> None:
    """Also that of a note below the deck's folder, named from the note's own; one that is gone is left out."""
    written(tmp_path, "# Fuel\n", "systems/img/panel.png")
    (tmp_path / "systems/fuel.md").write_text(f"{TABLE}| Pump ![pump](img/panel.png) | ON |\n")
    store = publish_kit.store(tmp_path / "own.db")
    store.load(read_deck(tmp_path)[0])
    card = only_card(store)

    assert [png()] == [one.content for one in pictures_here(store, card)]
    (tmp_path / "systems/img/panel.png").unlink()
    assert [] == pictures_here(store, card)


def test_an_altered_picture_is_refused(tmp_path: Path) -> None:
    """It is checksummed as all else."""
    written(tmp_path / "notes", TABLE + "| Pump ![pump](img/panel.png) | ON |\n")
    path = publish_kit.published(tmp_path / "notes", tmp_path / "out").path
    path.write_bytes(path.read_bytes().replace(png(), png()[:-1] + b"x"))

    with pytest.raises(UnverifiedError):
        receive(publish_kit.store(tmp_path / "student.db"), path)


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("../out.png", png(), "lies outside the deck"),
        ("img/panel.bmp", png(), "is no picture that can be shown"),
        ("img/panel.png", b"GIF89a", "isn't what its name says"),
        ("img/panel.png", png() + bytes(5 << 20), "is larger than"),
        ("img/a.svg", SVG.replace(b"<path", b"<script>alert(1)</script><path"), "does more than show"),
        ("img/a.svg", SVG.replace(b"<path", b'<path onload="x()"'), "does more than show"),
        (
            "img/a.svg",
            SVG.replace(b"<path", b'<image href="https://example.org/x.png"/><path'),
            "more than show",
        ),
    ],
)
def test_what_may_not_be_shown_stays_here(tmp_path: Path, name: str, content: bytes, message: str) -> None:
    """The checker says so, and it isn't published."""
    folder = tmp_path / "notes"
    written(folder, f"{TABLE}| Pump ![pump]({name}) | ON |\n", name, content)
    _, findings = read_deck(folder)

    assert [("deck.md", 10, "broken-reference")] == said(findings, "broken-reference")
    assert message in findings[0].message
    with pytest.raises(RecallError, match=message):
        publish_kit.published(folder, tmp_path / "out")


def test_a_link_out_of_the_deck_is_not_followed(tmp_path: Path) -> None:
    """Whatever it leads to stays where it is."""
    folder = tmp_path / "notes"
    (tmp_path / "secret.png").write_bytes(png())
    folder.mkdir()
    (folder / "panel.png").symlink_to(tmp_path / "secret.png")
    (folder / "deck.md").write_text(f"{HEAD}{TABLE}| Pump ![pump](panel.png) | ON |\n")

    with pytest.raises(RecallError, match="leads out of the deck"):
        publish_kit.published(folder, tmp_path / "out")


def test_a_picture_in_a_row_is_no_change_of_its_point(tmp_path: Path) -> None:
    """A row that gets a picture asks the same card as before."""
    one, two = tmp_path / "one", tmp_path / "two"
    one.mkdir()
    plain, _ = deck_of(one, f"{TABLE}| Pump | ON |\n")
    pictured = written(two, f"{TABLE}| Pump ![pump](img/panel.png) | ON |\n")

    assert [card.prompt for card in plain.cards] == [card.prompt for card in pictured.cards]
    assert [card.answer_hash for card in plain.cards] == [card.answer_hash for card in pictured.cards]


def test_what_begins_as_a_picture_is_one() -> None:
    """A drawing may begin with a declaration and remarks."""
    text = b'<?xml version="1.0"?>\n<!-- drawn by hand -->\n' + SVG

    assert "image/svg+xml" == type_of("a.svg", text)
