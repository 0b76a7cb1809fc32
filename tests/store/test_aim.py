"""What a checkride asks of critical points, for the daily order."""

from pathlib import Path

import pytest
from store_kit import MORNING, answer, deck

from recall.base.clock import SetClock
from recall.base.dataclass import replace
from recall.deck.model import Blueprint
from recall.schedule.model import critical_aim, due_day
from recall.store import Store

FACTS = {f"{topic} / Part {topic} {number}": f"state {number}" for topic in "AB" for number in range(12)}


@pytest.mark.parametrize(("drawn", "target"), [(0, 0.95), (3, 0.95), (10, 0.9559), (17, 0.9739), (60, 0.99)])
def test_odds_of_four_in_five_to_miss_none(drawn: int, target: float) -> None:
    """0.8 is the product over the questions of recall half-way between 1 and the target; 0.95 at least, 0.99 at
    most."""
    assert target == pytest.approx(critical_aim(drawn), abs=1e-4)


def test_critical_cards_are_due_as_the_blueprint_asks(tmp_path: Path) -> None:
    """Of twelve questions ten are critical: six of A, where all are, and four of the half of B; what a person sets
    counts more; derived anew it is the same."""
    with Store.open(tmp_path / "store.db", SetClock(MORNING)) as store:
        plain = deck(FACTS, critical=frozenset(list(FACTS)[:18]))
        store.load(plain)
        event = answer(store, "Part A 1")
        before = store.settings().critical_target
        record = replace(plain.record, revision="2", checkride=Blueprint(80, {"A": 6, "B": 8, "C": 3}, False))
        store.load(replace(plain, record=record))
        asked = store.settings().critical_target
        (known,) = (card for card in store.cards() if card.memory is not None)
        assert known.memory is not None and known.due is not None and event

        assert (0.95, 0.9559) == (before, asked)
        assert due_day(known.memory, 0.9559, critical=True) == known.due.toordinal()
        store.set("critical_target", "0.9")
        assert 0.9 == store.settings().critical_target
