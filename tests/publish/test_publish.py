"""Publishing: a bag that others can validate, the same bytes again, and what is refused."""

import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path

import bagit
import pytest
from publish_kit import ROWS, notes, published

from recall.base.errors import RecallError
from recall.deck.read import read_deck
from recall.publish.publish import publish
from recall.publish.sign import new_key


def unpacked(file: Path, into: Path) -> Path:
    """The one folder of a published file."""
    with zipfile.ZipFile(file) as archive:
        archive.extractall(into)
    return next(into.iterdir())


def test_another_program_finds_the_bag_valid(tmp_path: Path) -> None:
    """Validated by the `bagit` library of the Library of Congress, which knows nothing of ours."""
    done = published(notes(tmp_path / "deck"), tmp_path / "out")
    bag = bagit.Bag(str(unpacked(done.path, tmp_path / "bag")))

    assert bag.validate()
    assert "2026-03-01" == bag.info["Bagging-Date"]
    assert ["sha256"] == list(bag.algorithms)


def test_the_zip_is_as_standard_tools_read_it(tmp_path: Path) -> None:
    """Python's own reader finds every entry whole, stored, of one time."""
    done = published(notes(tmp_path / "deck"), tmp_path / "out")
    with zipfile.ZipFile(done.path) as archive:
        entries = archive.infolist()

        assert archive.testzip() is None
        assert {zipfile.ZIP_STORED} == {entry.compress_type for entry in entries}
        assert {(1980, 1, 1, 0, 0, 0)} == {entry.date_time for entry in entries}


def test_the_same_notes_give_the_same_bytes(tmp_path: Path) -> None:
    """From another folder, under another hash seed, signed with the same key."""
    key = tmp_path / "key"
    new_key(key)
    files = []
    for seed, name in (("1", "one"), ("2", "two")):
        notes(tmp_path / name / "deck", more="licence: CC0-1.0\n")
        subprocess.run(
            [sys.executable, "-m", "recall", "publish", "deck", "--out", "out", "--sign", str(key)],
            cwd=tmp_path / name,
            env={
                "PYTHONHASHSEED": seed,
                "PYTHONPATH": str(Path(__file__).parents[2]),
                "PATH": "/usr/bin:/bin",
            },
            check=True,
            capture_output=True,
        )
        files.append((tmp_path / name / "out" / "small-r4.zip").read_bytes())

    assert files[0] == files[1]


def test_a_revision_tells_what_changed_since_the_last_one(tmp_path: Path) -> None:
    """The record holds the changes, for people and for programs."""
    deck, out = tmp_path / "deck", tmp_path / "out"
    published(notes(deck), out)
    done = published(notes(deck, ROWS | {"**Fuel imbalance**": "180 kg"}, revision="5"), out)
    folder = unpacked(done.path, tmp_path / "bag") / "data"
    record = json.loads(folder.joinpath("revision.json").read_text(encoding="utf-8"))

    assert ("5", "4") == (record["revision"], record["since"])
    assert [("changed", "200 kg", "180 kg")] == [
        (one["change"], one["old"], one["new"]) for one in record["changes"]
    ]
    assert (
        "| Fuel imbalance, maximum (critical) | 200 kg | 180 kg | limit | deck.md line 12 |"
        in folder.joinpath("revision.md").read_text(encoding="utf-8")
    )


def test_the_record_names_the_variants(tmp_path: Path) -> None:
    """The variants that the deck declares stand in the revision record, for people and for programs; a deck without
    any says nothing of them."""
    variants = 'aircraft:\n  6A: "01-09"\n  6B: "10-14"\n'
    done = published(notes(tmp_path / "deck", more=variants), tmp_path / "out")
    folder = unpacked(done.path, tmp_path / "bag") / "data"

    assert {"6A": "01-09", "6B": "10-14"} == json.loads(folder.joinpath("revision.json").read_text())[
        "aircraft"
    ]
    assert "- Aircraft: 6A: 01-09; 6B: 10-14\n" in folder.joinpath("revision.md").read_text()
    plain = published(notes(tmp_path / "other"), tmp_path / "plain")
    assert (
        b"ircraft" not in unpacked(plain.path, tmp_path / "bare").joinpath("data/revision.json").read_bytes()
    )


