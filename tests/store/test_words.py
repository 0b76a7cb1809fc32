"""Which words stand in a deck."""

import pytest
from store_kit import deck

from recall.base.dataclass import replace
from recall.store import Store
from recall.store.words import knows


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("bailer", True),
        ("heading", True),
        ("leaks", True),
        ("forward", True),
        ("ölkühler", True),
        ("bail", False),
        ("boiler", False),
        ("%", False),
    ],
)
def test_a_word_of_a_deck_is_known_wherever_it_stands(store: Store, word: str, expected: bool) -> None:
    """In a subject, an answer, a topic or a reason, whole and in any case, no part of a longer word."""
    made = deck({"Heading / Bailer": "forward", "Heading / ÖLKÜHLER": "aft"})
    store.load(replace(made, cards=tuple(replace(card, why="It leaks.") for card in made.cards)))

    assert expected == knows(store, "skerry", word)


def test_a_word_of_another_deck_is_not_known(store: Store) -> None:
    """Each deck has its own words."""
    store.load(deck({"Bailer": "forward"}, slug="other"))

    assert not knows(store, "skerry", "bailer")


def test_the_words_are_those_of_the_revision_in_force(store: Store) -> None:
    """A word that a revision left out is none of the deck any more; one that it brought is, also where the words were
    kept by no load."""
    store.load(deck({"Bailer": "forward", "Pump": "aft"}, revision="1"))
    store.load(deck({"Pump": "aft", "Anchor": "bow"}, revision="2"), replace=True)
    now = [knows(store, "skerry", word) for word in ("bailer", "anchor")]
    with store.writing():
        store.set_local("words skerry", "of no load bailer ")

    assert [False, True] == now == [knows(store, "skerry", word) for word in ("bailer", "anchor")]
