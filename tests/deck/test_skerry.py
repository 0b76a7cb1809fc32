"""The demo aircraft's deck: large enough to learn the aircraft from, and true to the trade's common practice."""

from collections import Counter

import pytest
from cli_kit import DECKS
from demo_decks import demo

from recall.deck.model import Deck
from recall.kinds.registry import KINDS


@pytest.fixture(scope="module")
def deck() -> Deck:
    """The deck, read."""
    return demo()[0]


def test_it_is_as_large_as_it_says(deck: Deck) -> None:
    """At least 250 points over at least 10 systems, at least 20 of them critical, every kind among them."""
    points = {card.point: card for card in deck.cards}
    topics = Counter(card.topic[0] for card in points.values())
    critical = {card.point for card in deck.cards if card.critical}

    assert len(points) >= 250
    assert len([topic for topic, count in topics.items() if count >= 10]) >= 10
    assert len(critical) >= 20
    assert {kind.name for kind in KINDS} == {card.kind for card in points.values()}


def test_every_note_says_that_its_numbers_are_invented() -> None:
    """A reader who opens one note alone is told."""
    notes = sorted((DECKS / "skerry").glob("*.md"))
    silent = [note.name for note in notes if "invented" not in note.read_text(encoding="utf-8").casefold()]

    assert [] == silent


def test_every_critical_point_and_limit_has_a_source(deck: Deck) -> None:
    """A student in doubt can look it up."""
    assert [] == [
        card.prompt for card in deck.cards if (card.critical or card.kind == "limit") and not card.cite
    ]


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("limit", ("battery voltage", "start")),
        ("interlock", ("start", "power lever")),
        ("interlock", ("start", "engine")),
        ("consequence", ("generator",)),
    ],
    ids=[
        "a battery is checked before it starts an engine",
        "an engine won't start with its power lever above the ground range",
        "engines are started one at a time",
        "generators drop off line when the propeller is slow",
    ],
)
def test_common_practice_is_in_it(deck: Deck, kind: str, words: tuple[str, ...]) -> None:
    """Facts of the trade that a crew would look for: common practice, no source."""
    texts = [
        " ".join((card.prompt, *card.answer.texts, card.why)).casefold()
        for card in deck.cards
        if card.kind == kind
    ]

    assert [text for text in texts if all(word in text for word in words)]
