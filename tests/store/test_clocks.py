"""Runs whose clock was wrong: the fewest are proposed, corrected once however often, and a correction taken back."""

import random
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from clock_kit import (
    DAY,
    HOUR,
    START,
    WAYS,
    History,
    fewest,
    goes_together,
    invented,
    moved,
    said_by,
    verdict,
)
from store_kit import answer, deck, knowledge

from recall.base.clock import SetClock
from recall.base.errors import RecallError
from recall.store import Store
from recall.store.clocks import Run, correct_clock, right_runs, shifts, take_back
from recall.store.derive import SetInVainWarning
from recall.store.publishers import pin, pinned

FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full"}
SAID = {
    "2000": datetime(2000, 1, 1, 0, 5),
    "a year ahead": datetime(2027, 3, 4, 9),
    "2068": datetime(2068, 3, 4, 9),
}


def daily(at: int, way: str, now: int) -> History:
    """Six runs of ten minutes, a day apart; number `at` with a wrong clock."""
    true = [Run(f"{day:016x}", START + day * DAY, START + day * DAY + HOUR // 6) for day in range(6)]
    first = said_by(way, true[at].first)
    written = [*true[:at], Run(true[at].writer, first, first + HOUR // 6), *true[at + 1 :]]
    return History(tuple(true), tuple(written), frozenset({at}), now)


@pytest.mark.parametrize("later", [HOUR, 700 * DAY])
@pytest.mark.parametrize("way", ["2000", "a year behind", "a month behind", "a year ahead", "2068"])
def test_only_the_wrong_run_is_proposed(way: str, later: int) -> None:
    """Whichever of six daily runs was wrong, it alone is proposed: the next day and two years later."""
    for at in range(1, 5):
        history = daily(at, way, START + 5 * DAY + later)

        assert {at} == shifts(history.written, history.now).keys(), (way, at)


@pytest.mark.parametrize(
    ("way", "at"), [("2000", 0), ("2000", 5), ("a year ahead", 0), ("2068", 0), ("2068", 5)]
)
def test_the_first_and_the_last_run(way: str, at: int) -> None:
    """The first and the last run are found too, where there is anything to tell by."""
    history = daily(at, way, START + 5 * DAY + HOUR)

    assert {at} == shifts(history.written, history.now).keys()


def test_a_wrong_year_is_mended_to_the_minute() -> None:
    """Where the same date of another year fits, that is what is proposed."""
    history = daily(3, "a year ahead", START + 300 * DAY)

    assert list(history.true) == moved(history)


def test_runs_that_were_wrong_together_move_together() -> None:
    """Two runs after one another whose clock was behind by as much keep their distance."""
    true = daily(0, "2000", 0).true
    written = [
        run if at not in (3, 4) else Run(run.writer, run.first - 40 * DAY, run.last - 40 * DAY)
        for at, run in enumerate(true)
    ]
    found = shifts([*written, Run("f" * 16, true[-1].last, true[-1].last)], true[-1].last + HOUR)

    assert [3, 4] == sorted(found)
    assert found[3] == found[4]
    assert abs(found[3] - 40 * DAY) < DAY


def test_invented_histories() -> None:
    """Never are more runs proposed than were wrong, none where none was; corrected, all goes together."""
    for seed in range(300):
        history = invented(random.Random(seed))

        assert verdict(history) in ("right", "unseen", "another"), seed
        assert history.wrong or verdict(history) == "right"
        assert goes_together(moved(history), history.now), seed


def test_no_explanation_has_fewer() -> None:
    """Trying all sets of runs finds none smaller."""
    for seed in range(60):
        history = invented(random.Random(seed), most=8, wrong=seed % 3)
        right = right_runs([run.last for run in history.written], history.now)

        assert fewest(history) == len(history.written) - len(right), seed


def test_runs_that_agree_with_the_present_stay() -> None:
    """However many runs say a later year, the one that agrees with the present isn't moved."""
    true = daily(0, "2000", 0).true
    written = [Run(run.writer, run.first + 365 * DAY, run.last + 365 * DAY) for run in true[:5]] + [true[5]]

    assert {0, 1, 2, 3, 4} == shifts(written, true[5].last + HOUR).keys()


@pytest.fixture
def used(store: Store, clock: SetClock) -> Store:
    """A store that a run with the right clock has used."""
    store.load(deck(FACTS))
    answer(store, "Battery")
    return store


@pytest.fixture
def wrong(used: Store, clock: SetClock) -> Callable[[str], None]:
    """Lets two cards be answered in a run with a wrong clock three days later, and one in a right run a day after."""

    def run(way: str) -> None:
        right = clock.at
        clock.at = right + timedelta(days=3) if way == "right" else SAID[way].replace(tzinfo=timezone.utc)
        with Store.open(used.path, clock) as run:
            answer(run, "Pump")
            answer(run, "Battery")
        clock.at = right + timedelta(days=4)
        with Store.open(used.path, clock) as run:
            answer(run, "Tank")

    return run


@pytest.mark.parametrize("way", SAID)
def test_corrected_and_taken_back(
    used: Store, wrong: Callable[[str], None], way: str, clock: SetClock
) -> None:
    """One run is proposed; corrected, its answers count between the runs around it; taken back, all is as it was,
    and it is proposed again only where it is asked for."""
    wrong(way)
    before = knowledge(used)
    (found,) = used.doctor().clocks
    correct_clock(used, found.writer, found.seconds)
    seen = used.doctor()
    assert (2, True, (), (found,)) == (found.events, seen.well, seen.mended, seen.corrected)
    assert before != knowledge(used)
    days = {known.memory.last_day for known in used.cards() if known.memory is not None}
    assert all(date(2026, 3, 1) <= date.fromordinal(day) <= date(2026, 3, 5) for day in days)
    take_back(used, found.writer)
    assert before == knowledge(used)
    assert used.doctor().well

    assert [found] == list(used.doctor(found.writer).clocks)
    correct_clock(used, found.writer, found.seconds)
    assert (found,) == used.doctor().corrected


def test_a_wrong_year_leaves_no_trace(
    used: Store, wrong: Callable[[str], None], clock: SetClock, tmp_path: Path
) -> None:
    """Once a run that was a year ahead is corrected, everything is as if its clock had been right."""
    wrong("a year ahead")
    (found,) = used.doctor().clocks
    correct_clock(used, found.writer, found.seconds)
    clock.at = datetime.fromtimestamp(START / 1000, timezone.utc)
    with Store.open(tmp_path / "right.db", clock) as right:
        right.load(deck(FACTS))
        answer(right, "Battery")
        clock.advance(3 * 86_400)
        answer(right, "Pump")
        answer(right, "Battery")
        clock.advance(86_400)
        answer(right, "Tank")

        assert knowledge(right) == knowledge(used)


@pytest.fixture
def second(used: Store, wrong: Callable[[str], None], clock: SetClock, tmp_path: Path) -> Iterator[Store]:
    """The same store on another device, a run with a wrong clock in both."""
    wrong("a year ahead")
    with Store.open(tmp_path / "second.db", clock, person=False) as other:
        other.merge([used.path], same_person=True)
        yield other


def both_ways(used: Store, second: Store) -> None:
    """Merge each into the other."""
    second.merge([used.path])
    used.merge([second.path])


def test_two_devices_correct_the_same_run(used: Store, second: Store, clock: SetClock) -> None:
    """A run that two devices corrected by themselves is corrected once, and both agree."""
    (found,) = used.doctor().clocks
    assert [found.seconds] == [clock.seconds for clock in second.doctor().clocks]
    correct_clock(used, found.writer, found.seconds)
    once = knowledge(used)
    correct_clock(second, found.writer, found.seconds)
    both_ways(used, second)

    assert once == knowledge(used) == knowledge(second)


def test_taken_back_whatever_the_clock_said(used: Store, second: Store, clock: SetClock) -> None:
    """A correction that was made with a clock in 2068 can be taken back today, on another device too."""
    before = knowledge(used)
    (found,) = used.doctor().clocks
    now = clock.at
    clock.at = SAID["2068"].replace(tzinfo=timezone.utc)
    with Store.open(used.path, clock) as ahead:
        correct_clock(ahead, found.writer, found.seconds)
    clock.at = now
    both_ways(used, second)
    with Store.open(second.path, clock) as again:
        take_back(again, found.writer)
    both_ways(used, second)

    assert before == knowledge(used) == knowledge(second)


def test_a_present_before_the_program(used: Store, clock: SetClock) -> None:
    """A computer that says 2000 is told to set its clock, and no run is proposed."""
    clock.at = SAID["2000"].replace(tzinfo=timezone.utc)
    seen = used.doctor()

    assert () == seen.clocks
    assert [
        "clock: this computer's clock says 2000-01-01 00:05 UTC; set it, then run `recall doctor` again"
    ] == list(seen.found)


def test_a_present_that_is_rather_wrong(used: Store, wrong: Callable[[str], None], clock: SetClock) -> None:
    """Where most runs are later than the present, the present is doubted aloud."""
    wrong("right")
    clock.at -= timedelta(days=300)

    assert any("3 of 3 runs are later than this computer's clock" in found for found in used.doctor().found)


def test_taking_back_what_is_not_there(used: Store) -> None:
    """Only a correction that is in force can be taken back."""
    with pytest.raises(RecallError, match="no correction"):
        take_back(used, used.writer.id)


def test_every_way_is_invented() -> None:
    """The ways of being wrong are really wrong."""

    assert all(abs(said_by(way, START) - START) >= DAY for way in WAYS)


def test_nothing_is_set_in_vain(used: Store, clock: SetClock) -> None:
    """What a run whose clock was ahead has set goes on counting: whoever sets it again is warned, and what is advised
    lets it count."""
    card, now = used.cards()[0].id, clock.at
    clock.at += timedelta(days=365)
    with Store.open(used.path, clock) as ahead:
        ahead.set("target", "0.8")
        ahead.remark(card, "then")
        pin(ahead, "skerry", ["0" * 64])
        run = ahead.writer.id
    clock.at = now + timedelta(hours=1)
    for again in (
        lambda: used.set("target", "0.9"),
        lambda: used.remark(card, "now"),
        lambda: pin(used, "skerry", ()),
    ):
        with pytest.warns(SetInVainWarning, match=f"recall doctor --correct {run}"):
            again()
    assert 0.8 == used.settings().target
    (wrong,) = used.doctor().clocks
    correct_clock(used, wrong.writer, wrong.seconds)

    assert 0.9 == used.settings().target
    assert ("now", {}) == (used.remark_on(card), pinned(used))
