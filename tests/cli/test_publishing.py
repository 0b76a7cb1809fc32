"""Publishing, loading, comparing and exporting at the command line."""

import json
import subprocess
from pathlib import Path

import pytest
from cli_kit import recall
from publish_kit import ROWS, notes

CHANGED = ROWS | {"**Fuel imbalance**": "180 kg"}


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working directory with a published, signed deck of two revisions; the notes stand at the second."""
    monkeypatch.chdir(tmp_path)
    notes(tmp_path / "deck")
    assert 0 == recall("keys", "new", "key").code
    assert 0 == recall("publish", "deck", "--sign", "key").code
    notes(tmp_path / "deck", CHANGED, revision="5")
    assert 0 == recall("publish", "deck", "--sign", "key").code
    return tmp_path


def test_publishing_says_what_it_did(place: Path) -> None:
    """Where the file is, what it follows, who signed it; as fields on request."""
    notes(place / "deck", ROWS, revision="6")
    ran = recall("publish", "deck", "--sign", "key", "--json")
    key = recall("keys", "show", "key", "--json").rows()[0]["key"]

    assert [
        {
            "file": "exports/small-r6.zip",
            "deck": "small",
            "revision": "6",
            "since": "5",
            "changes": 1,
            "signer": key,
        }
    ] == ran.rows()


def test_a_load_tells_the_changed_answers(place: Path) -> None:
    """Who signed it, and each answer that is another one now."""
    store = place / "store.db"
    recall("load", "exports/small-r4.zip", store=store)
    ran = recall("load", "exports/small-r5.zip", store=store)
    short = recall("keys", "show", "key", "--json").rows()[0]["short"]

    assert 0 == ran.code
    assert "Loaded small revision 5: 4 points (1 changed), 4 cards." in ran.out
    assert f"Signed with the key {short}." in ran.out
    assert "Maximum fuel imbalance, in kg? was 200 kg, now 180 kg" in ran.out
    assert [{"deck": "small", "short": short}] == [
        {name: row[name] for name in ("deck", "short")}
        for row in recall("keys", "--json", store=store).rows()
    ]


def test_a_key_is_shown_from_whichever_file_holds_it(place: Path) -> None:
    """The secret one, its public half, a published file; one that isn't signed has none."""
    (place / "key.pub").write_text(recall("keys", "public", "key").out)
    notes(place / "bare")
    recall("publish", "bare", "--out", "bare-out")
    shown = [recall("keys", "show", name) for name in ("key", "key.pub", "exports/small-r5.zip")]

    assert [0, 0, 0] == [ran.code for ran in shown]
    assert 1 == len({ran.out for ran in shown})
    assert (2, True) == (
        (ran := recall("keys", "show", "bare-out/small-r4.zip")).code,
        "isn't signed" in ran.err,
    )


def test_the_fields_of_a_load_are_those_of_any_load(place: Path) -> None:
    """A published file reports as a folder does."""
    ran = recall("load", "exports/small-r4.zip", "--json", store=place / "store.db")
    fields = ("deck", "revision", "points", "cards", "new", "changed", "withdrawn", "moved")

    assert [dict(zip(fields, ("small", "4", 4, 4, 4, 0, 0, 0), strict=True))] == ran.rows()


