"""Phrases, sets and recitals: what is taken, what never is, and what is said of it."""

from pathlib import Path

import pytest

from recall.answers import Lore, MembersAnswer, NumberAnswer, RecitalAnswer, Verdict, WordsAnswer
from recall.base.dataclass import replace
from recall.deck.read import read_deck
from recall.quantity import Reading, read_cell

RECITAL = ("Power lever IDLE", "Fuel cock SHUT", "Fire handle PULL")


@pytest.mark.parametrize(
    ("right", "taken", "refused"),
    [
        (
            "main bus 1",
            "main bus No 1|No. 1 main bus|main bus #1|main bus one",
            "main bus 11|main bus|no main bus 1",
        ),
        ("attitude", "atitude|attitde", "altitude|latitude|aptitude"),
        ("right fuel pump", "rh fuel pump", "light fuel pump|left fuel pump|right full pump|right fuel dump"),
        ("pitot heater", "pitot-heater|pitot heatr", "pilot heater|pitot header|pitot heat|pitot"),
        ("inner tank", "iner tank", "inter tank|winner tank|outer tank|inner rank"),
        ("unlocked", "unlocked", "locked|not unlocked"),
        (
            "speed above 30 KIAS",
            "speed > 30 kt|speed over thirty knots",
            "speed below 30 KIAS|speed above 30 KTAS",
        ),
        ("battery 24 V", "batt 24 volts", "battery 24 A|battery 28 V"),
        ("bus 1A", "bus 1 A", "bus 1|bus A"),
        ("flap 15", "flaps fifteen|flap 15°", "flap 5|flap 15 kt|flap 15 %"),
        ("valve 30 %", "valve 30|valve 30 percent", "valve 30°"),
        (
            "rotor above 66 °C",
            "rotor above 66|rotor over 66°|rotor > 66 C",
            "rotor above 66 %|rotor above 66 F",
        ),
        ("left winch", "L winch|lh winch", "R winch|right winch"),
        ("propeller stalled", "prop stalled", "prop"),
        ("windscreen", "windshield", "window"),
        ("hook open and loaded", "hook open, loaded|hook open & loaded", "hook open loaded|hook loaded"),
        ("fire or smoke", "smoke or fire", "smoke and fire|smoke"),
        ("not armed or failed", "not armed or failed", "failed or not armed"),
        ("hundreds of feet", "hundreds of ft", "hundreds of m|hundreds"),
    ],
)
def test_a_phrase(right: str, taken: str, refused: str) -> None:
    """Short forms, numbers of things, signs and slips are taken; other words and opposites never."""
    answer = WordsAnswer((right,))

    assert [] == [typed for typed in taken.split("|") if not answer.mark(typed).right]
    assert [] == [typed for typed in refused.split("|") if answer.mark(typed).right is not False]


@pytest.mark.parametrize(
    ("members", "taken", "refused"),
    [
        (
            ("TRU 1", "TRU 2", "battery"),
            "TRU 1 and 2, battery|TRU1 + TRU2 + battery",
            "TRU 1, TRU 3, battery",
        ),
        (
            ("left pump", "right pump"),
            "left and right pumps|right pump left pump",
            "left pump, left pump|pump",
        ),
        (("bus 1 dead", "GEN light"), "bus No 1 is dead and the GEN light", "bus 1 not dead; GEN light"),
    ],
)
def test_a_set(members: tuple[str, ...], taken: str, refused: str) -> None:
    """However its members are parted."""
    answer = MembersAnswer(members)

    assert [] == [typed for typed in taken.split("|") if not answer.mark(typed).right]
    assert [] == [typed for typed in refused.split("|") if answer.mark(typed).right is not False]


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("1 power lever idle 2 fuel cock shut 3 fire handle pull", True),
        ("first power lever idle, then fuel cock shut, then fire handle pull", True),
        ("power lever - idle\nfuel cock - shut\nfire handle - pull", True),
        ("power lever idel, fuel cock shut, fire handle pull", False),
        ("power lever idle, fuel cock not shut, fire handle pull", False),
        ("power lever idle, fire handle pull, fuel cock shut", False),
        ("...", None),
    ],
)
def test_a_recital(typed: str, right: bool | None) -> None:
    """Numbering counts for nothing; each word and the order count."""
    assert right is RecitalAnswer(RECITAL).mark(typed).right


