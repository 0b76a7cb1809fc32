"""Revisions by their numbers: any order of loading, one content a number, in force by the day alone."""

from datetime import datetime, timedelta, timezone
from itertools import permutations
from pathlib import Path

import pytest
from publish_kit import NOW, ROWS, events, notes, published, store
from store_kit import card_of

from recall.base.errors import RecallError
from recall.deck.read import read_deck
from recall.publish.receive import receive
from recall.publish.sign import new_key
from recall.store import Store


def revision(tmp_path: Path, number: str, limit: str, effective: str) -> Path:
    """A revision in which the imbalance has a limit of its own, from a day on."""
    folder = notes(
        tmp_path / "deck", ROWS | {"**Fuel imbalance**": limit}, revision=number, effective=effective
    )
    return published(folder, tmp_path / f"out{number}", tmp_path / "key").path


def asked(opened: Store) -> str:
    """The limit that is asked."""
    return opened.card(card_of(opened, "Fuel imbalance", "maximum")).answer.texts[0]


def test_what_is_asked_is_by_the_day_whatever_the_order_of_loading(tmp_path: Path) -> None:
    """With one that takes effect in four months loaded early, those between still load; each day has its own."""
    new_key(tmp_path / "key")
    files = {
        "1": revision(tmp_path, "1", "210 kg", "2026-03-01"),
        "2": revision(tmp_path, "2", "220 kg", "2026-05-10"),
        "3": revision(tmp_path, "3", "230 kg", "2026-06-10"),
        "4": revision(tmp_path, "4", "240 kg", "2026-09-01"),
    }
    days = {0: "210 kg", 9: "220 kg", 39: "220 kg", 40: "230 kg", 122: "230 kg", 123: "240 kg"}
    for at, order in enumerate(permutations("234")):
        path = tmp_path / f"{at}.db"
        with store(path) as opened:
            for number in ("1", *order):
                receive(opened, files[number])
        found = {}
        for days_on in days:
            with store(path, NOW + timedelta(days=days_on)) as opened:
                found[days_on] = asked(opened)

        assert days == found


def test_a_look_from_the_future_leaves_nothing_behind(tmp_path: Path) -> None:
    """A wrong clock takes a revision up; with the right one again the day's own is asked."""
    new_key(tmp_path / "key")
    with store(tmp_path / "store.db") as opened:
        receive(opened, revision(tmp_path, "1", "210 kg", "2026-03-01"))
        receive(opened, revision(tmp_path, "2", "220 kg", "2026-09-01"))
        before = events(opened)
    with store(tmp_path / "store.db", datetime(2068, 1, 1, tzinfo=timezone.utc)) as opened:
        assert "220 kg" == asked(opened)
    with store(tmp_path / "store.db") as opened:
        assert "210 kg" == asked(opened)
        assert before == events(opened)


def test_one_older_than_that_in_force_is_refused(tmp_path: Path) -> None:
    """A step back would bring withdrawn answers back."""
    new_key(tmp_path / "key")
    with store(tmp_path / "store.db") as opened:
        receive(opened, revision(tmp_path, "2", "220 kg", "2026-03-01"))
        with pytest.raises(RecallError, match="revision 2 is in force already"):
            receive(opened, revision(tmp_path, "1.9", "210 kg", "2026-02-01"))


@pytest.mark.parametrize("number", ["2", "2.0", "02", "2.0.0"])
def test_one_number_has_one_content(tmp_path: Path, number: str) -> None:
    """Other words under a number that is known, by the same key, are refused; trailing and leading noughts make no
    other number."""
    new_key(tmp_path / "key")
    with store(tmp_path / "store.db") as opened:
        receive(opened, revision(tmp_path, "2", "220 kg", "2026-03-01"))
        before = events(opened)
        other = published(
            notes(tmp_path / "again", ROWS | {"**Fuel imbalance**": "190 kg"}, revision=number),
            tmp_path / "again-out",
            tmp_path / "key",
        ).path
        with pytest.raises(RecallError, match="under that number"):
            receive(opened, other)

        assert before == events(opened)


@pytest.mark.parametrize("number", ["٢", "２", "2.٣", "²"])
def test_digits_of_other_scripts_are_no_revision(tmp_path: Path, number: str) -> None:
    """Two devices must sort alike, and an eye must see what is loaded."""
    deck, findings = read_deck(notes(tmp_path / "deck", revision=number))

    assert "" == deck.record.revision
    assert ["bad-record"] == [said.rule for said in findings if said.severity == "error"]
