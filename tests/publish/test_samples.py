"""The samples in `exports/samples` are what the demo deck gives today."""

import io
from pathlib import Path

import pytest
from demo_decks import demo
from pypdf import PdfReader

from recall.publish.samples import samples

TOP = Path(__file__).parents[2]
FOLDER = TOP / "exports" / "samples"
MADE_BY = 'recall export samples decks/skerry --topic "Electrical power" --out exports/samples'
NAMES = (
    "sheet.html", "sheet.pdf", "cards.pdf", "cards.csv", "points.jsonl", "questions.zip", "calendar.ics", "log.json",
)  # fmt: skip


@pytest.fixture(scope="module")
def made() -> dict[str, bytes]:
    """The samples, made again."""
    deck, _ = demo()
    return samples(deck, [card for card in deck.cards if card.topic[:1] == ("Electrical power",)])


def comparable(name: str, content: bytes) -> object:
    """The words of a PDF page by page, since compression isn't the same everywhere; all else as it is."""
    if not name.endswith(".pdf"):
        return content
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_is_as_it_is_made_today(made: dict[str, bytes], name: str) -> None:
    """Where this fails, look at what changed and make them again (MADE_BY)."""
    kept, now = FOLDER.joinpath(f"skerry-{name}").read_bytes(), made[f"skerry-{name}"]

    assert now == kept or comparable(name, now) == comparable(name, kept), MADE_BY


def test_there_is_a_sample_of_each_export(made: dict[str, bytes]) -> None:
    """No export without one, no stray file, and all of them together are small."""
    there = {file.name: file.stat().st_size for file in FOLDER.iterdir()}

    assert {f"skerry-{name}" for name in NAMES} == set(made) == set(there)
    assert sum(there.values()) < 2_000_000


def test_the_page_that_explains_them_names_the_command() -> None:
    """As it must be typed."""
    assert MADE_BY in TOP.joinpath("exports", "README.md").read_text(encoding="utf-8")