def test_errors_of_the_checker_stop_it(tmp_path: Path) -> None:
    """A deck that says something wrong isn't handed on."""
    deck = notes(tmp_path / "deck", ROWS | {"Fuel flow": "12.5.3"})

    with pytest.raises(RecallError, match=r"there is 1 error .* line 16"):
        published(deck, tmp_path / "out")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("revision", ["4", "3.9", "4.0"])
def test_a_revision_must_be_above_the_last_one(tmp_path: Path, revision: str) -> None:
    """Compared number by number with what is published."""
    published(notes(tmp_path / "deck"), tmp_path / "out")

    with pytest.raises(RecallError, match=rf"revision {revision} isn't above 4"):
        published(notes(tmp_path / "deck", revision=revision), tmp_path / "out")


def test_revisions_are_compared_number_by_number(tmp_path: Path) -> None:
    """8.10 is above 8.9."""
    published(notes(tmp_path / "deck", revision="8.9"), tmp_path / "out")
    done = published(notes(tmp_path / "deck", revision="8.10"), tmp_path / "out")

    assert "8.9" == done.since


def test_changes_need_a_day_from_which_they_hold(tmp_path: Path) -> None:
    """Without an effective date only a revision without changes goes out."""
    published(notes(tmp_path / "deck"), tmp_path / "out")
    with pytest.raises(RecallError, match="no effective date"):
        published(
            notes(tmp_path / "deck", ROWS | {"Fuel temperature": "45 °C"}, revision="5", effective=""),
            tmp_path / "out",
        )
    done = published(
        notes(tmp_path / "deck", revision="5", effective="", heading="Fuel system"), tmp_path / "out"
    )

    assert {"moved"} == {change.change for change in done.changes}


def test_a_deck_without_a_revision_is_refused(tmp_path: Path) -> None:
    """There would be no telling what is newer."""
    note = tmp_path / "note.md"
    note.write_text("# Fuel\n\n| Parameter | Maximum |\n| --- | --- |\n| Flow | 2 kg |\n", encoding="utf-8")

    with pytest.raises(RecallError, match="no revision"):
        published(note, tmp_path / "out")


def test_a_changed_key_is_told_before_anyone_refuses_it(tmp_path: Path) -> None:
    """A revision that students would refuse isn't written."""
    new_key(tmp_path / "one")
    new_key(tmp_path / "two")
    published(notes(tmp_path / "deck"), tmp_path / "out", tmp_path / "one")

    for key in (None, tmp_path / "two"):
        with pytest.raises(RecallError, match="will refuse this one"):
            published(notes(tmp_path / "deck", revision="5"), tmp_path / "out", key)


@pytest.mark.parametrize("name", ["a:b.md", "50 % torque.md", "what?.md", "back\\slash.md"])
def test_names_that_not_every_system_has_are_refused(tmp_path: Path, name: str) -> None:
    """A note's name must do on every student's machine."""
    deck = notes(tmp_path / "deck")
    deck.joinpath(name).write_text("# More\n", encoding="utf-8")

    with pytest.raises(RecallError, match="isn't a file's name on every system"):
        published(deck, tmp_path / "out")


def test_a_lone_note_is_published_as_well(tmp_path: Path) -> None:
    """Its slug may come from its name."""
    note = tmp_path / "Limits of mine.md"
    note.write_text(
        "---\nrevision: 1\neffective: 2026-03-01\nauthority: Handbook\n---\n# Fuel\n\n"
        "| Parameter | Maximum |\n| --- | --- |\n| Flow | 2 kg |\n",
        encoding="utf-8",
    )
    deck, findings = read_deck(note)
    done = publish(deck, findings, out=tmp_path / "out")

    with zipfile.ZipFile(io.BytesIO(done.path.read_bytes())) as archive:
        assert "limits-of-mine-r1/data/sources/Limits of mine.md" in archive.namelist()
