"""A request that can't be met: one clear line, what to do, exit 2, and nothing lost or half written."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from cli_kit import DECKS, NOTE, recall, refused


@pytest.mark.parametrize(
    "words",
    [
        ("cards", "nowhere"),
        ("lint", "nowhere"),
        ("load", "nowhere"),
        ("review", "nowhere"),
        ("lint",),
        *((*words, "") for words in (("cards",), ("lint",), ("load",), ("review",), ("export", "sheet"))),
        ("lint", "--explain", "no-such-rule"),
        ("lint", ".", "--format", "xml"),
        ("lint", ".", "--format", "sarif", "--json"),
        ("keys", "pinned", "note.md"),
        ("keys", "show", "note.md", "--lost"),
        ("page", "--key", "note.md"),
        ("history", "abc"),
        ("undo",),
        ("remark", "abc", "words"),
        ("settings", "colour", "blue"),
        ("settings", "zone", "Middle/Earth"),
        ("due", "--days", "none"),
        ("nonsense",),
        ("lint", "no\nwhere"),
        ("review", "--minutes", "-1"),
    ],
    ids=" ".join,
)
def test_a_request_that_cannot_be_met_is_refused_in_two_lines(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What happened, then what to do, on standard error; exit 2."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "note.md").write_text(NOTE, encoding="utf-8")

    assert refused(recall(*words, store=tmp_path / "store.db"))


def test_an_empty_folder_holds_no_notes(tmp_path: Path) -> None:
    """A folder without notes is named as such."""
    assert "no notes" in recall("cards", tmp_path).err


def test_a_binary_note_is_a_finding_and_the_rest_is_read(tmp_path: Path) -> None:
    """Bytes that aren't UTF-8 are an error of that note alone."""
    (tmp_path / "bad.md").write_bytes(b"# Fuel \xb0\xff\x00")
    (tmp_path / "good.md").write_text(NOTE, encoding="utf-8")
    linted = recall("lint", tmp_path, "--json")

    assert (1, ["unreadable-file"]) == (
        linted.code,
        [row["rule"] for row in linted.rows() if row["severity"] == "error"],
    )
    assert recall("cards", tmp_path, "--json").rows()


@pytest.mark.parametrize(
    "content", [b"", b"not a store at all, but some text of a page or two" * 90], ids=["empty", "text"]
)
def test_a_file_that_is_no_store_is_left_as_it_is(content: bytes, tmp_path: Path) -> None:
    """Another program's file is refused, untouched; an empty file may become a store."""
    path = tmp_path / "store.db"
    path.write_bytes(content)
    ran = recall("due", store=path)

    assert ran.code == 0 if not content else refused(ran)
    assert not content or content == path.read_bytes()


def test_another_programs_database_isrefused(tmp_path: Path) -> None:
    """A SQLite file that isn't ours is refused, untouched."""
    path = tmp_path / "store.db"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE things (name TEXT)")
    before = path.read_bytes()

    assert refused(recall("review", store=path))
    assert before == path.read_bytes()


def test_a_store_of_a_later_version_is_refused_untouched(tmp_path: Path) -> None:
    """What a later program wrote, this one doesn't touch."""
    path, note = tmp_path / "store.db", tmp_path / "note.md"
    note.write_text(NOTE, encoding="utf-8")
    recall("load", note, store=path)
    with sqlite3.connect(path) as later:
        later.execute("PRAGMA user_version = 99")
        later.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = path.read_bytes()
    ran = recall("load", note, store=path)

    assert refused(ran)
    assert "later" in ran.err
    assert before == path.read_bytes()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_folder_without_permission_isrefused(tmp_path: Path) -> None:
    """No permission is said as such."""
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o000)
    try:
        assert refused(recall("cards", closed))
    finally:
        closed.chmod(0o700)


def test_no_escape_from_a_note_reaches_the_terminal(tmp_path: Path) -> None:
    """Control and override characters are shown escaped, or left out."""
    note = tmp_path / "evil\x1b[2J.md"
    note.write_text(
        "# Fu\x1b[31mel\n\n| Parameter | Maximum | Unit |\n|---|---|---|\n| Oil\u202e temp | 90\x07 | °C |\n"
    )
    shown = [recall(command, note).out + recall(command, note).err for command in ("cards", "lint")]
    shown.append(recall("review", note, store=tmp_path / "s.db", answers=["x", "x", "x"]).out)

    assert not [sign for text in shown for sign in text if sign in "\x1b\x07\u202e"]


def test_a_reader_of_a_pipe_that_has_enough_is_no_mistake() -> None:
    """`recall cards … | head -n 1` ends well, without a word on standard error."""
    command = [sys.executable, "-m", "recall", "cards", str(DECKS / "skerry"), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout and process.stderr
        process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()

        assert (0, b"") == (process.wait(60), said)


def test_notes_of_an_older_revision_are_refused(tmp_path: Path) -> None:
    """They would be loaded and never asked; what is in force stands."""
    note, store = tmp_path / "deck" / "deck.md", tmp_path / "store.db"
    note.parent.mkdir()
    for revision, most, code in (("1", 700, 0), ("2", 650, 0), ("1", 600, 2), ("", 500, 2)):
        head = f"---\ndeck: fuel\nrevision: {revision}\n---\n"
        note.write_text(head + NOTE.replace("700", str(most)), encoding="utf-8")
        ran = recall("load", note.parent, store=store)
        assert (code, code == 2) == (ran.code, "revision 2 is in force already" in ran.err), ran

    asked = [row["answer"] for row in recall("cards", note.parent, "--json").rows()]
    assert ["500 lb"] in asked
    assert "150" in recall("review", store=store, answers=["1"]).out


def test_cards_of_a_note_that_cannot_be_read_are_said_to_rest(tmp_path: Path) -> None:
    """On each load, until it can be read; what is gone is withdrawn, and no error stays behind."""
    folder, store = tmp_path / "deck", tmp_path / "store.db"
    folder.mkdir()
    (folder / "deck.md").write_text("---\ndeck: fuel\n---\n" + NOTE, encoding="utf-8")
    other = folder / "other.md"
    other.write_text("# Vents\n\nSource: H 2\n\n- Vent flow: max 20 L/min\n", encoding="utf-8")
    whole = recall("load", folder, store=store)
    other.write_bytes(b"# Vents\n\nGr\xf6\xdfe\n")
    loads = [recall("load", folder, store=store) for _ in range(2)]
    other.unlink()
    other.symlink_to("nowhere.md")
    recall("load", folder, store=store)
    other.unlink()
    without = recall("load", folder, store=store)

    assert "5 points" in whole.out
    for ran in loads:
        assert "1 card of what can't be read rests until the notes are mended." in ran.out
        assert "4 points" in ran.out
    assert (0, False) == (without.code, "error" in without.out + without.err)
    assert "1 withdrawn" in without.out