def test_a_file_that_doesn_t_verify_ends_with_1(place: Path) -> None:
    """One line of what happened and one of help on standard error; nothing on standard output."""
    content = bytearray((place / "exports" / "small-r4.zip").read_bytes())
    content[len(content) // 2] ^= 1
    (place / "bad.zip").write_bytes(bytes(content))
    ran = recall("load", "bad.zip", store=place / "store.db")

    assert (1, "") == (ran.code, ran.out)
    assert ["recall", "help"] == [line.partition(":")[0] for line in ran.err.splitlines()]


def test_an_older_revision_ends_with_2(place: Path) -> None:
    """It verifies; it just can't be loaded."""
    store = place / "store.db"
    recall("load", "exports/small-r5.zip", store=store)
    ran = recall("load", "exports/small-r4.zip", store=store)

    assert 2 == ran.code
    assert "revision 5 is in force already" in ran.err


def test_a_revision_that_waits_says_so(place: Path) -> None:
    """And the old one is asked until then."""
    store = place / "store.db"
    recall("load", "exports/small-r5.zip", store=store)
    notes(place / "deck", ROWS, revision="6", effective="2199-01-01")
    recall("publish", "deck", "--sign", "key")
    ran = recall("load", "exports/small-r6.zip", store=store)

    assert "It takes effect on 2199-01-01; until then revision 5 is asked." in ran.out


def test_a_review_may_begin_with_a_published_file(place: Path) -> None:
    """It is loaded first; the line of the note is shown out of it."""
    ran = recall(
        "review", "exports/small-r4.zip", "--cards", "1", store=place / "store.db", answers=["200 kg"]
    )

    assert "Right." in ran.out


def test_the_old_value_is_named_however_it_is_typed(place: Path) -> None:
    """Without its unit, too; the changed card comes first."""
    store = place / "store.db"
    recall("review", "exports/small-r4.zip", "--cards", "1", store=store, answers=["200 kg"])
    ran = recall("review", "exports/small-r5.zip", "--cards", "1", store=store, answers=["200"])

    assert "was 200 kg, now 180 kg since revision 5" in ran.out
    assert "You gave the old value." in ran.out


def test_a_new_wrong_value_is_not_named_the_old_one(place: Path) -> None:
    """What was never right is plainly wrong."""
    store = place / "store.db"
    recall("review", "exports/small-r4.zip", "--cards", "1", store=store, answers=["200 kg"])
    ran = recall("review", "exports/small-r5.zip", "--cards", "1", store=store, answers=["190"])

    assert "was 200 kg, now 180 kg since revision 5" in ran.out
    assert "You gave the old value." not in ran.out


def test_cards_and_findings_of_a_published_file(place: Path) -> None:
    """Looked over without loading it."""
    cards = recall("cards", "exports/small-r4.zip", "--json").rows()

    assert 4 == len(cards)
    assert {"exports/small-r4.zip/deck.md"} == {card["file"] for card in cards}
    assert 0 == recall("lint", "exports/small-r4.zip").code


def test_changes_have_the_fields_of_the_contract(place: Path) -> None:
    """Between a published file and a folder."""
    rows = recall("changes", "exports/small-r4.zip", "deck", "--json").rows()
    wanted = {
        "change": "changed",
        "kind": "limit",
        "subject": "Fuel imbalance",
        "old": "200 kg",
        "new": "180 kg",
        "file": "deck/deck.md",
        "line": 12,
    }

    assert [wanted] == [{name: row[name] for name in wanted} for row in rows]


def test_changes_as_a_revision_record(place: Path) -> None:
    """Markdown with the record and a table of what changed."""
    ran = recall("changes", "exports/small-r4.zip", "exports/small-r5.zip", "--format", "markdown")

    assert "# Small deck: revision record\n" in ran.out
    assert "| Fuel imbalance, maximum (critical) | 200 kg | 180 kg | limit |" in ran.out
    assert "Training only, not for use in flight." in ran.out


def _git(*words: str) -> None:
    who = ["-c", "user.name=x", "-c", "user.email=x@example.org"]
    subprocess.run(["git", *who, *words], check=True, capture_output=True)


def test_changes_since_a_revision_of_a_repository(place: Path) -> None:
    """A folder or a lone note as the repository has it, against what stands there now."""
    _git("init", "--quiet")
    _git("add", "deck")
    _git("commit", "--quiet", "-m", "before")
    notes(place / "deck", CHANGED | {"Fuel temperature": "45 °C"}, revision="6")
    by_folder = recall("changes", "HEAD:deck", "deck", "--json").rows()
    by_note = recall("changes", "HEAD:deck/deck.md", "deck/deck.md", "--json").rows()

    assert [("50 °C", "45 °C")] == [(row["old"], row["new"]) for row in by_folder]
    assert [("50 °C", "45 °C")] == [(row["old"], row["new"]) for row in by_note]


@pytest.mark.parametrize("name", ["HEAD:nowhere", "no-such-revision:deck", "--output=x:deck", "nowhere"])
def test_a_place_that_isn_t_there_is_refused(place: Path, name: str) -> None:
    """Also one that git would take for an option."""
    _git("init", "--quiet")
    _git("add", "deck")
    _git("commit", "--quiet", "-m", "before")
    ran = recall("changes", "--", name, "deck")

    assert 2 == ran.code
    assert 2 == len(ran.err.splitlines())
    assert not (place / "x").exists()


def test_a_key_that_was_forgotten_is_no_longer_pinned(place: Path) -> None:
    """By name; an unknown name is refused."""
    store = place / "store.db"
    recall("load", "exports/small-r4.zip", store=store)

    assert 2 == recall("keys", "forget", "other", store=store).code
    assert 0 == recall("keys", "forget", "small", store=store).code
    assert [] == recall("keys", "--json", store=store).rows()


def test_a_renamed_deck_is_forgotten_under_all_its_names(place: Path) -> None:
    """What the refusal of another key advises lets that key's file in."""
    store = place / "store.db"
    recall("load", "exports/small-r5.zip", store=store)
    renamed = notes(place / "deck", CHANGED, slug="great", revision="6", more="formerly: small\n")
    recall("publish", renamed, "--sign", "key", "--out", "second")
    recall("load", "second/great-r6.zip", store=store)
    recall("keys", "new", "other")
    notes(place / "deck", CHANGED, slug="great", revision="7", more="formerly: small\n")
    recall("publish", renamed, "--sign", "other", "--out", "third")
    refused = recall("load", "third/great-r7.zip", store=store)
    advised = refused.err.rpartition(": recall ")[2].split()

    assert 1 == refused.code
    assert 0 == recall(*advised, store=store).code
    assert 0 == recall("load", "third/great-r7.zip", store=store).code


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("sheet", "deck"), "a.html"),
        (("sheet", "deck", "--format", "pdf", "--paper", "letter"), "a.pdf"),
        (("cards", "deck", "--edge", "short", "--critical"), "b.pdf"),
        (("table", "deck"), "c.csv"),
        (("table", "exports/small-r4.zip", "--of", "points", "--format", "json"), "d.jsonl"),
        (("questions", "deck"), "e.zip"),
        (("calendar", "deck", "--days", "7", "--on", "2027-03-31"), "f.ics"),
        (("log",), "g.json"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(value),
)
def test_every_export_writes_its_file(place: Path, words: tuple[str, ...], name: str) -> None:
    """Of the sort that its name says."""
    store = place / "store.db"
    recall("review", "exports/small-r4.zip", "--cards", "1", store=store, answers=["200 kg"])
    (place / "out").mkdir()
    ran = recall("export", *words, "--out", f"out/{name}", store=store)
    content = (place / "out" / name).read_bytes()
    begins = {
        "html": b"<!DOCTYPE html>",
        "pdf": b"%PDF-",
        "zip": b"PK\x03\x04",
        "ics": b"BEGIN:VCALENDAR\r\n",
    }

    assert (0, "") == (ran.code, ran.out)
    assert content.startswith(begins.get(name.rpartition(".")[2], b""))
    assert content
    if name.endswith("json"):
        assert 1 == len(json.loads(content))


