"""Two-sided cards: each answer lies behind its question, whichever edge the printer turns the sheet over."""

import io
from pathlib import Path

import pytest
from publish_kit import notes
from pypdf import PdfReader

from recall.answers import ProseAnswer
from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.base.text import CAUTION
from recall.deck.read import read_deck
from recall.publish.cards_pdf import COLUMNS, HEIGHT, ROWS, WIDTH, cards_pdf, place

A4 = (595.28, 841.89)
MANY = {f"Weight of crate {number}": f"{number} kg" for number in range(101, 113)}


@pytest.mark.parametrize("edge", ["long", "short"])
@pytest.mark.parametrize("at", range(COLUMNS * ROWS))
def test_the_back_lies_behind_the_front(at: int, edge: str) -> None:
    """The sheet turned over: left and right change sides over its long edge, top and bottom over its short one."""
    wide, high = A4
    front = place(at, wide, high, back=False, edge=edge)
    x, y = place(at, wide, high, back=True, edge=edge)
    turned = (wide - x - WIDTH, y) if edge == "long" else (x, high - y - HEIGHT)

    assert pytest.approx(front) == turned


@pytest.mark.parametrize("edge", ["long", "short"])
def test_questions_and_answers_take_turns(tmp_path: Path, edge: str) -> None:
    """Page by page: all questions of a sheet, then their answers, in the places that the turning asks for."""
    deck, _ = read_deck(notes(tmp_path / "deck", MANY))
    cards = [card for card in deck.cards if card.aspect == "maximum"]
    pages = PdfReader(io.BytesIO(cards_pdf(deck, cards, "a4", edge))).pages
    order = [1, 0, 3, 2, 5, 4, 7, 6] if edge == "long" else [6, 7, 4, 5, 2, 3, 0, 1]
    where: dict[str, tuple[float, float]] = {}

    def seen(text: str, page: list[float], line: list[float], *_: object) -> None:
        if text.strip():
            where[text.strip()] = (page[4] + line[4], page[5] + line[5])

    pages[1].extract_text(visitor_text=seen)
    places = {text: spot for text, spot in where.items() if text.endswith(" kg")}

    assert 4 == len(pages)
    assert all(card.subject.casefold() in pages[0].extract_text().casefold() for card in cards[:8])
    assert [cards[at].answer.texts[0] for at in order] == [
        text for text, _ in sorted(places.items(), key=lambda one: (-round(one[1][1]), one[1][0]))
    ]


def test_each_side_carries_caution_and_marking(tmp_path: Path) -> None:
    """Fronts and backs alike."""
    deck, _ = read_deck(notes(tmp_path / "deck", MANY))
    for page in PdfReader(io.BytesIO(cards_pdf(deck, deck.cards))).pages:
        text = page.extract_text()

        assert 2 == text.count(CAUTION)
        assert "Training only · " in text


def test_a_long_answer_stays_on_its_card(tmp_path: Path) -> None:
    """The letters get smaller until it fits."""
    deck, _ = read_deck(notes(tmp_path / "deck", {"Weight of a crate": "2 kg"}))
    words = tuple(f"word{number}" for number in range(300))
    card = replace(deck.cards[0], answer=ProseAnswer((" ".join(words),)))
    text = PdfReader(io.BytesIO(cards_pdf(deck, [card]))).pages[1].extract_text()

    assert [word for word in words if word not in text] == []


def test_an_edge_that_no_sheet_has_is_refused(tmp_path: Path) -> None:
    """With the ones that it has."""
    deck, _ = read_deck(notes(tmp_path / "deck"))

    with pytest.raises(RecallError, match="no edge `round`"):
        cards_pdf(deck, deck.cards, edge="round")
