"""An upgrade of the program is no revision: what the notes' author didn't change keeps its memory."""

import gzip
import re
import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from store_kit import answer, card_of, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.base.dataclass import replace
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.deck.source import whole_of
from recall.kinds.model import Card, digest
from recall.store import Known, Store
from recall.store.fold import fold
from recall.store.revisions import CardState, Listed, Load, Loaded

EARLIER = [path.parent for path in sorted((Path(__file__).parent / "versions").glob("*/events.jsonl.gz"))]
"""Stores of earlier commits, as events, with the notes that they were read from (`versions/make_earlier.py`)."""
Earlier = tuple[Path, Path, Deck]
NOW = datetime(2026, 12, 20, 9, 0, tzinfo=timezone.utc)
FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full", "Vent": "shut"}
DAY = 86_400
NUMBER = re.compile(r"(?<=\| )\d+(?= )")
ROW = re.compile(r"^\|.*(?<=\| )\d+(?= ).*$", re.MULTILINE)


def later(read: Deck, otherwise: Callable[[Card], Card | None], *, notes: str | None = None) -> Deck:
    """A deck as a later version of the program reads it. otherwise: a card as that makes it, None for one it doesn't
    ask; notes: another digest, where the notes changed too."""
    cards = tuple(made for card in read.cards if (made := otherwise(card)) is not None)
    return replace(read, cards=cards, read_by="a later version", notes=notes or read.notes)


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
    assert ("on",) == store.was(card_of(store, "Pump")).card.answer.texts  # type: ignore[union-attr]


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


@pytest.fixture(scope="module", params=EARLIER, ids=lambda path: path.name)
def earlier_once(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Earlier:
    """What `earlier` is a copy of."""
    lines = gzip.decompress((request.param / "events.jsonl.gz").read_bytes()).decode().splitlines()
    place = tmp_path_factory.mktemp("earlier") / "earlier.db"
    Store.from_json(place, lines, SetClock(NOW)).close()
    notes = next(path for path in request.param.iterdir() if path.is_dir())
    return place, notes, read_deck(notes)[0]


@pytest.fixture
def earlier(earlier_once: Earlier, tmp_path: Path) -> Iterator[tuple[Store, Path, Deck]]:
    """A store that an earlier commit made, taken up by this version; the folder of its notes, and its deck."""
    place, notes, read = earlier_once
    with Store.open(Path(shutil.copy(place, tmp_path)), SetClock(NOW)) as opened:
        yield opened, notes, read


def memories(store: Store) -> dict[str, object]:
    """The memory of every card that was ever asked, under the id that its answers were given to, at 9 digits."""
    moved = dict(store.rows("SELECT source, target FROM link"))
    found = {}
    for known in store.cards(everything=True):
        end = known.id
        while end in moved:
            end = moved[end]
        memory = store.known(end).memory
        if memory is not None:
            found[known.id] = (f"{memory.holds:.9g}", f"{memory.difficulty:.9g}", memory.last_day)
    return found


def test_there_are_three() -> None:
    """Stores of three commits are kept."""
    assert ["51b931d", "b9ed3fc", "eb357e0"] == [path.name for path in EARLIER]


def test_stores_of_earlier_commits(earlier: tuple[Store, Path, Deck]) -> None:
    """A real store of an earlier commit whose notes didn't change loses no memory, is told of no change, and agrees
    with what its events say."""
    store, _, read = earlier
    before = memories(store)
    report = store.load(read)
    after = memories(store)

    assert len(before) > 300
    assert before == {card: after.get(card) for card in before}
    assert (0, 0) == (report.changed, report.withdrawn)
    assert not any(known.fresh for known in store.cards())
    assert () == store.doctor().mended


def test_an_edit_beside_an_upgrade(earlier: tuple[Store, Path, Deck], tmp_path: Path) -> None:
    """Where one number of the notes changed as well, its row's cards are asked anew, and no others."""
    store, notes, _ = earlier
    before = memories(store)
    shutil.copytree(notes, tmp_path / notes.name)
    file = max((tmp_path / notes.name).glob("*.md"), key=lambda path: len(ROW.findall(path.read_text())))
    text = file.read_text()
    row = ROW.findall(text)[-1]
    file.write_text(text.replace(row, NUMBER.sub(lambda found: str(int(found[0]) + 1), row, count=1)))
    line = text[: text.index(row)].count("\n") + 1
    read, _ = read_deck(tmp_path / notes.name)
    store.load(read)
    after = memories(store)
    lost = {card for card in before if before[card] != after.get(card)}

    assert lost
    assert {(file.name, line)} == {(store.known(card).file, store.known(card).line) for card in lost}


def test_a_merge_takes_no_memory_back(earlier: tuple[Store, Path, Deck], tmp_path: Path) -> None:
    """What is kept where another word stands in many places of the notes beside an upgrade, is kept as well once
    another device tells how the notes read before: a word that no card said shows the change at once."""
    store, notes, read = earlier
    before = memories(store)
    edited = tmp_path / "edited" / notes.name
    shutil.copytree(notes, edited)
    with Store.from_json(
        tmp_path / "other.db", store.events_json(), SetClock(NOW - timedelta(days=1)), "events"
    ) as other:
        for file in edited.glob("*.md"):
            text = re.sub(
                r"(?<=\| )(Main bus|In flight|On load|Climb|Class [CD])(?= )", "Zebra", file.read_text()
            )
            file.write_text(text)
        store.load(read_deck(edited)[0])
        other.load(read)
        kept = memories(store)
        store.merge([other.path], same_person=True)
        after = memories(store)
    taken = [card for card in before if before[card] == kept.get(card) != after.get(card)]

    assert [] == taken


def test_the_very_notes(earlier: tuple[Store, Path, Deck]) -> None:
    """Notes that this file loaded before, byte for byte, are known to be the same: what isn't asked any more is no
    change, however much it is."""
    store, _, read = earlier
    load = store.one("SELECT id FROM load")
    mark = whole_of(read.source, "0.1.0/2").hexdigest()
    with store.writing():
        store.db.execute("INSERT INTO source VALUES ('/elsewhere', ?, ?, ?)", [read.record.deck, load, mark])
    report = store.load(replace(read, cards=read.cards[:40]))

    assert (0, 0) == (report.changed, report.withdrawn)
    assert report.dropped > 100


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
        load = Loaded(f"e{number}", f"place {number}", "skerry", str(number), None, 1)
        step = fold(states, load, Load([listed]), lambda _: pytest.fail("no wording is needed"), {})
        changed.append(bool(step.changed))

    assert [False, False, False, True] == changed


def test_a_later_form_is_kept(store: Store) -> None:
    """Later normal forms of an answer are listed in the event, and equal ones there keep a memory."""
    first = deck({"Pump": "on"})
    second = deck({"Pump": "running"}, revision="2")
    third = deck({"Pump": "off"}, revision="3")
    forms = {"1": digest(("2", "alike")), "2": digest(("2", "alike")), "3": digest(("2", "unlike"))}
    changed = []
    for one in (first, second, third):
        cards = tuple(replace(card, also=(forms[one.record.revision],)) for card in one.cards)
        changed.append(store.load(replace(one, cards=cards)).changed)
        answer(store, "Pump")

    assert [0, 0, 1] == changed
    assert 1 == known_of(store, "Pump").asked
    assert store.doctor().well
    assert () == store.doctor().mended