@pytest.mark.parametrize(
    "words",
    [
        ("sheet",),
        ("sheet", "nowhere"),
        ("sheet", "deck", "--format", "docx"),
        ("cards", "deck", "--edge", "round"),
        ("cards", "deck", "--paper", "a7"),
        ("cards", "deck", "--topic", "Nowhere"),
        ("sheet", "deck", "--paper", "a3"),
        ("sheet", "deck", "--format", "html", "--paper", "letter"),
        ("table", "deck", "--of", "people"),
        ("log", "--critical"),
        ("sheet", "deck", "--days", "5"),
        ("calendar", "deck"),
        ("poem", "deck"),
    ],
    ids=" ".join,
)
def test_an_export_that_can_t_be_made_is_refused(place: Path, words: tuple[str, ...]) -> None:
    """In two lines, with nothing written."""
    store = place / "store.db"
    notes(place / "other", slug="other")
    recall("load", "other", store=store)
    ran = recall("export", *words, "--out", "x", store=store)

    assert 2 == ran.code
    assert 2 == len(ran.err.splitlines())
    assert not (place / "x").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("export", "sheet", "deck", "--out"),
        ("export", "samples", "deck", "--out"),
        ("export", "page", "deck", "--runtime-at", "https://host", "--out"),
        ("publish", "deck", "--out"),
        ("keys", "new"),
        ("keys", "hand-over", "key", "other", "--out"),
        ("backup",),
        ("new",),
        ("supplies", "supplies.md", "--svg"),
    ],
    ids=" ".join,
)
def test_nothing_is_written_where_there_is_no_folder(place: Path, words: tuple[str, ...]) -> None:
    """One rule for files and for folders: the last name is made, what stands above it must be there."""
    recall("keys", "new", "other", store=place / "store.db")
    recall("load", "deck", store=place / "store.db")
    (place / "supplies.md").write_text("| From | Feeds |\n| --- | --- |\n| Bus | Pump |\n", encoding="utf-8")
    ran = recall(*words, "nowhere/x", store=place / "store.db")

    assert (2, "") == (ran.code, ran.out)
    assert ran.err.startswith("recall: there is no folder `nowhere`\nhelp: make it first")
    assert not (place / "nowhere").exists()


def test_the_line_of_a_note_is_shown_out_of_the_published_file(place: Path) -> None:
    """Before the answer its place alone, after it the lines around it."""
    text = (place / "deck" / "deck.md").read_text(encoding="utf-8").replace("revision: 5", "revision: 6")
    (place / "deck" / "deck.md").write_text(
        f"{text}\n## Why balance the tanks?\n\nSo that she\nrolls true.\n", "utf-8"
    )
    recall("publish", "deck", "--sign", "key")
    ran = recall(
        "review", "exports/small-r6.zip", "--kind", "question", "--cards", "1", store=place / "store.db",
        answers=[":source", "because", ":source", "sure"],
    )  # fmt: skip

    assert 1 == ran.out.count("> ")
    assert "So that she\n" in ran.out
    assert "The note itself isn't on this machine." not in ran.out


