"""A store on the disk and a clock that stands where it is put."""

from collections.abc import Callable, Iterator
from datetime import datetime, timezone
from pathlib import Path

import pytest

from recall.base.clock import SetClock
from recall.store import Review, Store

MORNING = datetime(2026, 3, 1, 9, 0, tzinfo=timezone.utc)


@pytest.fixture
def clock() -> SetClock:
    """1 March 2026, 09:00 UTC."""
    return SetClock(MORNING)


@pytest.fixture
def store(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """An empty store."""
    with Store.open(tmp_path / "recall.db", clock) as opened:
        yield opened


@pytest.fixture
def answer() -> Callable[..., str]:
    """Answer the one card of a subject; the id of the review."""

    def give(store: Store, subject: str, mark: int = 3, **more: object) -> str:
        card = card_of(store, subject)
        known = store.known(card)
        return store.record(Review(card, known.answer_hash, mark, right=mark > 1, **more))  # type: ignore[arg-type]

    return give


def card_of(store: Store, subject: str) -> str:
    """Id of the card in force whose subject it is."""
    found = [known.id for known in store.cards() if store.card(known.id).subject == subject]
    assert len(found) == 1, (subject, found)
    return found[0]
