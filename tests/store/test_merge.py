"""Merging stores, and writing events out and back."""

import json
from pathlib import Path

import pytest
from store_kit import answer, card_of, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full"}


@pytest.fixture
def other(tmp_path: Path, clock: SetClock, store: Store) -> Store:
    """A second device with the same deck."""
    store.load(deck(FACTS))
    second = Store.open(tmp_path / "other.db", clock)
    second.load(deck(FACTS))
    return second


def test_another_person(store: Store, other: Store) -> None:
    """Another person's store is refused, unless the person says that both are theirs; it is asked once."""
    answer(other, "Battery")
    with pytest.raises(StoreError, match="another person") as refused:
        store.merge([other.path])
    assert "--same-person" in refused.value.help
    assert known_of(store, "Battery").memory is None
    store.merge([other.path], same_person=True)
    store.merge([other.path])
    other.merge([store.path])

    assert known_of(other, "Battery") == known_of(store, "Battery")


def test_merge_twice_is_once(store: Store, other: Store) -> None:
    """The second merge brings nothing and replays nothing."""
    answer(other, "Battery")
    (first,) = store.merge([other.path], same_person=True)
    before = knowledge(store)
    (second,) = store.merge([other.path])

    assert (1, 0) == (first.reviews, second.events)
    assert 0 == second.cards
    assert before == knowledge(store)


def test_only_touched_cards_are_replayed(store: Store, other: Store) -> None:
    """A merge replays the cards that its events are about."""
    store.merge([other.path], same_person=True)
    answer(other, "Battery")
    answer(other, "Battery")
    answer(other, "Pump")
    (report,) = store.merge([other.path])

    assert (3, 2) == (report.reviews, report.cards)


def test_undo_before_its_target(store: Store, other: Store, tmp_path: Path, clock: SetClock) -> None:
    """An undo may arrive before the review that it takes back."""
    answer(store, "Pump")
    store.merge([other.path], same_person=True)
    review = answer(other, "Battery")
    other.undo()
    lines = [line for line in other.events_json() if json.loads(line)["id"] != review]
    store.read_json(lines, "other")
    before = known_of(store, "Battery")
    store.merge([other.path])

    assert before == known_of(store, "Battery")
    assert "unasked" == before.standing


def test_undo_takes_this_machines_newest(store: Store, other: Store, clock: SetClock) -> None:
    """After a merge, undo takes back what was answered here, not what came in later."""
    answer(store, "Pump")
    clock.advance(60)
    answer(other, "Battery")
    store.merge([other.path], same_person=True)
    store.undo()

    assert "unasked" == known_of(store, "Pump").standing
    assert "initial" == known_of(store, "Battery").standing


def test_the_other_store_is_left_as_it_is(store: Store, other: Store) -> None:
    """Merging doesn't change the file that is taken in, even one that can only be read."""
    answer(other, "Battery")
    path = other.path
    other.close()
    before = path.read_bytes()
    path.chmod(0o400)
    store.merge([path], same_person=True)

    assert before == path.read_bytes()


def test_merge_with_itself_or_nothing(store: Store, tmp_path: Path) -> None:
    """A store isn't merged with itself, nor with a file that isn't there or is no store."""
    (tmp_path / "text.db").write_text("not a database at all, only text" * 40)
    for path, said in [
        (store.path, "this store itself"),
        (tmp_path / "nowhere.db", "no store"),
        (tmp_path / "text.db", "no store and no file of events"),
    ]:
        with pytest.raises(StoreError, match=said):
            store.merge([path])


def test_json_and_back(store: Store, tmp_path: Path, clock: SetClock) -> None:
    """All events as JSON Lines, read back, give the same store."""
    store.load(deck(FACTS))
    answer(store, "Battery", given="24 V", seconds=2.5)
    answer(store, "Pump", 1, given="off – “nearly”")
    store.undo()
    store.set("zone", "Pacific/Auckland")
    store.remark(card_of(store, "Tank"), "two lines\nof text")
    store.load(deck(FACTS | {"Battery": "28 V"}, revision="2"))
    lines = list(store.events_json())
    with Store.from_json(tmp_path / "copy.db", lines, clock) as copy:
        assert knowledge(store) == knowledge(copy)
        assert lines == list(copy.events_json())


def test_json_names(store: Store) -> None:
    """A review is written out under the names of its fields, moments and days in ISO 8601."""
    store.load(deck(FACTS))
    answer(store, "Battery", given="24 V", seconds=2.5)
    plain = json.loads(list(store.events_json())[-1])

    assert {
        *(
            "id",
            "writer",
            "n",
            "at",
            "type",
            "day",
            "card",
            "answer_hash",
            "deck",
            "revision",
            "mark",
            "right",
        ),
        *("overruled", "marked_by", "seconds", "given", "mode"),
    } == set(plain)
    assert ("2026-03-01T09:00:00.000Z", "2026-03-01", 3, True) == (
        *(plain["at"], plain["day"]),
        *(plain["mark"], plain["right"]),
    )


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{", "line 1, is no JSON"),
        ("[1]", "line 1, is no event"),
        ('{"id": "x", "type": "reviewed"}', "line 1: that is no event"),
        (
            '{"id": "1000000000000-00000000000000aa-000001", "type": "setting"}',
            "lacks its name and its value",
        ),
        ('{"id": "1000000000000-00000000000000aa-000001", "type": "flown"}', "this version knows"),
    ],
)
def test_bad_json(store: Store, line: str, said: str) -> None:
    """Lines that are no events are refused, and nothing of the file is taken in."""
    store.load(deck(FACTS))
    before = store.one("SELECT count(*) FROM event")
    with pytest.raises(StoreError, match=said):
        store.read_json([line], "events.jsonl")

    assert before == store.one("SELECT count(*) FROM event")


def test_json_over_a_file(store: Store, clock: SetClock) -> None:
    """Events aren't read over a file that is there."""
    with pytest.raises(StoreError, match="a file already"):
        Store.from_json(store.path, [], clock)
