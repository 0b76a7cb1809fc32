"""Tags and language of a PDF, as another reader of PDF finds them (ISO 32000-1, 14.7 and 14.8; what a tagged document
must have is from memory of 14.8.1)."""

import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from demo_decks import demo, demo_sheet
from publish_kit import notes
from pypdf import PdfReader
from pypdf.generic import ContentStream

from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.publish.cards_pdf import cards_pdf
from recall.publish.sheet import sheet_of
from recall.publish.sheet_pdf import sheet_pdf

SKERRY = Path(__file__).parents[2] / "decks" / "skerry"
SHOWS = {b"Tj", b"TJ", b"'", b'"', b"S", b"f", b"f*", b"B", b"B*", b"n", b"Do", b"s", b"b"}
"""Operators that show text or paint."""


@pytest.fixture(scope="module")
def skerry() -> Deck:
    """The demo deck."""
    return demo()[0]


@pytest.fixture(scope="module", params=["sheet", "cards"])
def read(request: pytest.FixtureRequest, skerry: Deck) -> PdfReader:
    """A file that is made of it."""
    if request.param == "sheet":
        return demo_sheet()
    return PdfReader(io.BytesIO(cards_pdf(skerry, skerry.cards[:60])))


def elements(one: Any) -> Iterator[Any]:
    """An element of the structure with all below it."""
    one = one.get_object()
    if one.get("/Type") == "/StructElem":
        yield one
    kids = one.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        if not isinstance(kid, int) and kid.get_object().get("/Type") == "/StructElem":
            yield from elements(kid)


def marks(one: Any) -> list[tuple[Any, int]]:
    """Page and number of what an element marks."""
    found = [kid.get_object() for kid in one["/K"]]
    return [(each.raw_get("/Pg"), each["/MCID"]) for each in found if each["/Type"] == "/MCR"]


def test_language_title_and_root(read: PdfReader) -> None:
    """The document names its language, says that it is tagged, and shows its title."""
    catalog = read.trailer["/Root"]

    assert "en" == catalog["/Lang"]
    assert catalog["/MarkInfo"]["/Marked"] == True  # noqa: E712 - as the reader wraps it
    assert "/StructTreeRoot" == catalog["/StructTreeRoot"]["/Type"]
    assert catalog["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert {"/S"} == {page["/Tabs"] for page in read.pages}


def test_all_that_is_drawn_is_tagged_or_told_apart(read: PdfReader) -> None:
    """Every text and line of a page is marked: as a part of an element, or as none of the content."""
    for page in read.pages:
        open_marks: list[str] = []
        numbers = []
        for operands, operator in ContentStream(page.get_contents(), read).operations:
            if operator in (b"BDC", b"BMC"):
                open_marks.append(operands[0])
                numbers += [operands[1]["/MCID"]] if operator == b"BDC" else []
            elif operator == b"EMC":
                open_marks.pop()
            elif operator in SHOWS - {b"n"}:
                assert 1 == len(open_marks), (operator, operands)
        assert [] == open_marks
        assert list(range(len(numbers))) == numbers


def test_each_mark_leads_to_its_element_and_back(read: PdfReader) -> None:
    """What a page marks is found from the structure, and the element from the page."""
    root = read.trailer["/Root"]["/StructTreeRoot"]
    numbers = root["/ParentTree"]["/Nums"]
    by_page = {numbers[at]: numbers[at + 1] for at in range(0, len(numbers), 2)}
    places = {page.indirect_reference.idnum: page["/StructParents"] for page in read.pages}
    seen = 0
    for one in elements(root["/K"]):
        for page, number in marks(one):
            assert one == by_page[places[page.idnum]][number].get_object()
            seen += 1

    assert sum(map(len, by_page.values())) == seen > 100


def test_a_sheet_has_headings_tables_and_lists() -> None:
    """One first heading, headings below it, rows of as many cells as their heads, lists of items, the diagram and
    the two pictures of the notes with words for them."""
    read = demo_sheet()
    found = list(elements(read.trailer["/Root"]["/StructTreeRoot"]["/K"]))
    count = Counter(one["/S"] for one in found)

    assert 1 == count["/Document"] == count["/H1"]
    assert 5 < count["/H2"] < count["/H3"] < count["/TR"]
    assert count["/L"] < count["/LI"] <= count["/LBody"]
    assert ["/Figure"] * 3 == [one["/S"] for one in found if "/Alt" in one]
    for table in (one for one in found if one["/S"] == "/Table"):
        rows = [[cell.get_object()["/S"] for cell in row.get_object()["/K"]] for row in table["/K"]]
        assert ["/TH"] * len(rows[0]) == rows[0]
        assert {("/TD",) * len(rows[0])} == set(map(tuple, rows[1:]))
    assert {"/Column"} == {one["/A"]["/Scope"] for one in found if one["/S"] == "/TH"}


def test_a_head_is_content_once(tmp_path: Path) -> None:
    """A table over several pages repeats its head for the eye alone."""
    deck, _ = read_deck(
        notes(tmp_path / "deck", {f"Pump {at} pressure": f"{at} psi" for at in range(1, 200)})
    )
    read = PdfReader(io.BytesIO(sheet_pdf(sheet_of(deck))))
    heads = [one for one in elements(read.trailer["/Root"]["/StructTreeRoot"]["/K"]) if one["/S"] == "/TH"]

    assert len(read.pages) > 2
    assert all("Parameter" in page.extract_text() for page in read.pages[1:])
    assert {1} == {len(marks(one)) for one in heads}