def test_what_a_deck_is_held_to_is_said_aloud(place: Path) -> None:
    """The first holding to a key, a folder that goes over it unsigned, and a hand-over."""
    store = place / "store.db"
    short = recall("keys", "show", "key", "--json").rows()[0]["short"]
    first = recall("load", "exports/small-r4.zip", store=store)
    again = recall("load", "exports/small-r5.zip", store=store)
    notes(place / "deck", ROWS, revision="6")
    folder = recall("load", "deck", store=store)
    recall("keys", "new", "other")
    notes(place / "deck", ROWS, revision="7")
    refused = recall("publish", "deck", "--sign", "other")
    made = recall("keys", "hand-over", "key", "other")
    recall("publish", "deck", "--sign", "other")
    handed = recall("load", "exports/small-r7.zip", store=store)
    now = recall("keys", "show", "other", "--json").rows()[0]["short"]

    assert f"First file of small: from now on held to the key {short}; compare it" in " ".join(
        first.out.split()
    )
    assert "First file" not in again.out
    assert f"held to the key {short}, and these notes aren't signed." in " ".join(folder.out.split())
    assert (2, 0) == (refused.code, made.code)
    assert "recall keys hand-over OLD NEW" in " ".join(refused.err.split())
    assert f"The key of small was handed over: from now on held to {now}." in " ".join(handed.out.split())


def test_a_lost_key_at_the_command_line(place: Path) -> None:
    """The instructor says so once; the student types what the instructor says."""
    store = place / "store.db"
    recall("load", "exports/small-r5.zip", store=store)
    recall("keys", "new", "other")
    notes(place / "deck", ROWS, revision="6")
    assert 0 == recall("keys", "hand-over", "other", "--lost").code
    assert 0 == recall("publish", "deck", "--sign", "other").code
    now = recall("keys", "show", "other", "--json").rows()[0]["short"]
    refused = recall("load", "exports/small-r6.zip", store=store)
    taken = recall("load", "exports/small-r6.zip", "--new-key", now, store=store)

    assert 1 == refused.code
    assert "--new-key" in refused.err
    assert now not in refused.err
    assert 0 == taken.code


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("key",),
        ("key", "key"),
        ("key", "nothing"),
        ("key", "--lost"),
        ("key", "other", "--lost", "--beside"),
    ],
)
def test_hand_overs_that_can_t_be(place: Path, words: tuple[str, ...]) -> None:
    """Each is refused in one line with its help."""
    ran = recall("keys", "hand-over", *words)

    assert 2 == ran.code
    assert ["recall", "help"] == [line.partition(":")[0] for line in ran.err.splitlines()]


def test_a_part_of_a_sheet(tmp_path: Path) -> None:
    """A sheet of the critical points, of a topic, of a kind, of one variant: it says so on each page, and holds no
    other point; where nothing is as asked for, that is told."""
    note = tmp_path / "deck.md"
    note.write_text(
        "---\ndeck: small\nrevision: 4\naircraft:\n  6A: 01-09\n  6B: 10-14\n---\n# Fuel\n\n"
        "| Parameter | Maximum | Applies to |\n|---|---|---|\n| **Tank pressure** | 5 psi | 6A |\n"
        "| Feed pressure | 30 psi | 6B |\n| Fuel temperature | 50 °C | |\n\n# Hatch\n\n"
        "| Control | Position |\n|---|---|\n| Hatch lever | CLOSED |\n"
    )

    def sheet(*words: str) -> set[str]:
        ran = recall("export", "sheet", note, "--out", tmp_path / "sheet.html", *words)
        written = (tmp_path / "sheet.html").read_text()
        assert 0 == ran.code
        assert not words or "<dt>Only</dt>" in written
        return {name for name in ("Tank", "Feed", "temperature", "Hatch lever") if name in written}

    assert {"Tank", "Feed", "temperature", "Hatch lever"} == sheet()
    assert {"Tank"} == sheet("--critical")
    assert {"Hatch lever"} == sheet("--topic", "hatch") == sheet("--kind", "setting")
    assert {"Tank", "temperature", "Hatch lever"} == sheet("--aircraft", "6A") == sheet("--aircraft", "07")
    assert {"Feed", "temperature"} == sheet("--aircraft", "6B", "--kind", "limit")
    refused = recall("export", "sheet", note, "--critical", "--aircraft", "6B")
    assert (2, "recall: no point is as asked for") == (refused.code, refused.err.splitlines()[0])
    unknown = recall("export", "sheet", note, "--aircraft", "7C")
    assert (2, "recall: small is of no aircraft `7C`") == (unknown.code, unknown.err.splitlines()[0])
