"""Mistakes planted into the demo aircraft's notes are found, and its clean notes raise no false alarm."""

import random
import shutil
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import pytest
from deck_kit import TODAY
from planting import PLANTERS, Notes, Planter

from recall.base.finding import OF_A_CLASS, RULES, Finding
from recall.deck.held import Held
from recall.deck.read import read_deck, read_written
from recall.deck.source import find_sources

DECKS = Path(__file__).parents[2] / "decks"
SOME = (
    "deck.md",
    "abbreviations.md",
    "engines.md",
    "warnings.md",
    "landing-gear.md",
    "fuel.md",
    "starting.md",
)
EACH = 4


def _notes() -> Notes:
    return {name: (DECKS / "skerry" / name).read_text(encoding="utf-8").splitlines() for name in SOME}


def _findings(notes: Notes, folder: Path, held: Held) -> Sequence[Finding]:
    for old in folder.glob("*.md"):
        old.unlink()
    shutil.copytree(DECKS / "skerry" / "img", folder / "img", dirs_exist_ok=True)
    for name, lines in notes.items():
        (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_written(find_sources(folder)[0], held, TODAY).findings


def _told(findings: Sequence[Finding]) -> Counter[tuple[str, str]]:
    return Counter((found.rule, found.place.file) for found in findings)


def test_every_error_and_warning_has_its_mistake() -> None:
    """A rule that nobody plants is a rule that nobody measures; look-alikes and facts asked once are none."""
    assert set(RULES) - OF_A_CLASS - {"look-alike", "asked-once", "unreadable-file"} == set(PLANTERS.values())


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> tuple[Held, Counter[tuple[str, str]]]:
    """What was read of the notes as they are, and what they raise: test_held.py has that what is held makes no
    difference."""
    held = Held()
    return held, _told(_findings(_notes(), tmp_path_factory.mktemp("clean"), held))


@pytest.mark.parametrize("planter", PLANTERS, ids=lambda planter: planter.__name__)
def test_a_planted_mistake_is_found_and_raises_no_storm(
    planter: Planter, clean: tuple[Held, Counter[tuple[str, str]]], tmp_path: Path
) -> None:
    """At each of four seeded places by its own rule in its own file; one slip makes one error or warning or two, not
    a page of them."""
    read, before = clean
    for seed in range(EACH):
        held = Held(dict(read.notes), dict(read.makes))
        notes = _notes()
        file = planter(notes, random.Random(f"{planter.__name__} {seed}"))
        more = _told(_findings(notes, tmp_path, held)) - before
        loud = sum(count for (rule, _), count in more.items() if RULES[rule] != "note")

        assert more[PLANTERS[planter], file], (seed, file, more)
        assert loud <= 2, (seed, file, more)


@pytest.mark.parametrize("name", ["skerry", "rules-and-weather"])
def test_clean_notes_raise_no_alarm(name: str) -> None:
    """No error and no warning in either demo deck."""
    _, findings = read_deck(DECKS / name, today=TODAY)

    assert [] == [found for found in findings if found.severity != "note"]
