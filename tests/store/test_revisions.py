"""What a revision does to cards, and what the person keeps."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from store_kit import MORNING, answer, card_of, deck, knowledge, known_of

from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.kinds.model import Card
from recall.store import Store
from recall.store.fold import fold
from recall.store.loads import content_of
from recall.store.revisions import CardState, Load, Loaded, Step, place_of, revision_key, together

A_DAY = 86_400.0
FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full", "Vent": "shut"}


def test_first_load(store: Store) -> None:
    """A first load makes all points new."""
    report = store.load(deck(FACTS))

    assert (4, 4, 4, 0, 0, 0) == (
        *(report.points, report.cards, report.new),
        *(report.changed, report.withdrawn, report.moved),
    )


def test_unchanged_load(store: Store) -> None:
    """Loading the same again writes nothing."""
    store.load(deck(FACTS))
    report = store.load(deck(FACTS))

    assert not report.recorded
    assert 1 == store.one("SELECT count(*) FROM event WHERE type = 'deck loaded'")


def test_known_fingerprint(store: Store) -> None:
    """A folder is unchanged until its fingerprint or its deck's last load is another."""
    first, second = deck(FACTS), deck(FACTS | {"Vent": "open"}, revision="2")
    store.load(first)

    assert store.unchanged("notes", first.fingerprint)
    assert not store.unchanged("notes", second.fingerprint)
    assert not store.unchanged("elsewhere", first.fingerprint)
    store.load(second)
    assert not store.unchanged("notes", first.fingerprint)


def test_changed_answer(store: Store, clock: SetClock) -> None:
    """A changed answer clears the memory: due at once, asked first, with what it was; other cards keep theirs."""
    store.load(deck(FACTS, revision="7"))
    answer(store, "Battery")
    answer(store, "Pump")
    pump = known_of(store, "Pump")
    clock.advance(5 * A_DAY)
    report = store.load(deck(FACTS | {"Battery": "28 V"}, revision="8"))

    battery = known_of(store, "Battery")
    assert (1, 0, 0) == (report.changed, report.new, report.withdrawn)
    assert battery.memory is None and battery.fresh
    assert date(2026, 3, 6) == battery.due
    assert battery == store.due_cards(store.today())[0]
    was = store.was(battery.id)
    assert was is not None
    assert (("24 V",), "8") == (was.card.answer.texts, was.revision)
    assert pump == known_of(store, "Pump")


def test_changed_answer_of_a_current_card(store: Store, clock: SetClock) -> None:
    """A card that was current requalifies after a change and is current once right."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    clock.advance(A_DAY)
    answer(store, "Battery")
    store.load(deck(FACTS | {"Battery": "28 V"}, revision="2"))
    changed = known_of(store, "Battery").standing
    answer(store, "Battery")

    assert "requalifying" == changed
    assert "current" == known_of(store, "Battery").standing


def test_back_to_an_old_answer(store: Store, clock: SetClock) -> None:
    """Going back to an old answer is a new epoch: old reviews don't count again."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    store.load(deck(FACTS | {"Battery": "28 V"}, revision="2"))
    clock.advance(A_DAY)
    store.load(deck(FACTS, revision="3"))

    battery = known_of(store, "Battery")
    assert battery.memory is None and battery.fresh
    assert "initial" == battery.standing


def test_withdrawn_and_back(store: Store, clock: SetClock) -> None:
    """A withdrawn card isn't asked; back with the same answer its memory goes on."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    before = known_of(store, "Battery")
    report = store.load(deck({k: v for k, v in FACTS.items() if k != "Battery"}, revision="2"))
    clock.advance(9 * A_DAY)
    gone = store.due_cards(store.today())
    store.load(deck(FACTS, revision="3"))

    assert 1 == report.withdrawn
    assert [] == gone
    assert before == known_of(store, "Battery")


def test_moved(store: Store, clock: SetClock) -> None:
    """A card under a renamed heading keeps its history, also when the heading goes back."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    memory = known_of(store, "Battery").memory
    others = {k: v for k, v in FACTS.items() if k != "Battery"}
    report = store.load(deck(others | {"Electrical / Battery": "24 V"}, revision="2"))
    moved = known_of(store, "Battery")
    clock.advance(2 * A_DAY)
    answer(store, "Battery")
    twice = known_of(store, "Battery")
    store.load(deck(FACTS, revision="3"))
    back = known_of(store, "Battery")

    assert (1, 0, 0) == (report.moved, report.new, report.withdrawn)
    assert memory == moved.memory
    assert ("Electrical",) == moved.topic
    assert (twice.memory, "current", 2) == (back.memory, back.standing, back.asked)


