"""Rows of the rules that were compared with the text that they name, held a second time."""

from datetime import date
from pathlib import Path

import pytest

from recall.deck.model import Deck
from recall.deck.read import read_deck

FOLDER = Path(__file__).parents[2] / "decks" / "rules-and-weather"

# What stored copies of the sections said on 2026-11-28. A row a line: section, subject, condition, answer; where each
# section was read stands in `rules-read.tsv` beside it.
HELD = Path(__file__).parent / "data" / "rules-compared.tsv"
READ = HELD.with_name("rules-read.tsv")
COMPARED: dict[str, list[tuple[str, str, str]]] = {}
for line in HELD.read_text(encoding="utf-8").splitlines()[1:]:
    at, subject, condition, answer = line.split("\t")
    COMPARED.setdefault(at, []).append((subject, condition, answer))


@pytest.fixture(scope="module")
def deck() -> Deck:
    """The deck, read on its effective date."""
    return read_deck(FOLDER, today=date(2026, 11, 28))[0]


def flat(answer: str) -> str:
    """An answer on one line."""
    return answer.replace("\n- ", "; ").removeprefix("- ").replace("\n", " ")


def said(deck: Deck, section: str) -> list[tuple[str, str, str]]:
    """Subject, condition and answer of the cards that say they were compared with a section."""
    return [
        (card.subject, card.condition, flat("; ".join(card.answer.texts)))
        for card in deck.cards
        if card.cite.endswith(f"{section} (compared 2026-11-28 with the text in a stored copy)")
        and card.aspect not in ("reading", "duration", "cause")
    ]


@pytest.mark.parametrize("section", COMPARED)
def test_a_compared_row_says_what_its_section_said(deck: Deck, section: str) -> None:
    """Each row of a section is the one that was read in it; none was added since without being compared."""
    assert sorted(COMPARED[section]) == sorted(said(deck, section))


def test_each_section_says_where_it_was_read() -> None:
    """No comparison is claimed of a text that nobody names."""
    read = [line.split("\t") for line in READ.read_text(encoding="utf-8").splitlines()[1:]]

    assert sorted(COMPARED) == sorted(section for section, _, _ in read)
    assert all(day == "2026-11-28" and where for _, day, where in read)


def test_most_rows_were_compared(deck: Deck) -> None:
    """Nine cards of ten name a text that they were compared with, and so does every critical one."""
    compared = sum("(compared" in card.cite for card in deck.cards)
    critical = [card.subject for card in deck.cards if card.critical and "(compared" not in card.cite]

    assert len(deck.cards) * 9 <= compared * 10
    assert [] == critical


def test_only_what_was_compared_says_so(deck: Deck) -> None:
    """A source that claims a comparison is one of those that are held here."""
    claimed = {card.cite.rsplit(" (compared", 1)[0] for card in deck.cards if "(compared" in card.cite}

    assert set() == {cite for cite in claimed if not cite.endswith(tuple(COMPARED))}


def test_the_report_on_an_overdue_aircraft_comes_after_seven_days(deck: Deck) -> None:
    """49 CFR 830.15(a): within 10 days after an accident, or after 7 days if an overdue aircraft is still missing."""
    reports = {subject: answer for subject, _, answer in said(deck, "49 CFR 830.15(a)")}

    assert ["Within 10 days after the accident.", "After 7 days, if it is still missing."] == list(
        reports.values()
    )
