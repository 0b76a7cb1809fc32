"""Streams that are closed, full or of another encoding; links that lead out; a run that is ended from outside."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from cli_kit import recall, refused

SECRET = "root:x:0:0 nobody may see this"


def ran(line: str, **environment: str) -> tuple[int, str, str]:
    """Exit code, output and errors of a line of the shell, with `recall` in it."""
    program = f"'{sys.executable}' -m recall"
    done = subprocess.run(
        ["sh", "-c", line.replace("recall", program, 1)],
        capture_output=True, text=True, errors="replace", env={**os.environ, **environment},
    )  # fmt: skip
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("recall --store STORE due >&-", "standard output is closed"),
        ("recall --store STORE review <&-", "standard input is closed"),
        ("recall --store STORE due >/dev/full", "no space left on device"),
        ("recall --store STORE events >/dev/full", "no space left on device"),
    ],
)
def test_a_stream_that_is_closed_or_full_is_said(line: str, said: str, store: Path) -> None:
    """One true line with its help, exit 2."""
    if "/dev/full" in line and not Path("/dev/full").exists():
        pytest.skip("no device that is always full")
    code, _, errors = ran(line.replace("STORE", f"'{store}'"))

    assert 2 == code
    assert errors.startswith(f"recall: {said}")
    assert ["recall:", "help:"] == [told.split(" ")[0] for told in errors.splitlines()]


@pytest.mark.parametrize("closed", ["<&-", "2>&-"])
def test_a_stream_that_is_not_needed_may_be_closed(closed: str, store: Path) -> None:
    """What is due is shown without an input, and without a place for errors."""
    code, out, _ = ran(f"recall --store '{store}' due {closed}")

    assert 0 == code
    assert out.startswith("day ")


def test_an_output_of_another_encoding(store: Path) -> None:
    """Screens replace what it can't hold; data that would be changed isn't written, and one line says why."""
    asked, screen, _ = ran(f"recall --store '{store}' review </dev/null", PYTHONIOENCODING="ascii")
    code, _, errors = ran(f"recall --store '{store}' events", PYTHONIOENCODING="ascii")

    assert 0 == asked
    assert screen.isascii()
    assert 2 == code
    assert errors.startswith("recall: the output can't hold U+00B0: it is written in ascii\nhelp: ")


def test_a_link_out_of_the_deck_is_neither_read_nor_shown(tmp_path: Path) -> None:
    """In a folder of notes, and named itself."""
    (tmp_path / "secret.md").write_text(f"{SECRET}\n")
    notes = tmp_path / "notes"
    notes.mkdir()
    (notes / "a.md").write_text("# A\n\n| Control | Position |\n|---|---|\n| Vent | OPEN |\n")
    (notes / "b.md").symlink_to(tmp_path / "secret.md")
    for form in ("text", "json", "sarif", "github"):
        checked = recall("lint", notes, "--format", form)

        assert SECRET not in checked.out + checked.err
        assert "b.md" in checked.out
    named = recall("lint", notes / "b.md")

    assert refused(named)
    assert "leads out of its folder" in named.err
    assert SECRET not in named.out + named.err


def test_a_load_that_is_ended_leaves_nothing_in_the_temporary_folder(tmp_path: Path, note: Path) -> None:
    """At whatever moment it is told to end."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    for wait in (0.05, 0.15, 0.3):
        command = [sys.executable, "-m", "recall", "--store", str(tmp_path / "one.db"), "load", str(note)]
        with subprocess.Popen(
            command,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "TMPDIR": str(folder)},
        ) as process:
            time.sleep(wait)
            process.send_signal(signal.SIGTERM)

    assert [] == list(folder.iterdir())
