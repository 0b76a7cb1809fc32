"""Each trap of the notes as a case to read: the note, and what is read out of it."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

_CASE = re.compile(r"^=== ([^\n]+)\n(.*?)^--- read as\n(.*?)(?=^=== |\Z)", re.DOTALL | re.MULTILINE)
_NUMBERED = re.compile(r"⟦U\+([0-9A-F]{4})⟧")
CASES = _CASE.findall((Path(__file__).parent / "cases.txt").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("note", "expected"), [pytest.param(*case[1:], id=case[0]) for case in CASES])
def test_case_is_read_as_it_says(note: str, expected: str, outline: Callable[[str], list[str]]) -> None:
    """A note gives just the blocks, findings and references that its case lists."""
    lines = outline(_NUMBERED.sub(lambda found: chr(int(found[1], 16)), note))

    assert expected.strip("\n").split("\n") == lines


def test_every_case_is_found() -> None:
    """The file of cases is parted at each of its titles."""
    text = (Path(__file__).parent / "cases.txt").read_text(encoding="utf-8")

    assert len(re.findall("^=== ", text, re.MULTILINE)) == len(CASES) > 25
