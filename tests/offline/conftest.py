"""A published deck, and the runtime of Python for browsers where this machine has one."""

import os
from pathlib import Path

import offline_decks
import pytest
from cli_kit import recall
from offline_decks import NOTE


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
def all_forms(tmp_path: Path) -> tuple[Path, Path]:
    """Two signed revisions of a deck with every kind and form of answer."""
    return offline_decks.all_forms(tmp_path)


@pytest.fixture
def runtime() -> Path:
    """The unpacked npm package `pyodide`; without it the test is skipped, and says so."""
    named = os.environ.get("RECALL_RUNTIME", "")
    if not named:
        pytest.skip("no runtime for browsers: name the unpacked npm package `pyodide` by RECALL_RUNTIME")
    return Path(named)