def test_neighbouring_wrong_steps_are_named_each_by_itself() -> None:
    """Two that don't belong are two."""
    verdict = RecitalAnswer(RECITAL).mark(
        "power lever idle, masks on, doors open, fuel cock shut, fire handle pull"
    )

    assert ("masks on", "doors open") == verdict.added


def test_forgiven_hyphens_are_not_told_and_typed_words_stand_as_typed() -> None:
    """Only what makes the difference is marked."""
    parts = WordsAnswer(("anti-ice valve open",)).mark("Anti ice valve CLOSED").parts

    assert [
        ("kept", "Anti"),
        ("kept", "ice"),
        ("kept", "valve"),
        ("added", "CLOSED"),
        ("left out", "open"),
    ] == list(parts)


def _number(cell: str, typed: str, prompt: str = "") -> Verdict:
    reading = read_cell(cell)
    assert isinstance(reading, Reading)
    return NumberAnswer((cell,), reading=reading).mark(typed, Lore(prompt=prompt))


@pytest.mark.parametrize(
    ("cell", "typed", "right"),
    [
        ("1 SM", "1 km", False), ("1 SM", "1 NM", False), ("1 SM", "1.6 km", True), ("1 h", "31 min", False),
        ("2 min", "95 s", False), ("2 min", "120 s", True), ("815 °C", "~815", False), ("815 °C", "about 815", False),
        ("815 °C", "815?", None), ("815 °C", "hot", None), ("18,640 kg", "18.64 t", True),
        ("18,640 kg", "18.6 t", False),
        ("3 SM", "5 km", False), ("2 NM", "2 miles", None), ("3 SM", "3 miles", True), ("38 psi", "2.6 bar", True),
        ("38 psi", "2.7 bar", False), ("-18 °C", "0 °F", True), ("10 to 20 °C", "20 to 10", None),
        ("62 kt", "it's 62", True), ("-0.4 psi", "minus point four", True),
        ("45 min", "three quarters of an hour", True),
        ("90 s", "a minute and a half", True), ("30 bar/min", "30 bar per minute", True), ("4 ft", "4'", True),
        ("4 m", "4'", False), ("10,500 ft", "10.5 thousand ft", True),
        ("30 s on / 90 s off", "90 s off, 30 s on", True), ("30 s on / 90 s off", "30 s off / 90 s on", False),
    ],
)  # fmt: skip
def test_a_number(cell: str, typed: str, right: bool | None) -> None:
    """Converted to its last digit and within 2 %, by an exact factor exactly; never about, nor another reference."""
    assert right is _number(cell, typed).right


@pytest.mark.parametrize(
    ("cell", "typed", "prompt"),
    [
        ("0.6 mm", "0.6 in", "Minimum clearance, in mm?"),
        ("35 °C", "at most 35", "Turn-down (at most 40 min): minimum oil, in °C?"),
        ("30 s on / 90 s off", "not 30 s on / 90 s off", "Starter: how long on, and how long off?"),
        ("30 s on / 90 s off", "about 30 s on / 90 s off", "Starter: how long on, and how long off?"),
    ],
)
def test_words_of_the_question_are_no_unit_nor_bound_nor_denial(cell: str, typed: str, prompt: str) -> None:
    """An `in` behind a number is inches, though it stands in every question; so does an `at most`."""
    assert not _number(cell, typed, prompt).right


def test_a_time_that_the_question_says_may_be_said_again() -> None:
    """The right one only."""
    prompt = "Climb out: maximum temperature (5 min), in °C?"

    assert [True, False] == [
        _number("815 °C", typed, prompt).right for typed in ("815 for 5 min", "815 for 3 min")
    ]


