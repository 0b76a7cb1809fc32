"""The section of README.md on instructor and student, run as it stands."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import forked
import pytest

TOP = Path(__file__).parents[2]
BLOCK = re.compile(r"^```(sh|text)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
BETWEEN = "=== next block ==="


def blocks(readme: str) -> list[tuple[str, str]]:
    """Commands, each with what they are said to print; empty where nothing is."""
    walk = readme.partition("<!-- walk -->")[2].partition("<!-- /walk -->")[0]
    found: list[tuple[str, str]] = []
    for language, text in BLOCK.findall(walk):
        if language == "sh":
            found.append((text, ""))
        else:
            found[-1] = (found[-1][0], found[-1][1] + text)
    return found


def left_out(said: str, wanted: str) -> list[str]:
    """The wanted lines that aren't in what was said, in their order. Said lines may be wrapped, indented, go on."""
    words, at, missing = " ".join(said.split()), 0, []
    for line in wanted.splitlines():
        place = words.find(" ".join(line.split()), at)
        if place < 0:
            missing.append(line)
        else:
            at = place
    return missing


@pytest.mark.skipif(shutil.which("bash") is None, reason="the section is for a shell")
def test_the_section_runs_as_it_stands(tmp_path: Path) -> None:
    """Every command does, and prints what the page says that it prints."""
    walk = blocks(TOP.joinpath("README.md").read_text(encoding="utf-8"))
    tools = tmp_path / "tools"
    tools.mkdir()
    tools.joinpath("recall").write_text(
        f'#!/bin/sh\nexec "{sys.executable}" -IS "{forked.__file__}" run "{forked.server()}" "$@"\n',
        encoding="utf-8",
    )
    tools.joinpath("recall").chmod(0o755)
    place = tmp_path / "place"
    place.mkdir()
    script = f"\necho '{BETWEEN}'\n".join(commands for commands, _ in walk)
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", f"exec 2>&1\n{script}"],
        cwd=place,
        env=os.environ
        | {
            "PATH": f"{tools}{os.pathsep}{os.environ['PATH']}",
            "PYTHONPATH": str(TOP),
            "COLUMNS": "100",
            "XDG_DATA_HOME": str(tmp_path),
        },
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    said = done.stdout.split(BETWEEN)

    assert 0 == done.returncode, done.stdout
    assert len(walk) == len(said)
    assert 6 <= len(walk)
    assert [] == [
        line for text, (_, wanted) in zip(said, walk, strict=True) for line in left_out(text, wanted)
    ]


def test_a_line_that_nobody_prints_is_found() -> None:
    """Also one that is printed too early."""
    assert ["three"] == left_out("one\n  two\n", "one\nthree\n")
    assert ["one"] == left_out("one\ntwo\n", "two\none\n")
