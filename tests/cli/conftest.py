"""A small note, and a store that has loaded it."""

import shutil
from pathlib import Path

import pytest
from cli_kit import NOTE, recall


@pytest.fixture
def note(tmp_path: Path) -> Path:
    """A small lone note."""
    path = tmp_path / "fuel.md"
    path.write_text(NOTE, encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def store_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `store` is a copy of."""
    place = tmp_path_factory.mktemp("loaded")
    (place / "fuel.md").write_text(NOTE, encoding="utf-8")
    assert 0 == recall("load", place / "fuel.md", store=place / "store.db").code
    return place / "store.db"


@pytest.fixture
def store(tmp_path: Path, note: Path, store_once: Path) -> Path:
    """A store with a note like `note` loaded."""
    return Path(shutil.copy(store_once, tmp_path))
