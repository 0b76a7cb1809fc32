"""Cards that are missed again and again, and topics that are begun: what is said, and what is offered."""

import random
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sitting_kit import MORNING, Sat, begin

from recall.base.clock import SetClock
from recall.deck.read import read_deck
from recall.publish.sources import SourceText
from recall.session.begin import begin_review, today_of
from recall.session.desk import Selection
from recall.store import Review, Store

NOTE = """# Fuel

Source: Handbook 28-1

| Parameter | Minimum | Maximum | Unit |
|---|---|---|---|
| **Feeder quantity** | 40 | 700 | lb |

| Abbreviation | Meaning |
|---|---|
| FFR | fuel flow rate |
| FRR | fuel return rate |

# Oil

1. Check the level
2. Close the cap
"""
HELPS = {"remark", "beside", "others"}


@pytest.fixture
def clock() -> SetClock:
    """Eight in the morning."""
    return SetClock(MORNING)


@pytest.fixture
def store(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """A store of that note."""
    (tmp_path / "note.md").write_text(NOTE, encoding="utf-8")
    with Store.open(tmp_path / "store.db", clock, rng=random.Random(1)) as found:
        found.load(read_deck(tmp_path / "note.md")[0])
        yield found


def asking(store: Store, clock: SetClock, words: str, missed: int, right: int = 0) -> Sat:
    """A sitting that puts the card with these words next, which was missed on so many days before."""
    card = next(one for one in store.cards() if words in store.card(one.id).prompt)
    for at in range(missed + right):
        store.record(Review(card.id, card.answer_hash, 3 if at < right else 1, right=at < right, given="x"))
        clock.at += timedelta(days=1)
    sat = begin(store, clock)
    order = sat.sitting.course.order
    waiting = order.take(card.id)
    if waiting is not None:
        order.bring([waiting])
        sat.sitting.ask()
    return sat


def offered(sat: Sat) -> set[str]:
    """The helps that may be taken."""
    return HELPS & set(sat.sitting.view().may)


@pytest.mark.parametrize(("missed", "expected"), [(2, False), (3, True), (4, False)])
def test_a_fourth_lapse_is_told_once(store: Store, clock: SetClock, missed: int, expected: bool) -> None:
    """On the day of the fourth, not on that of the third or the fifth; right answers before don't count."""
    sat = asking(store, clock, "FFR stand for", missed, right=2)
    view = sat.act("answer", "frequency")

    assert expected == any(line.text.startswith("Missed on four days now") for line in view.tell)
    assert expected == ("remark" in view.may)
    assert expected == ("beside" in view.may)


def test_a_lapse_is_none_on_the_same_day_nor_when_it_is_right(store: Store, clock: SetClock) -> None:
    """A second miss of the day doesn't count, and a right answer offers nothing."""
    sat = asking(store, clock, "FFR stand for", 3)

    assert not HELPS & set(sat.act("answer", "fuel flow rate").may)


def test_its_look_alike_is_shown_beside_it(store: Store, clock: SetClock) -> None:
    """Both questions, both answers, and the words in which they differ."""
    sat = asking(store, clock, "FFR stand for", 3)
    sat.act("answer", "frequency")
    told = [line.text for line in sat.act("beside").tell]

    assert ["only here: ffr, flow", "only here: frr, return"] == [
        one for one in told if one.startswith("only")
    ]
    assert "What does FRR stand for?" in told


def test_the_other_cards_of_its_point_are_asked_first(store: Store, clock: SetClock) -> None:
    """Before any other card, and before it comes back itself."""
    sat = asking(store, clock, "Maximum feeder quantity", 3)
    sat.sitting.pause = "none"
    sat.act("answer", "600")
    point = sat.sitting.kept[-1].card.point
    sat.act("others")
    asked = []
    for _ in range(4):
        put = sat.sitting.question
        assert put is not None
        asked.append(put.point == point)
        sat.act("answer", sat.answer())

    assert [False, True, True, False] == asked


def test_a_remark_is_kept_and_an_empty_one_is_none(store: Store, clock: SetClock) -> None:
    """It is told with the answer from then on."""
    sat = asking(store, clock, "FFR stand for", 3)
    card = sat.sitting.question
    sat.act("answer", "frequency")
    sat.act("remark", " ")
    assert card is not None and "" == store.remark_on(card.id)
    sat.act("remark", "flow comes first")

    assert "flow comes first" == store.remark_on(card.id)


def test_an_oral_offers_nothing(store: Store, clock: SetClock) -> None:
    """It tells at the end."""
    for known in store.cards():
        for _ in range(3):
            store.record(Review(known.id, known.answer_hash, 1, right=False, given="x"))
            clock.at += timedelta(days=1)
    sat = begin(store, clock, "oral", questions=2)

    assert not HELPS & set(sat.act("answer", "600").may)


@pytest.mark.parametrize(
    ("topic", "asked", "expected"), [("Oil", "", True), ("Oil", "Oil", False), (None, "", False)]
)
def test_a_topic_begins_with_its_notes(
    store: Store, clock: SetClock, topic: str | None, asked: str, expected: bool
) -> None:
    """Its page of the sheet may be shown before the first answer, where nothing of it was asked."""
    for known in store.cards(topic=asked) if asked else ():
        store.record(Review(known.id, known.answer_hash, 3, right=True))
    clock.at += timedelta(days=9)
    wish = Selection(topic=topic)
    sitting = begin_review(store, wish, today_of(store, wish), SourceText(store))
    assert expected == ("notes" in sitting.view().may)
    if expected:
        view = sitting.act(sitting.token, "notes")
        assert view.fresh and {"1. Check the level", "2. Close the cap"} <= {line.text for line in view.tell}
        assert not any("Feeder" in line.text for line in view.tell)
        sitting.act(sitting.token, "answer", sitting.question.answer.text if sitting.question else "")

    assert "notes" not in sitting.view().may
