"""A trainee's store with answers, and the keys of a class."""

from pathlib import Path

import pytest
from cli_kit import recall

NOTE = """\
---
deck: boat
title: Boat
revision: 1
effective: 2026-01-01
---
# Hull

Source: Handbook 1-1

| Parameter | Maximum | Unit |
|---|---|---|
| Wave height | 0.6 | m |
| Water speed | 12 | kt |
| Bilge level | 40 | mm |
"""


@pytest.fixture
def note(tmp_path: Path) -> Path:
    """A small deck."""
    path = tmp_path / "boat" / "deck.md"
    path.parent.mkdir()
    path.write_text(NOTE, encoding="utf-8")
    return path.parent


@pytest.fixture
def store(tmp_path: Path, note: Path) -> Path:
    """A trainee who answered three questions."""
    path = tmp_path / "me.db"
    recall("review", note, store=path, answers=["0.6", "24", "7"])
    return path


@pytest.fixture
def key(tmp_path: Path) -> Path:
    """A class key, with its public half in `class.pub` beside it."""
    path = tmp_path / "class.key"
    recall("keys", "new", path)
    tmp_path.joinpath("class.pub").write_text(recall("keys", "public", path).out)
    return path
