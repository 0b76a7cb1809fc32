"""A published deck, and the runtime of Python for browsers where this machine has one."""

import os
from pathlib import Path

import pytest
from cli_kit import recall

ROWS = "".join(
    f"| Parameter {letter} | {number} | mm | Handbook 1-1 |\n"
    for number, letter in enumerate("ABCDEFGHJKLMNPQRSTUVWXYZ", start=11)
)
NOTE = f"""\
---
deck: parts
title: Parts
revision: 1
effective: 2026-01-01
---
# Parts

| Parameter | Maximum | Unit | Source |
|---|---|---|---|
{ROWS}"""


@pytest.fixture
def published(tmp_path: Path) -> Path:
    """A signed revision of 24 limits."""
    notes = tmp_path / "parts"
    notes.mkdir()
    notes.joinpath("deck.md").write_text(NOTE, encoding="utf-8")
    recall("keys", "new", tmp_path / "me.key")
    assert 0 == recall("publish", notes, "--sign", tmp_path / "me.key", "--out", tmp_path / "out").code
    return tmp_path / "out" / "parts-r1.zip"


@pytest.fixture
def runtime() -> Path:
    """The unpacked npm package `pyodide`; without it the test is skipped, and says so."""
    named = os.environ.get("RECALL_RUNTIME", "")
    if not named:
        pytest.skip("no runtime for browsers: name the unpacked npm package `pyodide` by RECALL_RUNTIME")
    return Path(named)
