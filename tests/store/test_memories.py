"""All cards at once and one card alone give the same knowledge, on random histories."""

import math
import random
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_kit import MORNING, deck

from recall.base.clock import SetClock
from recall.base.settings import Settings
from recall.schedule import DEFAULT
from recall.store import Review, Store, memories
from recall.store.derive import rebuild
from recall.store.doctor import differences, snapshot
from recall.store.histories import COUNTS, EARLIER, Arrays, Target
from recall.store.memories import replay_alone, replay_cards, replay_together

answers = st.lists(
    st.tuples(st.integers(739_000, 739_060), st.integers(1, 4), st.sampled_from([EARLIER, COUNTS])),
    max_size=9,
)


@given(st.lists(answers, min_size=1, max_size=6), st.lists(st.booleans(), min_size=6, max_size=6))
@settings(max_examples=150, deadline=None)
def test_together_and_alone_agree(lives: list[list[tuple[int, int, int]]], critical: list[bool]) -> None:
    """Memory within 1e-9; due day, standing, counts and days exactly."""
    targets = [
        Target(at, f"{at}", "", "", None, linked=False, critical=critical[at], renewed=739_100)
        for at in range(len(lives))
    ]
    rows = [(at, *answer) for at, life in enumerate(lives) for answer in life]
    columns = [np.array([row[at] for row in rows], np.int64) for at in range(4)]
    together = replay_together(Arrays(targets, *columns), DEFAULT, Settings())

    for target, life, result in zip(targets, lives, together, strict=True):
        alone = replay_alone(target, life, DEFAULT, Settings())
        assert alone[2:] == result[2:]
        for one, two in zip(alone[:2], result[:2], strict=True):
            assert one == two or math.isclose(one, two, rel_tol=1e-9)


def test_reading_many_and_few_agree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read through from end to end or card by card, with moves, changes, undos and one moment for many answers."""
    rng = random.Random(4)
    clock = SetClock(MORNING)
    facts = {f"Item {at}": f"{at % 7} V" for at in range(40)}
    with Store.open(tmp_path / "recall.db", clock, rng=rng) as store:
        for revision in range(1, 4):
            store.load(deck(facts, revision=str(revision)))
            cards = store.cards()
            for _ in range(120):
                card = rng.choice(cards)
                store.record(Review(card.id, card.answer_hash, rng.randint(1, 4)))
                if rng.random() < 0.3:
                    clock.at += timedelta(hours=rng.randint(0, 40))
                if rng.random() < 0.1:
                    store.undo()
            changed = rng.sample(sorted(facts), 8)
            facts = {
                (f"Moved / {name}" if name in changed[:4] else name): (
                    "off" if name in changed[4:] else answer
                )
                for name, answer in facts.items()
            }
        few = snapshot(store)
        changed_and_moved = store.rows("SELECT sum(was IS NOT NULL), sum(linked) FROM card")[0]
        monkeypatch.setattr(memories, "MANY", 1)
        with store.writing():
            replay_cards(store, None)
        many = snapshot(store)
        with store.writing():
            rebuild(store)
        anew = snapshot(store)

    assert [] == list(differences(few, many))
    assert [] == list(differences(few, anew))
    assert min(changed_and_moved) >= 6
