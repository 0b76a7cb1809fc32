"""A published deck, and the runtime of Python for browsers where this machine has one."""

import os
from pathlib import Path

import offline_decks
import pytest


@pytest.fixture
def published(tmp_path: Path) -> Path:
    """A signed revision of 24 limits."""
    return offline_decks.parts(tmp_path)


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