@pytest.mark.parametrize(
    ("cell", "typed", "prompt", "right"),
    [
        ("3.55 V", "3.55 V per cell", "Warn threshold of cell voltage, in V?", True),
        ("3.55 V", "3.55 V per cell", "Warn threshold of pack voltage, in V?", False),
        ("18 %", "18 % MAC", "Minimum centre of gravity, in %?", True),
        ("18 %", "18 % N1", "Minimum centre of gravity, in %?", False),
        ("5 min", "max 5 minutes", "Takeoff limits: for how long do they hold, in min?", True),
        ("25 V", "25 A", "Minimum voltage before a battery start, in V?", False),
        ("870 °C", "870 takeoff", "Maximum ITT at take-off, in °C?", True),
        ("870 °C", "take-off 870", "Maximum ITT at takeoff, in °C?", True),
        ("-40 °C", "–40", "Minimum oil temperature, in °C?", True),
        ("-40 °C", "—40 °C", "Minimum oil temperature, in °C?", True),
        ("40 °C", "–40", "Maximum oil temperature, in °C?", False),
        ("10 to 40 °C", "10–40", "Normal oil temperature, in °C?", True),
        ("212 °F", "(212)", "Maximum oil temperature, in °F?", True),
        ("212 °F", "(212 °C)", "Maximum oil temperature, in °F?", False),
        ("742 °C", "TOT 742", "Maximum turbine outlet temperature when starting, in °C?", True),
    ],
)
def test_what_the_question_says_may_stand_beside_the_amount(
    cell: str, typed: str, prompt: str, right: bool
) -> None:
    """What it is measured against, or that it is the most allowed; a unit is never a word of the question."""
    assert right is _number(cell, typed, prompt).right


def test_a_wrong_unit_is_called_so() -> None:
    """The number was right."""
    assert "the unit is wrong: mph typed, the answer is in kt" == _number("62 kt", "62 mph").why


@pytest.mark.parametrize(
    ("right", "typed", "said"),
    [
        ("grey programme", "grey programm", "spelt programme"),
        ("the propeller stalled", "the propelr stalled", "spelt propeller"),
        ("grey gauge", "grey", "left out: gauge"),
        ("gauge", "grey gauge", "added: grey"),
    ],
)
def test_words_are_told_as_they_are_written(right: str, typed: str, said: str) -> None:
    """Not in the one spelling by which they are compared."""
    verdict = WordsAnswer((right,)).mark(typed)

    assert said == (verdict.note or verdict.why)


def test_what_is_no_member_is_told_as_it_was_typed() -> None:
    """British spelling stays British."""
    verdict = MembersAnswer(("pump 1", "pump 2")).mark("pump 1, grey gauge")

    assert ("grey gauge",) == verdict.added


@pytest.mark.parametrize(
    ("typed", "right"), [("rear", True), ("the rear tank", True), ("tank", False), ("front", False)]
)
def test_what_a_question_asks_for_needs_no_word(typed: str, right: bool) -> None:
    """A tank, where it asks which tank."""
    assert (
        right
        is WordsAnswer(("Rear tank",)).mark(typed, Lore(prompt="Which tank feeds the right engine?")).right
    )


def test_each_amount_of_a_ladder_may_stand_behind_its_time() -> None:
    """The pairs count, not which of them is said first."""
    cells = (("118 %", "20 s", ""), ("96 %", "", "continuous"))
    rungs = []
    for amount, time, held in cells:
        reading, lasting = read_cell(amount), read_cell(time)
        assert isinstance(reading, Reading)
        lasts = lasting.spans[0] if isinstance(lasting, Reading) else None
        rungs.append(NumberAnswer((amount,), reading=replace(reading, duration=lasts), time=held))
    ladder = MembersAnswer(("118 % for 20 s", "96 % continuous"), rungs=tuple(rungs))

    assert ladder.mark("20 s 118 %, continuous 96 %").right
    assert not ladder.mark("20 s 96 %, continuous 118 %").right


def test_what_is_as_large_on_either_side_may_be_typed_for_both(tmp_path: Path) -> None:
    """`±35°` is the most of an angle; of a range both ends are asked all the same."""
    note = tmp_path / "rudder.md"
    note.write_text(
        "# X\n\n| | Normal | Max |\n|---|---|---|\n| Rudder angle | ±30° | ±35° |\n", encoding="utf-8"
    )
    most, normal = read_deck(note)[0].cards

    assert [True, True, False] == [most.mark(typed).right for typed in ("±35", "35", "±30")]
    assert [True, False, False] == [normal.mark(typed).right for typed in ("±30", "30", "±35")]
