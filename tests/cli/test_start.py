"""What a start imports: a command pays for what it uses, and for nothing else."""

import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from cli_kit import recall

TOPS = """
import sys
tops = {name.split(".")[0] for name, module in sys.modules.items()
        if "-packages" in (getattr(getattr(module, "__spec__", None), "origin", None) or "")}
print(*sorted(tops - {"recall"}), sep="\\n")
"""


OURS = """
import sys
print(*(name for name in sys.modules if name.split(".")[0] == "recall"), sep="\\n")
"""
COMPILED = """
import gc
from recall.base.regex import Late
print(*(at for at, each in enumerate(gc.get_objects()) if type(each) is Late and "subn" in vars(each)), sep="\\n")
"""


def drawn_by(code: str, shown: str = TOPS) -> set[str]:
    """Libraries outside the standard one that are imported once some code ran in a fresh process. shown: code that
    tells of something else."""
    done = subprocess.run(
        [sys.executable, "-c", code + shown],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        check=True,
    )
    return set(done.stdout.split("\n\x1e\n")[-1].split())


def run_of(*words: str | Path) -> str:
    """Code that runs a command, and marks where its output ends."""
    return f"from recall.cli.app import run\nrun({list(map(str, words))!r})\nprint('\\n\\x1e')\n"


@cache
def allowed(*libraries: str) -> frozenset[str]:
    """These libraries with whatever they draw in themselves."""
    return frozenset(drawn_by("".join(f"import {name}\n" for name in libraries)))


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    """A note without a record."""
    path = tmp_path / "oil.md"
    path.write_text("# Oil\n\n| Parameter | Minimum | Unit |\n|---|---|---|\n| Oil pressure | 60 | psi |\n")
    return path


def test_due_needs_the_command_line_library_alone(store: Path) -> None:
    """The load of the days: no tables of numbers, no memory model's library, no colours."""
    assert drawn_by(run_of("--store", store, "due")) <= allowed("typer")


def test_the_first_question_needs_what_writes_it(store: Path) -> None:
    """A sitting up to its first question, in a pipe: nothing besides the command line."""
    assert drawn_by(run_of("--store", store, "review")) <= allowed("typer")


def test_a_sitting_at_a_terminal_stands_before_its_keys_are_read() -> None:
    """The library that reads keys comes with the first key, behind the question."""
    screens = "import recall.cli.sitting, recall.cli.keys\nrecall.cli.keys.Keyboard()\nprint('\\n\\x1e')\n"

    assert drawn_by(screens) <= allowed("typer", "rich.console", "rich.text")


def test_lint_needs_the_reader_of_notes(plain: Path) -> None:
    """A note without a record: the parser of Markdown, and no store."""
    assert drawn_by(run_of("lint", plain)) <= allowed("typer", "markdown_it", "mdit_py_plugins")


def test_a_start_reads_few_of_our_modules(store: Path, plain: Path) -> None:
    """Each is read for a reason: a file more costs a start as much as what stands in it."""
    due, review = (drawn_by(run_of("--store", store, name), OURS) for name in ("due", "review"))
    lint = drawn_by(run_of("lint", plain), OURS)

    assert len(due) <= 36
    assert len(review) <= 140
    assert len(lint) <= 145


def test_what_marks_is_read_with_the_first_answer(store: Path) -> None:
    """A question is on the screen before anything is there to mark."""
    marking = {f"recall.answers.{name}" for name in ("alike", "amounts", "forms", "listed", "match", "words")}
    asked = drawn_by(run_of("--store", store, "review"), OURS)
    marked = drawn_by(
        "import recall.answers as a\na.WordsAnswer(('on',)).mark('on')\nprint('\\n\\x1e')\n", OURS
    )

    assert set() == asked & marking
    assert {"recall.answers.words", "recall.answers.forms"} <= marked & marking


def test_an_ordinary_note_compiles_few_expressions(plain: Path) -> None:
    """Most are told needless by the words that they would find; sentences need theirs."""
    few = drawn_by(run_of("lint", plain), COMPILED)
    plain.write_text("# Pump\n\nIf the pump fails, the tank runs dry within 5 minutes (see the note).\n")

    assert len(few) <= 22
    assert len(drawn_by(run_of("lint", plain), COMPILED)) > 40


def test_a_record_brings_yaml(plain: Path) -> None:
    """A note with a record: YAML comes too."""
    plain.write_text("---\ndeck: oil\n---\n" + plain.read_text())
    read = drawn_by(run_of("lint", plain))

    assert "yaml" in read
    assert read <= allowed("typer", "markdown_it", "mdit_py_plugins", "yaml")


def test_a_dear_import_is_seen() -> None:
    """The gate can fail: a store that is made draws in the library that makes it."""
    assert not drawn_by("import recall.store.steps\nprint('\\n\\x1e')\n") <= allowed("typer")


@pytest.mark.parametrize("name", ["due", "lint", "review"])
def test_a_store_named_like_a_command(name: str, store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is the store's name, and the command is the word behind it."""
    monkeypatch.chdir(store.parent)
    store.rename(store.with_name(name))
    ran = recall("--store", name, "weak")

    assert (0, "") == (ran.code, ran.err)
