"""The ways in which a card may be asked."""

import pytest
from demo_decks import demo_cards
from note_kit import see

from recall.kinds.marking import wordings
from recall.kinds.model import Card
from recall.kinds.registry import KINDS


@pytest.fixture(scope="module")
def cards() -> list[Card]:
    """The cards of both demo decks."""
    return demo_cards()


def test_a_card_is_known_by_its_first_wording(cards: list[Card]) -> None:
    """Which is its prompt; the others are sentences of their own."""
    for card in cards:
        asked = wordings(card)
        assert card.prompt == asked[0] and len(asked) == len(set(asked))
        assert not any(one[0].islower() for one in asked[1:] if card.prompt[0].isupper())


def test_no_wording_is_that_of_two_cards(cards: list[Card]) -> None:
    """Whoever reads it knows which one is asked."""
    seen: dict[tuple[str, str], str] = {}
    twice = []
    for card in cards:
        for asked in wordings(card):
            if seen.setdefault((card.deck, asked), card.id) != card.id:
                twice.append(asked)

    assert [] == twice


def test_each_sentence_is_met_in_the_demo_decks(cards: list[Card]) -> None:
    """One that fits no card would be dead."""
    met = {(card.kind, len(wordings(card)) > 1) for card in cards}

    assert {(kind.name, True) for kind in KINDS if kind.ways} <= met


def test_most_cards_have_several_wordings(cards: list[Card]) -> None:
    """Three of four, and each memory item, setting and maximum but for a few."""
    several = sum(len(wordings(card)) > 1 for card in cards)
    memory = {len(wordings(card)) for card in cards if card.kind == "memory-item"}

    assert 0.7 < several / len(cards)
    assert {3} == memory


@pytest.mark.parametrize("answer", ["psi", "boost"])
def test_a_unit_is_asked_for_in_each_wording(cards: list[Card], answer: str) -> None:
    """So that a bare number is enough."""
    (card,) = [
        one for one in cards if "boost pump pressure" in one.prompt.casefold() and one.aspect == "maximum"
    ]

    assert all(answer in asked.casefold() for asked in wordings(card))


def test_what_a_cell_asks_is_put_in_two_ways() -> None:
    """Behind its condition, or under it, commas in either."""
    rows = "| If | Then |\n| --- | --- |\n| A pump, the left one, fails | What carries the load? The right pump |\n"
    (card,) = see(f"# Pumps\n\n{rows}").cards

    assert (
        "If a pump, the left one, fails, what carries the load?",
        "A pump, the left one, fails: what carries the load?",
    ) == wordings(card)
