"""The demo decks, read once in a worker."""

import io
from collections import defaultdict
from collections.abc import Sequence
from functools import cache

from cli_kit import DECKS
from pypdf import PdfReader

from recall.answers import Lore
from recall.answers.tokens import words_said
from recall.base.finding import Finding
from recall.base.text import words_of
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.kinds.model import Card
from recall.publish.sheet import sheet_of
from recall.publish.sheet_pdf import sheet_pdf


@cache
def demo(name: str = "skerry") -> tuple[Deck, list[Finding]]:
    """One of them, with its findings."""
    return read_deck(DECKS / name)


def lore_of(cards: Sequence[Card]) -> Lore:
    """What a deck says, as far as marking needs it."""
    texts = [
        text for card in cards for text in (card.subject, card.condition, card.prompt, *card.answer.texts)
    ]
    holding: dict[str, list[str]] = defaultdict(list)
    for text in dict.fromkeys(texts):
        for word in {*words_of(text), *words_said(text)}:
            holding[word].append(text)
    meanings = (card for card in cards if (card.kind, card.aspect) == ("abbreviation", "meaning"))
    short = {card.subject: card.answer.texts for card in meanings}
    return Lore(holding.__contains__, short, says=lambda words: holding.get(words.split()[0], ()))


def demo_cards() -> list[Card]:
    """The cards of both."""
    return [card for name in ("rules-and-weather", "skerry") for card in demo(name)[0].cards]


@cache
def demo_sheet() -> PdfReader:
    """The study sheet of the larger one, on A4."""
    return PdfReader(io.BytesIO(sheet_pdf(sheet_of(demo()[0]))))
