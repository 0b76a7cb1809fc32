"""Typed sets: how they are taken apart, and what is left out or added."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.answers import MembersAnswer, ReadingAnswer, Verdict


def _mark(answer: tuple[str, ...], given: str) -> Verdict:
    return MembersAnswer(answer).mark(given)


@pytest.mark.parametrize(
    ("answer", "typed"),
    [
        (("TRU 1", "TRU 2", "battery"), "TRU 1, TRU 2, and battery"),
        (("TRU 1", "TRU 2"), "tru 2 & tru 1"),
        (("A", "B"), "b\na"),
        (("A", "B"), "B, A, "),
        (("fuel, oil", "bleed", "gear"), "fuel, oil; bleed and gear"),
        (("fuel, oil", "bleed", "gear"), "bleed; gear and fuel, oil"),
        (("fuel and oil", "air"), "air, fuel and oil"),
        (("a, b, c, d, e, f, g", "x"), "x; a, b, c, d, e, f, g"),
        (("100 V", "200 V"), "100 V,200 V"),
        (("below 1,000 ft", "gear up"), "gear up, below 1,000 ft"),
        (("bus", "bus A"), "bus A, bus"),
        (("PDU 1", "PDU 2", "PDU 3"), "PDU 1, 2 and 3"),
        (("wing boots", "tail boots"), "wing and tail boots"),
        (("Pit … CLOSED, LOCKED", "Isolator … ON"), "pit closed and locked, isolator on"),
        (("fan 1", "pump", "lamp"), "a) fan 1 b) pump c) lamp"),
        (("mast lock open", "pins in"), "if the pins are in or the mast lock is open"),
    ],
)
def test_members_stand_in_any_order_between_any_separators(answer: tuple[str, ...], typed: str) -> None:
    """Commas, semicolons, line ends and `and`, also where a member holds them itself."""
    assert _mark(answer, typed).right


@pytest.mark.parametrize(
    ("typed", "left", "added"),
    [
        ("A, C", ("B",), ()),
        ("A, B, C, D", (), ("D",)),
        ("A; D", ("B", "C"), ("D",)),
    ],
)
def test_what_was_left_out_and_what_was_added_is_named(
    typed: str, left: tuple[str, ...], added: tuple[str, ...]
) -> None:
    """Each member by itself."""
    verdict = _mark(("A", "B", "C"), typed)

    assert (False, left, added) == (verdict.right, verdict.left_out, verdict.added)


def test_a_member_has_no_number_from_the_next_one() -> None:
    """A comma gives a name nothing of its neighbour's."""
    verdict = _mark(("generator 1", "alternator 1"), "generator, alternator 1")

    assert (False, ("generator 1",)) == (verdict.right, verdict.left_out)


_MEMBER = (
    st.text("abcdefgh ,", min_size=1, max_size=12)
    .map(lambda text: " ".join(text.split()))
    .filter(lambda text: text.strip(" ,") == text and text.replace(",", "").strip())
)


@settings(max_examples=100, deadline=None)
@given(st.lists(_MEMBER, min_size=1, max_size=5, unique=True), st.randoms())
def test_a_set_takes_its_own_members_in_any_order(members: list[str], chance: object) -> None:
    """As they are written, parted by semicolons."""
    turned = list(members)
    chance.shuffle(turned)  # type: ignore[attr-defined]

    assert _mark(tuple(members), "; ".join(turned)).right


FACTS = {
    "what": "limits", "low": "10", "low_open": False, "high": "110", "high_open": False, "unit": "°C", "step": "1",
    "signed": True, "held": "", "alerts": [],
}  # fmt: skip
"""Of a reading, as versions before the bands wrote it."""


@pytest.mark.parametrize(("typed", "expected"), [
    ("within its limits", True), ("i", True), ("INSIDE", True), ("normal", True), ("below", False),
    ("too low", False), ("above the maximum", False), ("exceeds max", False), ("outside", None),
    ("not within", None), ("m", None), ("inner", None), ("61.5", None), ("ok", None), ("", None),
])  # fmt: skip
def test_a_reading_is_answered_by_its_telling_word(typed: str, expected: bool | None) -> None:
    """Whole or as it begins; which end it is beyond must be said; of anything else nothing can be read."""
    reading = ReadingAnswer(("within its limits",), facts=FACTS)

    assert expected is reading.mark(typed).right


@pytest.mark.parametrize(("typed", "expected"), [
    ("normal", False), ("allowed", True), ("not normal", True), ("allowed but not normal", True), ("amber", False),
    ("within", None), ("beyond max", False), ("below minimum", None), ("not allowed", None),
])  # fmt: skip
def test_a_reading_has_the_names_of_its_bands(typed: str, expected: bool | None) -> None:
    """Normal, and what a threshold's header calls it, are said as they are; an end that it doesn't have can't be."""
    bands = [["amber", "100", None, False, False], ["normal", "40", "80", False, False]]
    reading = ReadingAnswer(("allowed but not normal",), facts=FACTS | {"low": None, "bands": bands})

    assert expected is reading.mark(typed).right