def test_another_fact_in_a_moved_ones_place(store: Store) -> None:
    """Where a card moved back and away again, another fact that comes in its place begins unasked."""
    elsewhere = {("B / Battery" if k == "Battery" else k): v for k, v in FACTS.items()}
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    store.load(deck(elsewhere, revision="2"))
    store.load(deck(FACTS, revision="3"))
    store.load(deck(elsewhere, revision="4"))
    store.load(deck(elsewhere | {"A / Battery": "on"}, revision="5"))
    store.load(deck(elsewhere | {"Battery": "off"}, revision="6"))

    assert () == store.doctor().mended
    assert {"unasked", "initial"} == {
        card.standing for card in store.cards() if store.card(card.id).subject == "Battery"
    }


def test_remarks_move_too(store: Store) -> None:
    """The person's own remark stays with a card that moves."""
    store.load(deck(FACTS, revision="1"))
    store.remark(card_of(store, "Battery"), "left panel")
    others = {k: v for k, v in FACTS.items() if k != "Battery"}
    store.load(deck(others | {"Electrical / Battery": "24 V"}, revision="2"))

    assert "left panel" == store.remark_on(card_of(store, "Battery"))
    store.remark(card_of(store, "Battery"), "")
    assert "" == store.remark_on(card_of(store, "Battery"))


def test_two_candidates_are_no_move(store: Store) -> None:
    """Where two keys come for one that goes, nothing follows by itself."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    others = {k: v for k, v in FACTS.items() if k != "Battery"}
    report = store.load(deck(others | {"A / Battery": "24 V", "B / Battery": "24 V"}, revision="2"))

    assert (0, 2, 1) == (report.moved, report.new, report.withdrawn)


def test_renamed_is_proposed_and_carried(store: Store) -> None:
    """A slightly changed subject with the same answer is proposed; carried, its history follows."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    memory = known_of(store, "Battery").memory
    new = deck({k: v for k, v in FACTS.items() if k != "Battery"} | {"Batteries": "24 V"}, revision="2")
    report = store.load(new)
    before = known_of(store, "Batteries").memory
    again = store.load(new, carry=True)

    (proposed,) = report.proposals
    assert ("Battery", "Batteries") == (proposed.old_subject, proposed.new_subject)
    assert 0.6 < proposed.likeness < 1
    assert before is None
    assert memory == known_of(store, "Batteries").memory
    assert (1, 0, ()) == (again.renamed, again.new, again.proposals)


def test_carried_at_once(store: Store) -> None:
    """Carried in the load itself, with the aspects of equal answer only."""
    store.load(deck(FACTS, revision="1", aspects=("position", "value")))
    known = known_of(store, "Battery")
    answer(store, "Battery")
    new = {k: v for k, v in FACTS.items() if k != "Battery"} | {"Batteries": "24 V"}
    store.load(deck(new, revision="2", aspects=("position", "value")), carry=True)

    assert known_of(store, "Batteries").asked == 1
    assert 0 == known_of(store, "Batteries", "position").asked
    assert known.id != known_of(store, "Batteries").id


def test_renamed_deck(store: Store) -> None:
    """A deck under a new slug that names its former one keeps all histories, of changed answers too."""
    store.load(deck(FACTS, slug="skerry", revision="3"))
    for subject in ("Battery", "Pump"):
        answer(store, subject)
    memory = known_of(store, "Battery").memory
    changed = FACTS | {"Pump": "auto"}
    report = store.load(deck(changed, slug="skerry-2", revision="1", formerly="skerry"))

    assert (4, 1, 0, 0) == (report.cards, report.changed, report.new, report.withdrawn)
    assert ["skerry-2"] == [each.slug for each in store.decks()]
    assert memory == known_of(store, "Battery").memory
    assert known_of(store, "Pump").fresh
    assert 4 == len(store.cards())


def test_over_half_withdrawn(store: Store) -> None:
    """A load that would withdraw over half of a deck is refused and changes nothing, unless replaced on purpose."""
    store.load(deck(FACTS, revision="1"))
    other = deck({"Battery": "24 V", "Rudder": "free", "Flap": "up"}, revision="2")
    with pytest.raises(StoreError, match="withdraw 3 of the 4 cards") as refused:
        store.load(other)

    assert "--replace" in refused.value.help
    assert 4 == len(store.cards())
    assert 1 == store.one("SELECT count(*) FROM event WHERE type = 'deck loaded'")
    assert 3 == store.load(other, replace=True).withdrawn


