"""The main job from the command line: notes in, a review, the schedule kept, weak topics shown."""

import json
from pathlib import Path

import pytest
from cli_kit import DECKS, recall


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Where a store is to be made."""
    return tmp_path / "store.db"


def test_cards_keep_the_contract(note: Path) -> None:
    """Each line has the promised names, topic and answer being lists."""
    rows = recall("cards", note, "--json").rows()
    names = [
        "id",
        "deck",
        "point",
        "kind",
        "aspect",
        "topic",
        "prompt",
        "answer",
        "critical",
        "file",
        "line",
        "cite",
    ]

    assert [names] * len(rows) == [list(row) for row in rows]
    assert {"limit", "abbreviation"} == {row["kind"] for row in rows}
    assert {(str(note), 7, True, "Handbook 28-1")} == {
        (row["file"], row["line"], row["critical"], row["cite"])
        for row in rows
        if "feeder" in row["prompt"].casefold()
    }


def test_a_reading_has_no_answer_until_it_is_drawn(note: Path) -> None:
    """Its answer is computed when it is asked."""
    readings = [row for row in recall("cards", note, "--json").rows() if row["aspect"] == "reading"]

    assert ([[], []], 2) == ([row["answer"] for row in readings], len(readings))


def test_loading_says_what_is_new_and_then_that_nothing_changed(note: Path, store: Path) -> None:
    """The second load of the same notes finds them unchanged."""
    first = recall("load", note, "--json", store=store).rows()
    again = recall("load", note, "--json", store=store).rows()

    assert [("fuel", 4, 4), ("fuel", 4, 0)] == [
        (row["deck"], row["points"], row["new"]) for row in first + again
    ]
    assert first[0]["cards"] == again[0]["cards"]


def test_a_review_marks_strictly_and_keeps_each_answer(note: Path, store: Path) -> None:
    """A word left out is wrong and shown word by word; the answer is in the history at once."""
    ran = recall(
        "review", note, "--kind", "abbreviation", store=store, answers=["transformer rectifier", ":stop"]
    )

    assert 0 == ran.code
    assert "transformer rectifier [left out: unit]" in ran.out
    assert "1 answers" in ran.out or "1 answer" in ran.out
    weak = recall("weak", "--json", store=store).rows()
    assert [(["Fuel"], 1, 0.0)] == [(row["topic"], row["asked"], row["accuracy"]) for row in weak]


def test_the_caution_is_said_once(note: Path, store: Path) -> None:
    """At first use, and not again."""
    first = recall("review", note, store=store, answers=[":stop"])
    again = recall("review", store=store, answers=[":stop"])

    assert (True, False) == ("not for use in flight" in first.out, "not for use in flight" in again.out)


def test_due_counts_what_was_asked(note: Path, store: Path) -> None:
    """A card asked today is due on a later day; the rest is still unasked."""
    cards = len(recall("cards", note, "--json").rows())
    recall("load", note, store=store)
    before = recall("due", "--json", store=store).rows()
    recall("review", "--kind", "abbreviation", store=store, answers=["transformer rectifier unit", ":stop"])
    after = recall("due", "--days", "30", "--json", store=store).rows()

    assert (7, cards) == (len(before), before[0]["unasked"])
    assert {"date", "overdue", "due", "unasked", "minutes"} == set(before[0])
    assert (cards - 1, 0, 1) == (after[0]["unasked"], after[0]["due"], sum(day["due"] for day in after))


def test_undo_takes_the_newest_answer_back(note: Path, store: Path) -> None:
    """The card is unasked again, and nothing more is there to undo."""
    recall("review", note, store=store, answers=["no idea", ":stop"])
    undone = recall("undo", store=store)
    nothing = recall("undo", store=store)

    assert (0, 2) == (undone.code, nothing.code)
    assert "unasked again" in undone.out
    assert [0] == [row["asked"] for row in recall("weak", "--json", store=store).rows()]


def test_settings_are_kept_and_refused_with_a_reason(store: Path) -> None:
    """A value out of range changes nothing."""
    recall("settings", "unasked", "5", store=store)
    refused = recall("settings", "target", "1.5", store=store)

    assert (2, "") == (refused.code, refused.out)
    assert "0.7 to 0.99" in refused.err
    known = json.loads(recall("settings", "--json", store=store).out)
    assert (5, 0.9) == (known["unasked"], known["target"])


def test_what_applies_to_another_aircraft_is_not_asked(tmp_path: Path, store: Path) -> None:
    """A person sets theirs, and is asked just that."""
    note = tmp_path / "flaps.md"
    rows = "| Flap speed | 120 | KIAS | 101–112 |\n| Flap speed | 125 | KIAS | 113 on |\n"
    note.write_text(
        f"# Flaps\n\n| Parameter | Maximum | Unit | Applies to |\n|---|---|---|---|\n{rows}", encoding="utf-8"
    )
    recall("settings", "aircraft", "104", store=store)
    ran = recall("review", note, store=store, answers=["120", "x", "x", "x", "x", "x"])

    assert "120 KIAS" in ran.out
    assert "113 on" not in ran.out


def test_several_decks_stand_side_by_side(store: Path) -> None:
    """A folder of decks loads each of them under its own name."""
    rows = recall("load", DECKS, "--json", store=store).rows()

    assert ["rules-and-weather", "skerry"] == sorted(row["deck"] for row in rows)
    assert all(row["cards"] > row["points"] > 250 for row in rows)


def test_prose_takes_a_line_for_the_answer_and_one_for_the_mark(tmp_path: Path, store: Path) -> None:
    """A mark that isn't one is asked for again."""
    note = tmp_path / "why.md"
    note.write_text(
        "# Fuel\n\n## Why does the feeder come first?\n\nIt is the only tank that feeds the engine, always.\n"
    )
    ran = recall("review", note, store=store, answers=["it feeds", "great", "hesitant"])

    assert "`great` is no mark" in ran.out
    assert "Marked hesitant." in ran.out


def test_a_source_and_an_undo_from_a_pipe(note: Path, store: Path) -> None:
    """The lines `:source` and `:undo` do what they say, and the end of input ends the session."""
    ran = recall("review", note, store=store, answers=[":source", "1", ":undo"])

    assert 0 == ran.code
    assert "fuel.md line" in ran.out
    assert "Taken back." in ran.out
    assert [0] == [row["asked"] for row in recall("weak", "--json", store=store).rows()]
