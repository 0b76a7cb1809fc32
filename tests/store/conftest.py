"""A store on the disk and a clock that stands where it is put."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from store_kit import MORNING

from recall.base.clock import SetClock
from recall.store import Store


@pytest.fixture
def clock() -> SetClock:
    """1 March 2026, 09:00 UTC."""
    return SetClock(MORNING)


@pytest.fixture
def store(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """An empty store."""
    with Store.open(tmp_path / "recall.db", clock) as opened:
        yield opened
