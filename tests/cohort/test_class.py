"""`recall class`: one view in every form, and what it refuses."""

import csv
import io
import json
import re
from pathlib import Path

import pytest
from cli_kit import recall, refused

from recall.base.dataclass import replace
from recall.cohort.handin import own_key, seal, unseal
from recall.cohort.sealed import public_of
from recall.publish.sign import seed_of


@pytest.fixture
def class_folder(store: Path, note: Path, key: Path, tmp_path: Path) -> Path:
    """Six trainees who all typed 24 for the water speed; the published file beside their hand-ins."""
    folder = tmp_path / "class"
    recall("publish", note, "--sign", key, "--out", folder)
    recall(
        "export",
        "hand-in",
        "--for",
        tmp_path / "class.pub",
        "--with-answers",
        "--out",
        folder / "0.handin",
        store=store,
    )
    made = unseal(folder.joinpath("0.handin").read_bytes(), seed_of(key))
    for number in range(1, 6):
        seed = own_key(bytes([number]) * 32, made.to)
        folder.joinpath(f"{number}.handin").write_bytes(
            seal(replace(made, person=public_of(seed), name=f"Trainee {number}"), seed)
        )
    return folder


def test_the_view_names_what_is_missed(class_folder: Path, key: Path) -> None:
    """Points most missed first, with their interval, how many people, and what most typed."""
    ran = recall("class", class_folder, "--key", key)

    assert 0 == ran.code
    assert "6 hand-ins with 18 answers" in ran.out
    assert re.search(r"Water speed +6 +100 % +54 % to 100 % +24 ", ran.out)
    assert "Training only" in ran.out


def test_figures_are_rows_for_other_programs(class_folder: Path, key: Path) -> None:
    """JSON Lines, each with its part."""
    rows = recall("class", class_folder, "--key", key, "--json").rows()
    water = next(row for row in rows if row.get("subject") == "Water speed")

    assert ["class", "topic", "point", "point", "point", "week"] == [row["part"] for row in rows]
    assert ("24", 6, 6, 1.0, ["Hull"]) == tuple(
        water[name] for name in ("typed", "typed_by", "typed_of", "missed", "topic")
    )


def test_a_spreadsheet_reads_topics_and_points(class_folder: Path, key: Path) -> None:
    """As RFC 4180 has it, a row a topic or point."""
    rows = list(
        csv.DictReader(io.StringIO(recall("class", class_folder, "--key", key, "--format", "csv").out))
    )

    assert ["topic", "point", "point", "point"] == [row["part"] for row in rows]


def test_a_page_is_printed_that_needs_nothing_else(class_folder: Path, key: Path) -> None:
    """No script, nothing from elsewhere, every word escaped."""
    page = recall("class", class_folder, "--key", key, "--format", "html").out

    assert ("Water speed" in page, "<script" in page, "//" in page) == (
        True,
        False,
        False,
    )


def test_findings_stand_at_the_lines_of_the_notes(class_folder: Path, key: Path, note: Path) -> None:
    """In every format that the checker has."""
    ran = recall("class", class_folder, "--key", key, "--against", note, "--format", "json")
    found = next(row for row in ran.rows() if "Water speed" in row["message"])

    assert ("often-missed", 14, "warning") == (found["rule"], found["line"], found["severity"])
    assert "missed by 100 % of 6 people; most typed `24`" in found["message"]
    forms = [
        recall("class", class_folder, "--against", note, "--format", form)
        for form in ("text", "github", "sarif")
    ]
    assert [0, 0, 0] == [form.code for form in forms]
    sarif = json.loads(forms[-1].out)
    assert "often-missed" in {one["ruleId"] for one in sarif["runs"][0]["results"]}


def test_who_is_ready_is_told_for_a_date(class_folder: Path, key: Path) -> None:
    """A row a person, by the plan's own odds, with what they assume."""
    ran = recall("class", class_folder, "--key", key, "--on", "2027-03-01")
    rows = recall("class", class_folder, "--on", "2027-03-01", "--json").rows()

    assert "Odds assume" in " ".join(ran.out.split())
    assert 6 == sum(row["part"] == "ready" for row in rows)


def test_a_list_of_people_that_is_no_text_is_refused(class_folder: Path, key: Path) -> None:
    """Names of which letters are lost would be named as missing."""
    class_folder.joinpath("people.txt").write_bytes("Müller".encode("cp1252"))

    ran = recall("class", class_folder, "--key", key)

    assert refused(ran)
    assert "isn't UTF-8" in ran.err


def test_a_key_that_opens_nothing_here_is_refused(class_folder: Path, key: Path) -> None:
    """Also where all that lies there was taken in before; a key that isn't named is none."""
    assert 0 == recall("class", class_folder, "--key", key).code
    recall("keys", "new", other := key.with_name("other.key"))
    ran = recall("class", class_folder, "--key", other)

    assert refused(ran)
    assert "the key opens none of the hand-ins here" in ran.err
    assert [0, 0] == [recall("class", class_folder, *own).code for own in (("--key", key), ())]


def test_who_has_not_handed_in_is_named(class_folder: Path, key: Path) -> None:
    """By a list of people beside the hand-ins."""
    class_folder.joinpath("people.txt").write_text("Trainee 1\nTrainee 9\n")

    ran = recall("class", class_folder, "--key", key)

    assert "Nothing yet from: Trainee 9." in ran.out


def test_four_hand_ins_give_no_figure(class_folder: Path, key: Path) -> None:
    """Any would tell of one of them."""
    for number in (4, 5):
        class_folder.joinpath(f"{number}.handin").unlink()

    ran = recall("class", class_folder, "--key", key, "--on", "2027-03-01")

    assert "Fewer than five people" in ran.out
    assert "%" not in ran.out


@pytest.mark.parametrize(
    "words",
    [("nowhere",), (".",), (".", "--format", "pdf"), (".", "--engine", "abacus"), (".", "--on", "soon")],
)
def test_what_cannot_be_asked_is_refused(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One clear line, and what to do."""
    monkeypatch.chdir(tmp_path)

    assert refused(recall("class", *words))


def test_a_folder_without_the_deck_says_what_is_missing(class_folder: Path, key: Path) -> None:
    """The published file, or the notes."""
    for file in class_folder.glob("*.zip"):
        file.unlink()

    ran = recall("class", class_folder, "--key", key)

    assert refused(ran)
    assert "--against" in ran.err
