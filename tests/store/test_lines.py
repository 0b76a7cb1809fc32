"""Lines of revisions under several names, and what is derived of them step by step."""

from datetime import date, timedelta
from pathlib import Path

from store_kit import answer, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.store import Store

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full"}


def test_a_changed_answer_counts_in_a_renamed_deck(store: Store) -> None:
    """What changed in a deck that had another name is asked once, not for ever."""
    store.load(deck(FACTS, slug="skerry"))
    named = FACTS | {"Vent": "shut"}
    store.load(deck(named, slug="skerry-2", formerly="skerry", revision="1"))
    answer(store, "Vent")
    store.load(deck(named | {"Vent": "open"}, slug="skerry-2", formerly="skerry", revision="2"))
    answer(store, "Vent")

    assert ("initial", False, 1) == (
        known_of(store, "Vent").standing,
        known_of(store, "Vent").fresh,
        known_of(store, "Vent").asked,
    )
    assert () == store.doctor().mended


def test_a_day_that_is_passed_over_is_not_awaited(store: Store, clock: SetClock) -> None:
    """A revision below the one in force waits for no day, whatever the clock said when it was loaded."""
    clock.advance(90 * 86_400)
    store.load(deck(FACTS, revision="1"))
    store.load(deck(FACTS, revision="2", effective=date(2026, 5, 1)))
    store.load(deck(FACTS | {"Pump": "off"}, revision="3"))
    clock.at -= timedelta(days=80)
    with Store.open(store.path, clock) as back:
        assert [None] == [each.pending for each in back.decks()]
        assert () == back.doctor().mended


def test_two_decks_of_one_name(tmp_path: Path, store: Store, clock: SetClock) -> None:
    """Where two decks say that they had one name, the first to say so has it, in whatever order stores are merged."""
    with Store.open(tmp_path / "second.db", clock) as second:
        second.load(deck(FACTS, slug="skerry-3", formerly="skerry"))
        clock.advance(60)
        store.load(deck(FACTS, slug="skerry"))
        answer(store, "Pump")
        moved = {("Fuel / Pump" if name == "Pump" else name): right for name, right in FACTS.items()}
        store.load(deck(moved, slug="skerry", revision="2"))
        store.load(deck(moved, slug="skerry-2", formerly="skerry"))
        store.merge([second.path], same_person=True)
        second.merge([store.path], same_person=True)

        assert ["skerry-2", "skerry-3"] == [each.slug for each in second.decks()]
        assert knowledge(store) == knowledge(second)
        assert ((), ()) == (store.doctor().mended, second.doctor().mended)
