"""Typed answers of every sort on invented decks, each with a fair examiner's verdict."""

import random
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import chain
from pathlib import Path

import pytest
from cli_kit import DECKS
from demo_decks import lore_of

from recall.answers import Lore, Verdict
from recall.base.text import words_of
from recall.deck.read import read_deck
from recall.deck.source import find_sources
from recall.kinds.marking import pose
from recall.kinds.model import Card

FAIR = Path(__file__).parent / "fair"
SAID = {"+": "right", "-": "wrong", "?": "again"}


def said(verdict: Verdict) -> str:
    """A verdict in the examiner's word."""
    return "again" if verdict.again else "right" if verdict.right else "wrong"


def _asked(cards: Iterable[Card], what: str, asks: str) -> Card:
    """The one card of a kind and aspect whose question holds these words, or, worded anew, those that few hold."""
    some = {card.id: card for card in cards if f"{card.kind} {card.aspect}" == what}
    words = {id_: {*words_of(card.prompt)} & {*words_of(asks)} for id_, card in some.items()}
    weight = {word: count**-0.5 for word, count in Counter(chain.from_iterable(words.values())).items()}
    shares = {
        id_: (asks.casefold() in card.prompt.casefold(), sum(sorted(weight[word] for word in words[id_])))
        for id_, card in some.items()
    }
    best = max(shares.values())
    (found,) = [card for id_, card in some.items() if shares[id_] == best]
    assert best[0] or 2 * best[1] >= sum(weight.values()), (what, asks)
    return found


@cache
def asked_of(deck: str) -> tuple[list[Card], Lore]:
    """The cards of a deck, and what it says."""
    notes = FAIR / f"{deck}.md"
    cards = list(read_deck(find_sources(notes if notes.exists() else DECKS / deck)[0])[0].cards)
    return cards, lore_of(cards)


def answers(file: str) -> Iterator[tuple[Card, Lore, str, str]]:
    """Question, what the deck says, typed answer, and the verdict due. file: the deck's name, and after a stop what
    sort of answers it holds."""
    cards, lore = asked_of(file.split(".")[0])
    question = None
    for line in (FAIR / f"{file}.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("@"):
            what, _, asks = line[2:].partition(": ")
            question = pose(_asked(cards, what, asks), random.Random(2))
            assert question.answer.typed, line
        elif line[:1] in SAID and question is not None:
            yield question, lore, line[2:], SAID[line[0]]


@pytest.mark.parametrize("file", [path.stem for path in sorted(FAIR.glob("*.txt"))])
def test_each_answer_gets_the_verdict_of_a_fair_examiner(file: str) -> None:
    """Right, wrong or asked again, none otherwise."""
    faults = [
        (typed, question.answer.text, due, got)
        for question, lore, typed, due in answers(file)
        if (got := said(question.mark(typed, lore))) != due
    ]

    assert [] == faults
