"""Notes that are read while they are written: what was read before is taken over, and makes no difference."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from recall.deck.held import Held
from recall.deck.read import Written, read_deck, read_written
from recall.deck.source import find_sources
from recall.kinds.fates import Fate

DECKS = Path(__file__).parents[2] / "decks"
SOME = ("deck.md", "electrical-power.md", "fuel.md", "emergencies.md")
ODD = (
    "## New part",
    "# New",
    "## What is new?",
    "```",
    "> # Quoted",
    "<table>",
    "---",
    "Source: Handbook 1",
    "[a]: b",
)
WAYS = ("take out", "double", "blank", "bold", "to the end", *ODD)
EDITS = st.lists(
    st.tuples(
        st.sampled_from(SOME),
        st.sampled_from(WAYS),
        st.integers(0, 400),
    ),
    min_size=1,
    max_size=6,
)


@pytest.fixture(scope="module")
def notes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A few notes of the demo deck, each with every third of its parts."""
    folder = tmp_path_factory.mktemp("notes") / "skerry"
    folder.mkdir()
    for name in SOME:
        head, *parts = (DECKS / "skerry" / name).read_text(encoding="utf-8").split("\n## ")
        (folder / name).write_text("\n## ".join([head, *parts[::3]]), encoding="utf-8")
    return folder


def now(folder: Path, held: Held) -> Written:
    """The deck as it stands."""
    return read_written(find_sources(folder)[0], held)


def fates(written: Written) -> list[Fate]:
    """What became of each piece of its notes."""
    return [fate for file in written.notes for fate in written.fates(file)]


def edited(text: str, what: str, at: int) -> str:
    """A note with one line changed, somewhere."""
    lines = text.split("\n")
    at %= len(lines)
    line = lines.pop(at)
    match what:
        case "double":
            lines[at:at] = [line, line]
        case "blank":
            lines[at:at] = [line, ""]
        case "bold":
            lines.insert(at, line.replace("| ", "| **", 1).replace(" |", "** |", 1))
        case "to the end":
            lines.append(line)
        case _ if what in ODD:
            lines[at:at] = [line, what]
    return "\n".join(lines)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(EDITS)
def test_what_is_taken_over_makes_no_difference(notes: Path, edits: list[tuple[str, str, int]]) -> None:
    """After each edit the same cards, findings and fates as when all is read anew."""
    held = Held()
    before = {name: (notes / name).read_text(encoding="utf-8") for name in SOME}
    try:
        now(notes, held)
        for name, what, at in edits:
            text = (notes / name).read_text(encoding="utf-8")
            (notes / name).write_text(edited(text, what, at), encoding="utf-8")
            written = now(notes, held)
            anew = now(notes, Held())

            assert [card.to_json() for card in anew.deck.cards] == [
                card.to_json() for card in written.deck.cards
            ]
            assert anew.deck == written.deck
            assert anew.findings == written.findings
            assert fates(anew) == fates(written)
    finally:
        for name, text in before.items():
            (notes / name).write_text(text, encoding="utf-8")


def test_a_deck_that_is_written_is_read_as_any_other(notes: Path) -> None:
    """The same deck and findings, whether anything is held or not."""
    deck, findings = read_deck(notes)
    written = now(notes, Held())

    assert (deck, findings) == (written.deck, list(written.findings))


def test_only_a_note_that_changed_is_read(notes: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The others are taken over."""
    from recall.deck import held as room

    held, seen = Held(), []
    now(notes, held)
    whole = room.read_file
    monkeypatch.setattr(room, "read_file", lambda path, named: (seen.append(named), whole(path, named))[1])
    text = (notes / "fuel.md").read_text(encoding="utf-8")
    (notes / "fuel.md").write_text(text + "\n", encoding="utf-8")
    now(notes, held)
    (notes / "fuel.md").write_text(text, encoding="utf-8")

    assert ["fuel.md"] == seen
