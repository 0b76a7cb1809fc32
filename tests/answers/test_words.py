"""Typed words: what is forgiven and what never is."""

from collections.abc import Collection

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.answers import Lore, Verdict, WordsAnswer
from recall.answers.alike import same_meaning
from recall.answers.synonyms import meanings
from recall.answers.vocabulary import OPPOSED, OPPOSITES, spelling


def mark_words(typed: str, right: str, known: Collection[str] = ()) -> Verdict:
    """How a phrase is marked in a deck of those words."""
    return WordsAnswer((right,)).mark(typed, Lore(known.__contains__))


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("tranformer-rectifier unit", "transformer rectifier unit"),
        ("TRANSFORMER RECTIFIER UNIT", "transformer rectifier unit"),
        ("the auxiliary powerunit", "auxiliary power unit"),
        ("anti ice", "anti-ice"),
        ("knots indicated air sped", "knots indicated airspeed"),
        ("Hydrualic pump", "hydraulic pump"),
        ("fuel & oil", "fuel and oil"),
        ("propellor speed", "propeller speed"),
        ("DB 1", "DB1"),
        ("dont fill", "Don't fill"),
        ("doors unlock", "unlocks the doors"),
        ("beam off and beeper", "beam off, beeper"),
        ("the beam goes off and the beeper", "beam off, beeper"),
        ("nothing's happening", "nothing is happening"),
        ("25-50%", "25 to 50 %"),
        ("between 25 and 50 %", "25 to 50 %"),
        ("tube overtemp", "tube over temperature"),
        ("unlimited", "no limit"),
        ("not permitted", "not allowed"),
        ("start drive", "Drive – START"),
        ("fins automatically lock", "Fins lock automatically"),
        ("loss of grid", "grid lost"),
        ("landing selector and gear disagree", "Gear and landing selector disagree"),
        ("only the red ones", "Red ones only"),
        ("slow cranking", "slow crank"),
        ("the cable sheared", "the cable shears"),
        ("low envelope pressure", "envelope pressure low"),
        ("the nose reel has jammed", "nose reel jammed"),
        ("nose reel jam", "nose reel jammed"),
        ("when the mast lock is open", "mast lock open"),
        ("amber GEN light comes on", "amber GEN light"),
        ("switch them off", "OFF"),
        ("closed", "SHUT"),
        ("winch op", "winch operator"),
        ("missed approach immediately", "missed approach at once"),
        ("a military aerodrome", "military airport"),
        ("centre tank", "center tank"),
        ("autopilot computer failed", "autopilot computer lost"),
        ("failure of the autopilot", "autopilot lost"),
        ("water beneath the floor", "water under the floor"),
        ("the dome has to be closed", "Dome must be shut"),
        ("close the dome", "Dome must be shut"),
        ("speed shows zero", "speed reads zero"),
        ("there's a leak", "leak"),
        ("fuse blown", "will blow the fuse"),
        ("glideslope lost", "glide path lost"),
        ("power distrib. unit", "power distribution unit"),
        ("pwr distribution unit", "power distribution unit"),
        ("auxiliary power unit on", "APU on"),
        ("winch off", "Switch the winch off"),
        ("no grid", "grid lost"),
        ("points won't lock", "points fail to lock"),
        ("the third pump tripped", "pump 3 tripped"),
        ("loose bolt on the line choke", "loose line choke bolt"),
        ("echo sounder", "depth sounder"),
        ("automatic fin lock", "Fins lock automatically"),
        ("the lamp turns red", "lamp red"),
        ("gradient coil overheats", "gradient coil hot"),
        ("port side sensor", "port sensor"),
        ("UV light blocked", "UV is blocked"),
        ("by the main bus", "main bus"),
        ("closed position", "CLOSED"),
    ],
)
def test_slips_hyphens_blanks_case_and_articles_are_forgiven(typed: str, right: str) -> None:
    """What a hand does at a keyboard isn't what a head doesn't know."""
    assert mark_words(typed, right).right


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("transformer rectifier", "transformer rectifier unit"),
        ("AC", "DC"),
        ("N1", "N2"),
        ("full", "fuel"),
        ("off", "on"),
        ("closed", "open"),
        ("open", "not open"),
        ("fuel tank pump", "fuel tank"),
        ("1 1", "11"),
        ("inboard tank", "onboard tank"),
        ("asymmetric thrust", "symmetric thrust"),
        ("40", "-40"),
        ("not able", "notable"),
        ("a limit", "no limit"),
        ("high envelope pressure", "envelope pressure low"),
        ("amber GEN light off", "amber GEN light"),
        ("open", "SHUT"),
        ("fill", "Don't fill"),
        ("start drive", "Drive – STOP"),
        ("bear", "bearing"),
        ("25 or 50 %", "25 to 50 %"),
        ("pump on and valve off", "pump off and valve on"),
        ("grid back", "grid lost"),
        ("the dome need not be open", "Dome must not be open"),
        ("battery", "battery A"),
        ("battery B", "battery A"),
        ("pump s", "pump"),
        ("detect", "detector"),
        ("dis", "disarmed"),
        ("winch on", "Switch the winch off"),
        ("pressure rises", "pressure falls"),
        ("fuel in water", "water in fuel"),
        ("no autopilot failure", "autopilot lost"),
        ("no loss of power", "power lost"),
        ("grout to ring", "ring to grout"),
        ("the air in minimum speed", "minimum speed in the air"),
        ("", "pump"),
    ],
)
def test_another_meaning_is_never_forgiven(typed: str, right: str) -> None:
    """A word too few or too many, an opposite, a negation, a digit: wrong."""
    assert not mark_words(typed, right).right