def test_paused(store: Store) -> None:
    """A point with an error pauses its cards: not asked, not withdrawn, and back with their memory."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    before = known_of(store, "Battery")
    report = store.load(deck(FACTS, revision="2", paused=frozenset({"Battery"})))
    asked = {store.card(card.id).subject for card in store.cards()}
    store.load(deck(FACTS, revision="3"))

    assert 0 == report.withdrawn
    assert {"Pump", "Tank", "Vent"} == asked
    assert before == known_of(store, "Battery")


def test_paused_file(store: Store) -> None:
    """A note that can't be read pauses all its cards."""
    from recall.base.dataclass import replace

    store.load(deck(FACTS, revision="1"))
    store.load(replace(deck({}, revision="2"), paused_files=frozenset({"systems.md"})))

    assert [] == store.cards()
    assert 4 == sum(not known.fresh for known in store.cards(everything=True))
    assert 4 == store.decks()[0].cards


def test_order_of_revisions(store: Store) -> None:
    """An older revision loaded later doesn't come into force; numbers compare number by number."""
    store.load(deck(FACTS | {"Battery": "28 V"}, revision="8.10"))
    report = store.load(deck(FACTS, revision="8.9"))

    assert "8.10" == report.in_force
    assert ("28 V",) == store.card(card_of(store, "Battery")).answer.texts


@pytest.mark.parametrize(
    ("earlier", "later"), [("8", "9"), ("8.9", "8.10"), ("9", "10"), ("8", "8.1"), ("", "1"), ("1.2", "2")]
)
def test_revision_keys(earlier: str, later: str) -> None:
    """Revisions sort number by number."""

    assert f"{revision_key(earlier)} z" < f"{revision_key(later)} a"


def test_effective_date(store: Store, clock: SetClock) -> None:
    """A revision comes into force on its effective date, at the turn of the day, without another load."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    report = store.load(deck(FACTS | {"Battery": "28 V"}, revision="2", effective=date(2026, 3, 5)))
    assert ("1", date(2026, 3, 5)) == (report.in_force, report.waits)
    assert (1, "initial") == (report.changed, known_of(store, "Battery").standing)
    assert date(2026, 3, 5) == store.decks()[0].pending
    clock.advance(3 * A_DAY + 17 * 3600)
    with Store.open(store.path, clock) as night:
        assert not known_of(night, "Battery").fresh
    clock.advance(3600 + 1)
    with Store.open(store.path, clock) as turned:
        battery = known_of(turned, "Battery")

    assert battery.fresh
    assert date(2026, 3, 5) == battery.due


def test_a_look_from_the_future_leaves_nothing_behind(store: Store, clock: SetClock) -> None:
    """Which revision is in force follows from the day alone, whatever a clock that was ahead has seen."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    changed = {"Battery": "28 V", "Pump": "on", "Other": "x", "Vent": "shut", "Tank": "full"}
    store.load(deck(changed, revision="3", effective=date(2026, 7, 1)))
    store.load(deck(FACTS | {"Tank": "empty"}, revision="2", effective=date(2026, 5, 1)))
    now, seen = clock.at, []
    for days in (0, 61, 122, 700, 122, 61, 0):
        clock.at = now + timedelta(days=days)
        with Store.open(store.path, clock) as looked:
            seen.append((looked.decks()[0].revision, knowledge(looked)))
            assert () == looked.doctor().mended

    assert ["1", "2", "3", "3", "3", "2", "1"] == [revision for revision, _ in seen]
    assert seen == seen[::-1]


def test_what_waited_comes_with_a_later_one_that_does_not(store: Store, clock: SetClock) -> None:
    """A revision that is in force at once brings what a waiting one changed: told, cleared, due today."""
    store.load(deck(FACTS, revision="1"))
    for name in FACTS:
        answer(store, name)
    clock.advance(2 * A_DAY)
    later = {"Battery": "28 V", "Tank": "full", "Lamp": "lit", "Vent": "shut"}
    ahead = store.load(deck(later, revision="2", effective=date(2026, 12, 20)))
    report = store.load(deck(later | {"Vent": "open"}, revision="3"))

    assert (1, 1, 1) == (ahead.new, ahead.changed, ahead.withdrawn)
    assert (1, 2, 1, "3") == (report.new, report.changed, report.withdrawn, report.in_force)
    battery, vent = known_of(store, "Battery"), known_of(store, "Vent")
    assert battery.memory is None and vent.memory is None
    assert [store.today()] * 2 == [battery.due, vent.due]
    assert known_of(store, "Tank").memory is not None
    assert () == store.doctor().mended


