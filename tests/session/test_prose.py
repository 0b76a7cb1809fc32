"""Typed prose beside the answer that a person marks it by."""

from pathlib import Path

import pytest
from sitting_kit import begin, opened

from recall.session.desk import Selection
from recall.session.prose import compared


@pytest.mark.parametrize(
    ("given", "answer", "said"),
    [
        ("above 60 mph", "above 60 KIAS", "`above 60 mph` isn't `above 60 KIAS`"),
        ("above 60 KTAS", "above 60 KIAS", "`above 60 KTAS` isn't `above 60 KIAS`"),
        ("at or below 85 KIAS", "below 85 KIAS", "`at or below 85 KIAS` isn't `below 85 KIAS`"),
        ("below 85 km/h", "below 85 KIAS", "`below 85 km/h` isn't `below 85 KIAS`"),
        ("airspeed above 85", "airspeed below 85 KIAS", "`above 85` is the opposite of `below 85 KIAS`"),
        ("when N1 > 60 %", "N1 below 60 %", "`> 60 %` is the opposite of `below 60 %`"),
        ("above 70 KIAS", "above 60 KIAS", "`above 70 KIAS` isn't `above 60 KIAS`"),
        ("3 bar on wheels", "weight on wheels, 3 psi", "`3 bar` isn't `3 psi`"),
    ],
)
def test_another_unit_reference_side_or_number_is_named(given: str, answer: str, said: str) -> None:
    """An amount is one with its unit and its side; it isn't told as left out too."""
    found = compared(given, [answer], "Which condition inhibits the flaps?")

    assert (said,) == found.other
    assert [] == [one for one in found.missing if any(sign.isdigit() for sign in one)]


@pytest.mark.parametrize(
    ("given", "answer"),
    [
        ("above 60", "above 60 KIAS"),
        ("more than 60 kt", "above 60 KIAS"),
        ("above 69 mph", "above 60 KIAS"),
        ("85 KIAS or less", "at or below 85 KIAS"),
        ("from 22 to 29 V", "22 V, then 29 V"),
        ("at most 29 V", "maximum 29 V"),
        ("two of three", "2 of 3"),
    ],
)
def test_the_same_amount_in_other_words_is_no_other_one(given: str, answer: str) -> None:
    """Also in another unit of the same reference, and without its unit."""
    found = compared(given, [answer], "")

    assert ((), True) == (found.other, found.shared)


@pytest.mark.parametrize(
    ("given", "answer", "missing"),
    [
        ("85 KIAS", "below 85 KIAS", ("below",)),
        ("85 KIAS", "85 KIAS or less", ("85 KIAS or less",)),
        ("the flaps", "below 85 KIAS", ("below 85 KIAS",)),
        ("wait 60 s", "crank for 30 s, wait 60 s", ("crank", "30 s")),
    ],
)
def test_what_is_left_out_is_said_in_words(given: str, answer: str, missing: tuple[str, ...]) -> None:
    """Never as a sign that stands for them."""
    assert missing == compared(given, [answer], "").missing


@pytest.mark.parametrize(
    ("given", "other"),
    [
        ("the hoist stops", ()),
        ("hoist does not stop", ("`not` turns it round",)),
        ("the hoist never stops", ("`never` turns it round",)),
        ("hoist no longer moves", ()),
    ],
)
def test_a_negation_that_the_answer_lacks_is_named(given: str, other: tuple[str, ...]) -> None:
    """Where all else is there: otherwise it may be another way to say it."""
    assert other == compared(given, ["hoist stops"], "If the indicator fails, what follows?").other


def test_another_amount_is_proposed_as_missed(tmp_path: Path) -> None:
    """The person may still say otherwise."""
    note = "# Flaps\n\n| Function | Inhibited when |\n|---|---|\n| Flap motor | above 60 KIAS |\n"
    for given, mark in (("above 60 mph", "missed"), ("above 60 kt", "sure")):
        (place := tmp_path / mark).mkdir()
        with opened(place, note) as (store, clock):
            sat = begin(store, clock, selection=Selection(kind="interlock"))
            view = sat.act("answer", given)

        assert (mark, True) == (view.proposed, "sure" in view.may)


def test_an_answer_that_is_left_unmarked_is_said_not_to_be_kept(tmp_path: Path) -> None:
    """Whoever stops at the mark is told; whoever stops at a question has lost nothing."""
    note = "# Flaps\n\n| Function | Inhibited when |\n|---|---|\n| Flap motor | above 60 KIAS |\n"
    for given, lost in ((["above 60 kt"], True), ([], False)):
        (place := tmp_path / str(lost)).mkdir()
        with opened(place, note) as (store, clock):
            sat = begin(store, clock, selection=Selection(kind="interlock"))
            for each in given:
                sat.act("answer", each)
            told = [line.text for line in sat.act("stop").tell]

        assert lost == ("Your last answer isn't kept, since it wasn't marked." in told)