def test_a_slip_that_is_a_word_of_the_deck_is_wrong() -> None:
    """`marral` for `marram` is a slip, until the deck has a marral."""
    known = {"marral", "marram"}

    assert [True, False] == [mark_words("marral", "marram", words).right for words in (set[str](), known)]


def test_a_wrong_text_is_shown_word_by_word() -> None:
    """What was left out and what was added, in order."""
    parts = mark_words("transformer unit box", "transformer rectifier unit").parts

    assert [
        ("kept", "transformer"),
        ("left out", "rectifier"),
        ("kept", "unit"),
        ("added", "box"),
    ] == list(parts)


_WORDS = st.lists(st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=9), min_size=1, max_size=5)


@settings(max_examples=80, deadline=None)
@given(_WORDS)
def test_an_answer_is_right_for_itself_in_any_dress(words: list[str]) -> None:
    """Case, blanks and an article change nothing."""
    right = " ".join(words)

    assert all(
        mark_words(form, right).right or not right.strip() for form in (right, right.upper(), f" {right}  ")
    )


@pytest.mark.parametrize("pair", sorted(map(sorted, OPPOSITES)))
def test_opposites_stay_apart(pair: list[str]) -> None:
    """No opposite passes for a slip of the other."""
    one, two = pair

    assert not mark_words(f"{one} valve", f"{two} valve").right


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("airspeed > 60kt", "airspeed > 60 kt"),
        ("airspeed above 60 kt", "airspeed > 60 kt"),
        ("below 10000 ft", "below 10,000 ft"),
        ("40s on, 60s off", "40 s on / 60 s off"),
        ("40 percent torque", "40 % torque"),
        ("nonreturn valve", "non-return valve"),
        ("can not open", "cannot open"),
        ("does not move", "doesn't move"),
        ("AC bus", "A.C. bus"),
        ("the a bus", "the A bus"),
        ("bus a", "bus A"),
        ("-.-.", "–.–."),
        ("N1 -> idle", "N1 → idle"),
    ],
)
def test_another_notation_of_the_same_is_right(typed: str, right: str) -> None:
    """Signs or words, with blanks and commas or without, a letter `A` with its dots or without."""
    assert mark_words(typed, right).right


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("airspeed < 60 kt", "airspeed > 60 kt"),
        ("N1 ≤ 40 %", "N1 ≥ 40 %"),
        ("OAT 40", "OAT <-40"),
        ("24 V", "24 ± 2 V"),
        ("bus", "bus A"),
        ("bus A", "bus"),
        ("C bus", "A.C. bus"),
        ("...", "-.-."),
        ("+", "-"),
        ("moves", "doesn't move"),
    ],
)
def test_a_sign_or_a_letter_that_counts_is_never_forgiven(typed: str, right: str) -> None:
    """A comparison turned round, a tolerance or a letter `A` left out, other dashes and dots."""
    assert not mark_words(typed, right).right


def test_a_very_long_answer_is_marked_like_any_other() -> None:
    """Fifteen hundred words, more than calls may stand in one another, are right for themselves and wrong with one
    more."""
    long = "word " * 1500

    assert [True, False] == [mark_words(typed, long).right for typed in (long, long + "more")]


@pytest.mark.parametrize("pasted", ["9" * 3_000, "left fuel pump, " * 200, "\n" * 2 + "1. step\n" * 400])
def test_a_paste_is_asked_again(pasted: str) -> None:
    """What is far longer than the answer can be none: a page that got in is never marked, nor looked through."""
    verdict = mark_words(pasted, "left fuel pump")

    assert (None, True, "that is longer than any answer") == (verdict.right, verdict.again, verdict.why)


def test_opposites_are_written_as_they_are_compared() -> None:
    """Every opposite stands in the one spelling that words are brought into before they are compared."""
    assert [] == [word for word in OPPOSED if spelling(word) != word]


def test_no_synonym_turns_a_meaning_round() -> None:
    """No word of the table says the same as its opposite, in any form."""
    meant = [pair for pair in map(tuple, OPPOSITES) if same_meaning(*pair)]

    assert (True, []) == (same_meaning("drops", "falls"), meant)


def test_what_an_abbreviation_stands_for_is_asked_in_its_very_words() -> None:
    """Synonyms, which begin with other letters, are for all else."""
    lines = [words for words in ({"lost", "failed"}, {"below", "under"}) if words <= set(meanings())]
    taken = [
        WordsAnswer(("fuel lost",)).mark("fuel failed", Lore(literal=literal)).right
        for literal in (True, False)
    ]

    assert (2, [False, True]) == (len(lines), taken)
