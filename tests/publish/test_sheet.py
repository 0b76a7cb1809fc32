"""Study sheets: everything there, nothing of a note taken for markup, caution and marking on each page."""

import io
from html.parser import HTMLParser
from pathlib import Path

import pytest
from demo_decks import demo, demo_sheet
from publish_kit import notes
from pypdf import PdfReader

from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.base.text import CAUTION
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.publish.sheet import Group, Row, Section, Sheet, Steps, Table, sheet_of
from recall.publish.sheet_html import sheet_html
from recall.publish.sheet_pdf import sheet_pdf

SKERRY = Path(__file__).parents[2] / "decks" / "skerry"
HOSTILE = '<script>alert(1)</script> & "quoted" <b>'


class Tags(HTMLParser):
    """All tags, their attributes, and the words, as a browser takes them."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.words: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that opens."""
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("src", "href", "action", "data")]

    def handle_data(self, data: str) -> None:
        """Words."""
        self.words.append(data)


@pytest.fixture(scope="module")
def skerry() -> Deck:
    """The demo deck."""
    return demo()[0]


@pytest.fixture(scope="module")
def sheet(skerry: Deck) -> Sheet:
    """Its sheet."""
    return sheet_of(skerry)


def texts_of(sheet: Sheet) -> set[str]:
    """Every word of a sheet's tables and lists."""
    found: set[str] = set()
    for section in sheet.sections:
        for group in section.groups:
            for block in group.blocks:
                if isinstance(block, Table):
                    found |= {cell for row in block.rows for cell in row.cells}
                elif isinstance(block, Steps):
                    found |= {block.title, *(step.text for step in block.steps)}
    return found


def test_every_point_stands_on_the_sheet(skerry: Deck, sheet: Sheet) -> None:
    """By its subject, in the section of its kind."""
    found = texts_of(sheet)
    wanted = {point.subject for point in skerry.points if not point.faulty and not point.condition}

    assert set() == {subject for subject in wanted if subject not in found}
    assert {"Memory items", "Limits", "Interlocks", "Consequences", "Supplies", "Flows", "Abbreviations"} <= {
        section.title for section in sheet.sections
    }


def test_critical_points_are_marked_by_a_word(skerry: Deck, sheet: Sheet) -> None:
    """On the screen and on paper, not by colour alone."""
    rows = [
        row.critical
        for section in sheet.sections
        for group in section.groups
        for block in group.blocks
        for row in (block.rows if isinstance(block, Table) else [block] if isinstance(block, Steps) else [])
    ]
    html = sheet_html(sheet)

    assert (
        sum(rows)
        + sum(
            step.critical
            for section in sheet.sections
            for group in section.groups
            for block in group.blocks
            if isinstance(block, Steps) and not block.critical
            for step in block.steps
        )
        == html.count('<span class="mark">critical</span>') - 1
    )
    assert sum(rows) >= sum(point.critical for point in skerry.points if point.kind == "limit")


def test_nothing_of_a_note_is_markup(tmp_path: Path) -> None:
    """Tags, scripts and quotes in a note are words on the sheet."""
    rows = {f"Flow `{HOSTILE}`": "2 kg"}
    deck, _ = read_deck(notes(tmp_path / "deck", rows, heading=f"Fuel `{HOSTILE}`"))
    read = Tags(sheet_html(sheet_of(deck)))

    assert "script" not in read.tags
    assert "b" in read.tags
    assert any(HOSTILE in words for words in read.words)
    assert PdfReader(io.BytesIO(sheet_pdf(sheet_of(deck)))).pages[0].extract_text().count("alert(1)") == 2


