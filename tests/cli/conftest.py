"""A small note, and a store that has loaded it."""

from pathlib import Path

import pytest
from cli_kit import NOTE, recall


@pytest.fixture
def note(tmp_path: Path) -> Path:
    """A small lone note."""
    path = tmp_path / "fuel.md"
    path.write_text(NOTE, encoding="utf-8")
    return path


@pytest.fixture
def store(tmp_path: Path, note: Path) -> Path:
    """A store with the note loaded."""
    path = tmp_path / "store.db"
    recall("load", note, store=path)
    return path
