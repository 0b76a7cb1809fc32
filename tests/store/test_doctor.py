"""The doctor: what is derived is mended, events and clocks are reported; and a card's life."""

import json
from collections.abc import Callable
from datetime import date, timedelta

import pytest
from store_kit import answer, card_of, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.base.errors import RecallError
from recall.store import Store
from recall.store.clocks import correct_clock

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full"}
A_DAY = 86_400.0


@pytest.fixture(autouse=True)
def used(store: Store, clock: SetClock) -> None:
    """Two revisions, answers, an undo, a remark and a setting."""
    store.load(deck(FACTS))
    answer(store, "Battery")
    answer(store, "Pump", 1)
    clock.advance(A_DAY)
    store.load(deck(FACTS | {"Battery": "28 V"}, revision="2"))
    answer(store, "Battery")
    answer(store, "Tank")
    store.undo()
    store.remark(card_of(store, "Pump"), "left")
    store.set("target", "0.85")


def test_well(store: Store) -> None:
    """In a store that is well, nothing is found and nothing changes."""
    before = knowledge(store)
    diagnosis = store.doctor()

    assert diagnosis.well
    assert () == diagnosis.mended
    assert before == knowledge(store)


@pytest.mark.parametrize(
    "harm",
    [
        "UPDATE card SET holds = holds * 1.00001 WHERE holds IS NOT NULL",
        "UPDATE card SET due = due + 1 WHERE due IS NOT NULL",
        "UPDATE card SET standing = 'current'",
        "DELETE FROM card",
        "DELETE FROM undone",
        "DELETE FROM remark",
        "UPDATE setting SET value = '0.7'",
        "UPDATE deck SET revision = '1'",
        "DROP TABLE remark",
        "DROP TABLE card",
    ],
)
def test_mends_what_is_derived(store: Store, harm: str) -> None:
    """Whatever is wrong with what is derived, the doctor derives it anew from the events."""
    before = knowledge(store)
    events = list(store.events_json())
    store.db.execute("PRAGMA foreign_keys = OFF")
    store.db.execute(harm)
    store.db.execute("PRAGMA foreign_keys = ON")
    diagnosis = store.doctor()

    assert diagnosis.mended
    assert before == knowledge(store)
    assert events == list(store.events_json())
    assert () == store.doctor().mended


def test_missing_events_are_found(store: Store, clock: SetClock) -> None:
    """Events that a run wrote and that aren't here are missed."""
    lines = list(store.events_json())
    with Store.from_json(store.path.with_name("part.db"), [*lines[:3], *lines[4:]], clock) as part:
        (found,) = part.doctor().found

    assert "1 of the run" in found
    assert "missing" in found


def test_derived_by_an_earlier_way(store: Store, clock: SetClock) -> None:
    """What an earlier version derived is derived anew when the store is opened."""
    before = knowledge(store)
    store.db.execute("UPDATE state SET value = 'old' WHERE name = 'derived'")
    store.db.execute("UPDATE card SET holds = 1, due = 1 WHERE holds IS NOT NULL")
    with Store.open(store.path, clock) as again:
        assert before == knowledge(again)


@pytest.fixture
def ahead(store: Store, clock: SetClock) -> Callable[[], Store]:
    """A run, a year ahead, that answered two cards."""
    right = clock.at
    clock.advance(365 * A_DAY)
    with Store.open(store.path, clock) as wrong:
        answer(wrong, "Pump")
        answer(wrong, "Tank")
    clock.at = right + timedelta(hours=2)
    return lambda: Store.open(store.path, clock)


def test_clock_ahead_of_now(ahead: Callable[[], Store]) -> None:
    """A run later than now is proposed for correction; corrected, its answers count when they were given."""
    with ahead() as store:
        events = list(store.events_json())
        (wrong,) = store.doctor().clocks
        before = known_of(store, "Tank")
        correct_clock(store, wrong.writer, wrong.seconds)
        after = known_of(store, "Tank")

        assert (2, -365) == (wrong.events, wrong.days)
        assert before.due is not None and after.due is not None
        assert before.due - after.due == timedelta(days=365)
        assert set(events) < set(store.events_json())
        assert store.doctor().well
        assert () == store.doctor().mended


def test_clock_ahead_of_later_runs(ahead: Callable[[], Store], clock: SetClock) -> None:
    """When the wrong time has long passed, what the machine wrote after it still shows it."""
    with ahead() as store:
        answer(store, "Pump")
    clock.advance(700 * A_DAY)
    with ahead() as store:
        (wrong,) = store.doctor().clocks

        assert -366 < wrong.seconds / A_DAY < -364


def test_correcting_an_unknown_run(store: Store) -> None:
    """A run that wrote nothing here can't be corrected."""
    with pytest.raises(RecallError, match="no run"):
        correct_clock(store, "0" * 16, -60)


def test_life_of_a_card(store: Store, clock: SetClock) -> None:
    """Loaded, answered, changed, answered again, undone, withdrawn, back."""
    answer(store, "Battery", 1, given="24 V")
    store.undo()
    clock.advance(A_DAY)
    store.load(deck({k: v for k, v in FACTS.items() if k != "Battery"}, revision="3"))
    clock.advance(A_DAY)
    store.load(deck(FACTS | {"Battery": "28 V"}, revision="4"))
    life = store.history(card_of(store, "Battery")[:10])

    assert [
        *("loaded", "reviewed", "changed", "reviewed", "undone", "withdrawn", "back"),
    ] == [entry.what for entry in life]
    assert [False, True] == [entry.counts for entry in life if entry.what == "reviewed"]
    assert life[3].holds == known_of(store, "Battery").memory.holds  # type: ignore[union-attr]
    assert life[3].due == known_of(store, "Battery").due
    assert "24 V" == life[4].given
    assert ["1", "2", "3", "4"] == [
        entry.revision for entry in life if entry.what not in ("reviewed", "undone")
    ]
    assert date(2026, 3, 1) == life[0].day


def test_life_goes_on_after_a_move(store: Store) -> None:
    """A moved card tells of its life before."""
    answer(store, "Pump")
    facts = {"Battery": "28 V", "Hydraulics / Pump": "on", "Tank": "full"}
    store.load(deck(facts, revision="3"))
    life = store.history(card_of(store, "Pump"))

    assert ["loaded", "reviewed", "reviewed", "moved"] == [entry.what for entry in life]


def test_unknown_and_ambiguous_cards(store: Store) -> None:
    """A card is found by the beginning of its id, if it is the only one."""
    with pytest.raises(RecallError, match="no card"):
        store.history("zzz")
    with pytest.raises(RecallError, match="no card"):
        store.history("")
    card = card_of(store, "Pump")

    assert card == store.find(card[:12].upper())


def test_events_of_a_run_never_go_back(store: Store, clock: SetClock) -> None:
    """A clock set back within a run leaves its events in their order."""
    clock.at -= timedelta(hours=5)
    answer(store, "Battery")
    answer(store, "Pump")
    plain = [json.loads(line) for line in store.events_json()]

    assert sorted((event["at"], event["n"]) for event in plain) == [
        (event["at"], event["n"]) for event in plain
    ]


def test_a_store_that_cannot_be_written(store: Store) -> None:
    """That it is read-only is all that is found: nothing is said against its events."""
    store.load(deck({"Battery": "24 V"}))
    store.db.execute("PRAGMA query_only = ON")
    (found,) = store.doctor().found

    assert found.startswith("the store is read-only")
