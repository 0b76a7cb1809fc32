"""Help in plain words, and refusals that name the next step."""

import io
import re
import sys
from pathlib import Path

import pytest
from cli_kit import recall, refused

from recall.cli.commands import COMMANDS


def test_the_list_of_commands_is_not_cut() -> None:
    """Each line of it is whole at 80 columns."""
    listed = recall("--help").out.split("Commands:")[1]

    assert list(COMMANDS) == [line.split()[0] for line in listed.strip().splitlines()]
    assert "..." not in listed


@pytest.mark.parametrize("command", COMMANDS)
def test_help_names_values_in_plain_words(command: str) -> None:
    """No types of a programmer, no ranges in mathematics."""
    told = recall(command, "--help").out

    assert [] == re.findall(r"<[a-z ]+>|\[x[<>]|INTEGER|FLOAT|RANGE|\bTEXT\b(?! *Your words)", told)


def test_a_number_that_is_none_is_said_in_plain_words(store: Path) -> None:
    """What was typed, what it should be."""
    assert (
        "`abc` is no whole number of days\nhelp: give a number from 1 to 366\n"
        in recall("due", "--days", "abc", store=store).err
    )


def test_lint_lists_its_rules_and_knows_near_ones() -> None:
    """`--explain` alone, or with `list`; a wrong name gets the near ones."""
    listed = recall("lint", "--explain")

    assert listed.out == recall("lint", "--explain", "list").out
    assert {"supply-loop", "bad-id", "look-alike"} <= {line.split(" ")[0] for line in listed.out.splitlines()}
    assert "`unrecognised-table`" in recall("lint", "--explain", "table").err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("review", "--kind", "limits"), "kinds are: limit, abbreviation"),
        (("undo", "--id", "zzz"), "there is no review whose id ends in `zzz`"),
        (("undo", "--id", "%"), "there is no review whose id ends in `%`"),
        (("merge", "NOTE"), "name the other device's store"),
        (("events", "--read", "NOTE"), "is no JSON"),
        (("backup", "FOLDER/none/copy.db"), "there is no folder"),
        (("backup", "FOLDER"), "that is a folder"),
    ],
    ids=lambda words: " ".join(words) if isinstance(words, tuple) else "",
)
def test_a_refusal_names_the_next_step(
    words: tuple[str, ...], said: str, note: Path, store: Path, tmp_path: Path
) -> None:
    """One that fits what was asked."""
    ran = recall(*(w.replace("NOTE", str(note)).replace("FOLDER", str(tmp_path)) for w in words), store=store)

    assert refused(ran)
    assert said in ran.err


def test_a_store_that_is_a_folder_is_said_to_be_one(tmp_path: Path) -> None:
    """Also the empty name, which is the folder that one is in."""
    for named in (str(tmp_path), ""):
        ran = recall("due", "--store", named)

        assert refused(ran)
        assert "can't be a folder" in ran.err


@pytest.mark.parametrize(
    "words",
    [
        "due",
        "weak",
        "history x",
        "odds",
        "plan",
        "settings",
        "doctor",
        "events",
        "backup",
        "export log",
        "keys",
    ],
)
def test_reading_makes_no_store(words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A store that is named must be there; the person's own may come later."""
    named = recall(*words.split(), store=tmp_path / "none.db")
    monkeypatch.setenv("RECALL_STORE", str(tmp_path / "own.db"))
    usual = recall(*words.split())

    assert refused(named)
    assert "there is no store yet" in named.err
    assert (0 if words in ("due", "weak") else 2) == usual.code
    assert [] == list(tmp_path.iterdir())


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("words", ["questions", "cards", "sheet --format pdf"])
def test_bytes_are_not_written_to_a_terminal(words: str, note: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """They need a file."""
    from recall.cli.app import run

    what, *more = words.split()
    out, err = _Terminal(), io.StringIO()
    monkeypatch.setattr(sys, "stdout", out)
    monkeypatch.setattr(sys, "stderr", err)

    assert 2 == run(["export", what, str(note), *more])
    assert "" == out.getvalue()
    assert "--out FILE" in err.getvalue()
