"""Fitting the memory model to a person's own history."""

import random
import sys
from datetime import timedelta

import pytest
from store_kit import deck, knowledge

from recall.base.clock import SetClock
from recall.base.errors import RecallError
from recall.schedule import DEFAULT, Parameters, answered, recall_at
from recall.store import Review, Store
from recall.store.derive import rebuild
from recall.store.events import INSERT, row_of
from recall.store.tune import tune

QUICK = Parameters((*(weight * 0.15 for weight in DEFAULT.weights[:4]), *DEFAULT.weights[4:19], 0.0, 0.5))
"""A person who forgets much faster than the usual one, early and late."""


def live(
    store: Store, clock: SetClock, truth: Parameters, *, cards: int, days: int, seed: int, mends: int = 999
) -> None:
    """Answers of a person whose memory follows `truth`, asked after random gaps; from day `mends` on always
    right."""
    store.load(deck({f"Item {at}": "on" for at in range(cards)}))
    rng = random.Random(seed)
    rows = []
    start = clock.at
    for card in store.cards():
        memory, day = None, rng.randrange(5)
        while day < days:
            number = (start + timedelta(days=day)).date().toordinal()
            recall = 0.6 if memory is None else recall_at(memory, number - memory.last_day, truth)
            mark = 3 if day >= mends or rng.random() < recall else 1
            memory = answered(memory, mark, number, truth)
            rows.append((day, card, number, mark))
            day += rng.choice([1, 2, 4, 9, 20])
    rows.sort(key=lambda row: row[0])
    with store.writing():
        for day, card, number, mark in rows:
            event = store.writer.next_id(start + timedelta(days=day))
            fields = {
                **{"day": number, "card": card.id, "answer_hash": card.answer_hash, "deck": "skerry"},
                **{"revision": "1", "mark": mark, "right": mark > 1, "given": "", "mode": "daily"},
            }
            store.db.execute(INSERT, row_of(event, "reviewed", fields))
        rebuild(store)
    clock.at = start + timedelta(days=days)


def test_tuning_adopts_a_better_fit(store: Store, clock: SetClock) -> None:
    """For a person who forgets faster, the fit foretells held-out answers better, is adopted and moves memories."""
    live(store, clock, QUICK, cards=120, days=90, seed=1)
    before = knowledge(store)
    tuning = tune(store)

    assert tuning.adopted
    assert tuning.after < tuning.before
    assert tuning.held_out >= tuning.answers // 6
    assert tuning.parameters == store.parameters().weights
    assert before != knowledge(store)
    assert () == store.doctor().mended
    with Store.from_json(store.path.with_name("copy.db"), store.events_json(), clock) as copy:
        assert knowledge(store) == knowledge(copy)


def test_tuning_never_adopts_a_worse_fit(store: Store, clock: SetClock) -> None:
    """A fit to bad months foretells the good weeks after them worse than the usual parameters, and is left."""
    live(store, clock, QUICK, cards=120, days=90, seed=2, mends=65)
    tuning = tune(store)

    assert tuning.after > tuning.before
    assert not tuning.adopted
    assert store.parameters() == DEFAULT
    assert not [event for event in store.events_json() if '"type":"tuned"' in event]


def test_trying_without_adopting(store: Store, clock: SetClock) -> None:
    """A fit can be tried; nothing is written."""
    live(store, clock, QUICK, cards=60, days=80, seed=3)
    events = list(store.events_json())
    tuning = tune(store, adopt=False)

    assert tuning.after < tuning.before
    assert not tuning.adopted
    assert events == list(store.events_json())


def test_too_little_history(store: Store, clock: SetClock) -> None:
    """With little history it says how much there is and how much is enough."""
    live(store, clock, DEFAULT, cards=10, days=20, seed=4)
    with pytest.raises(RecallError, match=r"\d+ answers on a later day, of 400"):
        tune(store)


def test_without_the_library(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the library it says how to install it."""
    monkeypatch.setitem(sys.modules, "fsrs_rs_python", None)
    with pytest.raises(RecallError, match="isn't installed") as refused:
        tune(store)

    assert "'.[tune]'" in refused.value.help


def test_later_answers_of_one_day_are_too_little(store: Store, clock: SetClock) -> None:
    """Nothing can be held out then; that is said, and nothing is adopted."""
    store.load(deck({f"Item {at}": "on" for at in range(420)}))
    for _ in range(2):
        for card in store.cards():
            store.record(Review(card.id, card.answer_hash, 3, right=True))
        clock.advance(86_400.0)
    with pytest.raises(RecallError, match="all later answers are of one day"):
        tune(store)

    assert DEFAULT == store.parameters()
