"""An upgrade of the program is no revision: what the notes' author didn't change keeps its memory."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from store_kit import answer, card_of, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.deck.model import Deck
from recall.kinds.model import Card, digest
from recall.store import Known, Store
from recall.store.fold import fold
from recall.store.revisions import CardState, Listed, Load

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full", "Vent": "shut"}
DAY = 86_400


def later(read: Deck, otherwise: Callable[[Card], Card | None], *, notes: str | None = None) -> Deck:
    """A deck as a later version of the program reads it. otherwise: a card as that makes it, None for one it doesn't
    ask; notes: another digest, where the notes changed too."""
    cards = tuple(made for card in read.cards if (made := otherwise(card)) is not None)
    return replace(read, cards=cards, reading="a later version", notes=notes or read.notes)


def spelt(card: Card) -> Card:
    """The same card with its answer in another normal form."""
    return replace(card, answer_hash=digest((card.answer_hash, "spelt otherwise")))


def rekeyed(card: Card) -> Card:
    """The same card under another subject, with its answer in another normal form."""
    named = f"{card.subject} of the aircraft"
    return replace(spelt(card), id=digest((card.id, "2")), point=digest((card.point, "2")), subject=named)


def learned(store: Store, clock: SetClock) -> dict[str, Known]:
    """What is known of each subject once the deck is loaded and answered twice."""
    store.load(deck(FACTS))
    for _ in range(2):
        for subject in FACTS:
            answer(store, subject)
        clock.advance(3 * DAY)
    return {subject: known_of(store, subject) for subject in FACTS}


def test_another_normal_form(store: Store, clock: SetClock) -> None:
    """Answers that a later version normalises otherwise keep their memory, and nothing is told as changed."""
    before = learned(store, clock)
    report = store.load(later(deck(FACTS), spelt))

    assert (0, 0, 0, 0) == (report.new, report.changed, report.withdrawn, report.moved)
    for subject, known in before.items():
        assert replace(known, answer_hash="") == replace(known_of(store, subject), answer_hash="")
    assert store.doctor().well
    assert () == store.doctor().mended


def test_answers_go_on_after_it(store: Store, clock: SetClock) -> None:
    """Answers under the hash before and after the upgrade count as one history."""
    learned(store, clock)
    store.load(later(deck(FACTS), spelt))
    answer(store, "Pump")

    assert (3, 3) == (known_of(store, "Pump").asked, known_of(store, "Pump").right)
    assert [True] * 3 == [each.counts for each in store.history(card_of(store, "Pump")) if each.mark]
    assert ["loaded"] == [each.what for each in store.history(card_of(store, "Pump")) if not each.mark]


def test_under_a_new_key(store: Store, clock: SetClock) -> None:
    """A point that a later version names otherwise keeps its memory, its answer normalised otherwise too."""
    before = learned(store, clock)
    report = store.load(later(deck(FACTS), rekeyed))

    assert (0, 0, 0, 4) == (report.new, report.changed, report.withdrawn, report.moved)
    for subject, known in before.items():
        now = known_of(store, f"{subject} of the aircraft")
        assert (known.memory, known.standing, known.due) == (now.memory, now.standing, now.due)


def test_notes_and_program_at_once(store: Store, clock: SetClock) -> None:
    """Where a row was changed too, that row alone is told as changed and begins anew."""
    before = learned(store, clock)
    edited = deck(FACTS | {"Pump": "off"}, revision="2")
    report = store.load(later(edited, spelt))

    assert (0, 1, 0) == (report.new, report.changed, report.withdrawn)
    assert {"Pump"} == {
        subject for subject in FACTS if known_of(store, subject).memory != before[subject].memory
    }
    assert ("on",) == store.was(card_of(store, "Pump")).answer  # type: ignore[union-attr]


def test_the_same_program_is_never_wrong_about_a_change(store: Store, clock: SetClock) -> None:
    """An answer that the same program reads otherwise was changed, whatever its source says."""
    learned(store, clock)
    changed = deck(FACTS | {"Pump": "off"}, revision="2")
    sources = {card.subject: card.source for card in deck(FACTS).cards}
    narrow = replace(
        changed, cards=tuple(replace(card, source=sources[card.subject]) for card in changed.cards)
    )
    report = store.load(narrow)

    assert 1 == report.changed
    assert known_of(store, "Pump").memory is None


def test_what_a_later_version_no_longer_asks(store: Store, clock: SetClock) -> None:
    """A question that only the program drops or adds is neither withdrawn nor a change; over half of them aren't
    refused."""
    before = learned(store, clock)
    report = store.load(later(deck(FACTS), lambda card: card if card.subject == "Pump" else None))

    assert (0, 0, 0, 3) == (report.new, report.changed, report.withdrawn, report.dropped)
    report = store.load(deck(FACTS))
    assert (0, 0) == (report.changed, report.withdrawn)
    assert before == {subject: known_of(store, subject) for subject in FACTS}


@pytest.fixture
def other(tmp_path: Path, clock: SetClock) -> Iterator[Store]:
    """The store of another device."""
    with Store.open(tmp_path / "other.db", clock) as opened:
        yield opened


def test_two_versions_agree(store: Store, other: Store, clock: SetClock) -> None:
    """Two devices with two versions know the same after a merge, in whatever order they loaded and answered."""
    learned(store, clock)
    other.merge([store.path], same_person=True)
    other.load(later(deck(FACTS), spelt))
    answer(other, "Tank")
    clock.advance(DAY)
    answer(store, "Tank", 1)
    store.load(deck(FACTS | {"Vent": "open"}, revision="2"))
    other.load(later(deck(FACTS | {"Vent": "open"}, revision="2"), spelt))
    answer(other, "Pump")
    store.merge([other.path])
    other.merge([store.path])

    assert knowledge(store) == knowledge(other)
    assert 4 == known_of(store, "Tank").asked
    assert 0 == known_of(store, "Vent").asked


def test_a_second_normal_form() -> None:
    """Answers that are equal in a later normal form only are equal."""
    states: dict[str, CardState] = {}
    changed = []
    for number, (form, also) in enumerate([("x", ()), ("x", ("2:a",)), ("y", ("2:a",)), ("z", ("2:b",))]):
        listed = Listed("card", form, "text", 1, "", also)
        load = Load(f"e{number}", f"place {number}", "skerry", str(number), None, 1, [listed])
        step = fold(states, load, lambda _: pytest.fail("no wording is needed"), {})
        changed.append(bool(step.changed))

    assert [False, False, False, True] == changed