def test_the_file_needs_nothing_else(sheet: Sheet) -> None:
    """No script, no picture, style or letter from elsewhere: a picture of the notes is in the file itself."""
    html = sheet_html(sheet)
    read = Tags(html)

    assert not {"script", "link", "iframe", "object"} & set(read.tags)
    assert read.tags.count("img") == html.count('<img src="data:image/png;base64,') == 2
    assert {"#", "data:image/png"} == {
        link[:1] if link[:1] == "#" else link.partition(";")[0] for link in read.links
    }
    assert "svg" in read.tags


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_each_page_carries_caution_marking_and_revision(sheet: Sheet, size: str) -> None:
    """As another reader of PDF finds them, on paper of the right size."""
    some = replace(sheet, sections=sheet.sections[:3])
    pages = (demo_sheet() if size == "a4" else PdfReader(io.BytesIO(sheet_pdf(some, size)))).pages
    wide, high = {"a4": (595, 842), "letter": (612, 792)}[size]

    assert {(wide, high)} == {(round(page.mediabox.width), round(page.mediabox.height)) for page in pages}
    for page in pages:
        text = page.extract_text()
        assert 2 <= text.count(CAUTION)
        assert sheet.marking in text
        assert "revision 7, effective 2026-11-28" in text


def test_paper_is_the_same_bytes_again(tmp_path: Path) -> None:
    """No date and no random number in the file."""
    deck, _ = read_deck(notes(tmp_path / "deck"))

    assert sheet_pdf(sheet_of(deck)) == sheet_pdf(sheet_of(deck))


def test_letters_that_the_fonts_lack_are_not_lost(tmp_path: Path) -> None:
    """Greek letters and arrows come from another font; what none has is shown by its number."""
    deck, _ = read_deck(notes(tmp_path / "deck", {"Δp → filter 水": "2 kg"}))
    text = PdfReader(io.BytesIO(sheet_pdf(sheet_of(deck)))).pages[0].extract_text()

    assert "\\u{6C34}" in text
    assert "p" in text
    assert "filter" in text


def test_a_paper_that_isn_t_known_is_refused(sheet: Sheet) -> None:
    """With the ones that are."""
    with pytest.raises(RecallError, match="no paper `a7`"):
        sheet_pdf(sheet, "a7")


def test_no_word_is_broken_where_a_table_has_many_columns() -> None:
    """The columns with the fewest cells go into the notes, cell by cell."""
    heads = (
        "Parameter",
        "When",
        "Minimum",
        "Normal",
        "Maximum",
        "Caution",
        "Warning",
        "If below",
        "If above",
        "Notes",
    )
    full = Row(("temperature", "continuous", *["1,000 °C"] * 5, "Disconnect", "Disconnect", "electrolyte"))
    lone = Row(("temperature", "accelerating", *[""] * 4, "2,000 °C", "", "", ""))
    table = Table((*heads, "Source"), tuple(Row((*row.cells, "Handbook")) for row in (full, *[lone] * 3)))
    section = Section("Limits", (Group("Engines", (table,)),))
    page = PdfReader(io.BytesIO(sheet_pdf(Sheet("Deck", (), "", (section,))))).pages[0].extract_text()
    words = {word.strip(":;,") for word in page.split()}

    assert {"Parameter", "temperature", "accelerating", "Disconnect", "electrolyte", "Handbook"} <= words
    assert "Minimum: 1,000 °C" in " ".join(page.split())
    assert "2,000" in words


def test_half_a_sentence_goes_on_as_it_does(tmp_path: Path) -> None:
    """What cannot be done unless something holds isn't said to require it; a plain name goes on from the heading."""
    note = tmp_path / "a.md"
    note.write_text(
        "# Gear\n\n- The gear cannot be raised unless the weight is off the wheels.\n"
        "- Fuel is transferred only when both feeders are full.\n"
        "- The wing boots are inhibited while the flaps are at 30.\n\n"
        "| Function | Requires |\n| --- | --- |\n| Reverse | Weight on wheels |\n",
        encoding="utf-8",
    )
    (table,) = sheet_of(read_deck(note)[0]).sections[0].groups[0].blocks
    assert isinstance(table, Table)

    assert ("Function", "Condition", "Inhibited when", "Requires") == table.heads
    assert [
        ("The gear cannot be raised", "unless the weight is off the wheels", "", ""),
        ("Fuel is transferred", "only when both feeders are full", "", ""),
        ("The wing boots", "", "the flaps are at 30", ""),
        ("Reverse", "", "", "Weight on wheels"),
    ] == [row.cells for row in table.rows]