def test_a_planned_change_that_is_taken_back_changes_nothing(store: Store, clock: SetClock) -> None:
    """What was never in force clears no memory, and nobody is told of an answer that was never asked."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    answer(store, "Pump")
    battery = known_of(store, "Battery")
    clock.advance(2 * A_DAY)
    planned = FACTS | {"Battery": "28 V", "Pump": "auto"}
    store.load(deck(planned, revision="2", effective=date(2026, 12, 20)))
    report = store.load(deck(FACTS | {"Pump": "off"}, revision="3"))

    assert (1, battery) == (report.changed, known_of(store, "Battery"))
    was = store.was(card_of(store, "Pump"))
    assert was is not None
    assert (("on",), "3") == (was.card.answer.texts, was.revision)
    assert () == store.doctor().mended


def test_the_order_of_loading_makes_no_difference_to_what_is_due(tmp_path: Path) -> None:
    """A device that knew of the waiting revision and one that hears of it later are due alike."""
    seen = []
    for order in ("123", "132", "312"):
        clock = SetClock(MORNING)
        with Store.open(tmp_path / f"{order}.db", clock) as one:
            one.load(deck(FACTS, revision="1"))
            answer(one, "Battery")
            for revision in order.replace("1", ""):
                day = date(2026, 4, 1) if revision == "2" else None
                one.load(deck(FACTS | {"Battery": "28 V"}, revision=revision, effective=day))
            seen.append((known_of(one, "Battery").due, known_of(one, "Battery").fresh))
            clock.advance(60 * A_DAY)
        with Store.open(tmp_path / f"{order}.db", clock) as later:
            seen.append((known_of(later, "Battery").due, known_of(later, "Battery").fresh))
            assert () == later.doctor().mended

    assert [(date(2026, 3, 1), True)] * 6 == seen


FEW = st.dictionaries(st.sampled_from("abcd"), st.sampled_from("xyz"))


@given(st.lists(FEW, min_size=2, max_size=6))
def test_several_revisions_at_once_are_told_as_one(revisions: list[dict[str, str]]) -> None:
    """What is new, withdrawn or changed is what the last one alone would do; what changed back is told too."""

    def told(all_of_them: list[dict[str, str]]) -> Step:
        states: dict[str, CardState] = {}
        faces: dict[str, Card] = {}
        steps = []
        for number, facts in enumerate(all_of_them):
            made = content_of(deck({name * 2: value for name, value in facts.items()}), date(2026, 3, 1))
            faces |= made.faces
            loaded = Loaded(str(number), place_of(0, str(number), "m"), "skerry", str(number), None, 1)
            steps.append(fold(states, loaded, Load(made.cards), faces.__getitem__, {}))
        return together(steps[1:])

    many, direct = told(revisions), told([revisions[0], revisions[-1]])

    assert (direct.new | direct.back, direct.gone) == (many.new | many.back, many.gone)
    assert direct.changed <= many.changed
    assert not many.changed & (many.gone | many.new)


def test_a_renaming_is_carried_before_its_day(store: Store, clock: SetClock) -> None:
    """It is told when the revision is loaded; carried then, the history is there when the day has come."""
    store.load(deck(FACTS, revision="1"))
    answer(store, "Battery")
    new = dict(FACTS)
    new["Main battery"] = new.pop("Battery")
    ahead = deck(new, revision="2", effective=date(2026, 3, 5))
    told = store.load(ahead)
    carried = store.load(ahead, carry=True)
    assert [("Battery", "Main battery")] == [(one.old_subject, one.new_subject) for one in told.proposals]
    assert (1, (), "initial") == (carried.renamed, carried.proposals, known_of(store, "Battery").standing)
    clock.advance(5 * A_DAY)
    with Store.open(store.path, clock) as later:
        assert "initial" == known_of(later, "Main battery").standing


def test_a_withdrawal_ahead_is_refused_too(store: Store) -> None:
    """Most cards going is refused on loading, not on the day."""
    store.load(deck(FACTS, revision="1"))

    with pytest.raises(StoreError):
        store.load(deck({"Other": "x"}, revision="2", effective=date(2026, 3, 5)))


def test_not_yet_effective(store: Store, clock: SetClock) -> None:
    """A deck whose only revision isn't effective yet asks nothing until then."""
    report = store.load(deck(FACTS, effective=date(2026, 4, 1)))
    assert (None, []) == (report.in_force, store.cards())
    clock.advance(40 * A_DAY)
    with Store.open(store.path, clock) as later:
        assert 4 == len(later.cards())


def test_reviews_under_an_old_revision_count(store: Store, clock: SetClock) -> None:
    """An unchanged card's reviews count over revisions; the same note edited without a revision number too."""
    store.load(deck(FACTS, revision=""))
    answer(store, "Battery")
    clock.advance(60)
    store.load(deck(FACTS | {"Pump": "off"}, revision=""))
    clock.advance(A_DAY)
    answer(store, "Battery")
    answer(store, "Pump")

    assert 2 == known_of(store, "Battery").asked
    assert 1 == known_of(store, "Pump").asked
