"""`recall weak`: by system, for a moment that is said, with claims and marks compared."""

from pathlib import Path

import pytest
from cli_kit import recall

from recall.base.clock import SystemClock
from recall.store import Review, Store

NOTE = """\
# Skerry

Source: Handbook 1

## Fuel

### Pumps

- **BST** – boost pump
- **ENG** – engine pump
- **TRS** – transfer pump

### Tanks

- **MAI** – main tank

## Power

- **TRF** – transformer rectifier unit

### Why is the bus tied?

It feeds both sides.
"""


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store that has loaded it."""
    note = tmp_path / "skerry.md"
    note.write_text(NOTE, encoding="utf-8")
    path = tmp_path / "store.db"
    recall("load", note, store=path)
    return path


def test_topics_stand_under_their_system_and_the_moment_is_said(store: Path) -> None:
    """Counts everywhere, shares only from five answers on, unasked cards as unasked."""
    for _ in range(2):
        recall("review", "--topic", "Pumps", store=store, answers=["x"] * 20)
    lines = recall("weak", store=store).out.splitlines()

    assert "system, topic  asked  unasked   right  95 % interval  recall" == lines[0]
    assert ["Fuel", "6", "2", "0", "of", "6"] == lines[1].split()[:6]
    assert lines[2].startswith("  Pumps") and lines[2].endswith(" %")
    told = " ".join(lines)
    assert "Right counts what was: a card's first answer of each day." in told
    assert "Recall is what to expect on " in told and "09:00" in told


def test_a_claim_is_listed_for_whoever_writes_the_notes(store: Path) -> None:
    """With the question, its answer, what was given and where it stands; undone, it isn't."""
    recall("review", "--topic", "Power", store=store, answers=["a rectifier", ":right"])
    out = recall("weak", "--claims", store=store).out
    [row] = recall("weak", "--claims", "--json", store=store).rows()
    recall("undo", store=store)

    assert "skerry.md:19: What does TRF mean?" in out
    assert ("a rectifier", ["transformer rectifier unit"], 19) == (row["given"], row["answer"], row["line"])
    assert "No answer was claimed" in recall("weak", "--claims", store=store).out


@pytest.mark.parametrize(
    ("own", "other", "kinder"),
    [(10, 2, True), (10, 9, False), (9, 0, None)],
    ids=["kinder", "alike", "too few"],
)
def test_own_marks_stand_beside_an_examiners(store: Path, own: int, other: int, kinder: bool | None) -> None:
    """Once there are ten of each, on the cards that both marked; an overrule is no such mark."""
    with Store.open(store, SystemClock()) as opened:
        [card] = [card for card in opened.cards() if card.kind == "question"]
        for who, right, of in (("self", own, own), ("examiner", other, 10)):
            for number in range(of):
                mark = 3 if number < right else 1
                opened.record(Review(card.id, card.answer_hash, mark, mark > 1, marked_by=who))  # type: ignore[arg-type]
        opened.record(Review(card.id, card.answer_hash, 1, True, overruled=True, marked_by="self"))
    out = " ".join(recall("weak", store=store).out.split())

    assert (kinder is not None) is (f"{own} of {own} right" in out)
    assert bool(kinder) is ("kinder than an examiner" in out)


@pytest.mark.parametrize("words", [("review", "--topic"), ("plan", "--try", "--topic")])
@pytest.mark.parametrize(
    ("named", "code"), [("pum", 0), ("fuel/tan", 0), ("Fuel / Tanks", 0), ("p", 2), ("zz", 2), ("fuel/zz", 2)]
)
def test_a_topic_is_named_by_any_part_that_no_other_has(
    store: Path, words: tuple[str, ...], named: str, code: int
) -> None:
    """In every command alike; several or none are refused by name."""
    on = recall("due", "--days", "4", "--json", store=store).rows()[-1]["date"]
    recall("settings", "checkride_on", on, store=store)
    ran = recall(*words, named, store=store)

    assert code == ran.code
    assert ("`Skerry / Fuel / Pumps`, `Skerry / Power`" in ran.err) is (named == "p")


def test_an_export_takes_a_part_of_a_topic_too(store: Path, tmp_path: Path) -> None:
    """The same function names it."""
    out, note = tmp_path / "cards.json", tmp_path / "skerry.md"
    ran = recall("export", "table", note, "--topic", "pum", "--format", "json", "--out", out)

    assert 0 == ran.code
    assert 6 == len(out.read_text(encoding="utf-8").splitlines())
    assert 2 == recall("export", "table", note, "--topic", "p", "--out", out).code


def test_a_review_of_critical_points_alone(store: Path) -> None:
    """Where there are none, that is said."""
    ran = recall("review", "--critical", store=store)

    assert 2 == ran.code
    assert "no card is of `critical`" in ran.err


def test_more_than_the_settings_leave_for_today(store: Path) -> None:
    """What could be begun is counted, and `--more` begins it."""
    recall("settings", "unasked", "1", store=store)
    recall("review", store=store, answers=["", "", ":stop"])
    waits = recall("review", store=store, answers=[":stop"]).out
    told = recall("review", store=store, answers=["boost pump"]).out
    more = recall("review", "--more", store=store, answers=[":stop"]).out

    assert "1 card still waits today: `recall review`" in waits
    assert "10 more could be begun today: `recall review --more`" in told
    assert "1 of 10" in more
