"""Questions fit the grammar of their answers, and the trade's words for the ends of a quantity."""

import pytest
from note_kit import see

from recall.kinds.english import has_happened, is_plural, the
from recall.kinds.marking import wordings


def prompts(header: str, row: str) -> dict[str, tuple[str, ...]]:
    """Questions and answers of a table of one row."""
    columns = header.count("|") + 1
    return see(f"# Notes\n\n| {header} |\n{'| --- ' * columns}|\n| {row} |\n").prompts


@pytest.mark.parametrize(
    ("happens", "happened"),
    [
        ("The pump fails", "The pump has failed"),
        ("Both generators fail", "Both generators have failed"),
        ("A valve sticks shut", "A valve has stuck shut"),
        ("The starter does not cut out", "The starter has not cut out"),
        ("The brake loses its nitrogen", "The brake has lost its nitrogen"),
        ("Oil pressure is lost", "Oil pressure is lost"),
        ("Pump failure", "Pump failure"),
        ("Left pump trips off line", "Left pump has tripped off line"),
        ("The gear is up and fails to move", "The gear is up and fails to move"),
    ],
)
def test_what_signs_show_has_happened(happens: str, happened: str) -> None:
    """A clause with one sure verb stands in the perfect; all else stays."""
    assert happened == has_happened(happens)


def test_a_failure_is_known_by_its_note_and_shown_as_having_happened() -> None:
    """What it is compared by is the note's own wording."""
    rows = "| Failure | Effect | Indication |\n| --- | --- | --- |\n| The pump fails | Flow stops | PUMP light |\n"
    (card,) = [one for one in see(f"# Pumps\n\n{rows}").cards if one.aspect == "cause"]

    assert (("The pump has failed",), ("pump fails",)) == (card.answer.texts, card.answer.normal())


def test_an_effect_that_answers_its_cells_question_is_no_sign_without_it() -> None:
    """A mere name says nothing; a clause does."""
    header, failure = "Failure | Effect | Indication", "The probe fails | {} | A flag"
    named = prompts(header, failure.format("Which aid is lost? The height bug"))
    clause = prompts(header, failure.format("What does the needle do? The needle drops"))

    assert "A flag: what has happened?" in named
    assert "A flag; the needle drops: what has happened?" in clause


@pytest.mark.parametrize(
    ("inhibited", "question"),
    [
        ("The gear is down", "Which condition inhibits the laser?"),
        ("Weight on wheels", "Which condition inhibits the laser?"),
        ("A bus fault", "What inhibits the laser?"),
    ],
)
def test_a_condition_says_when_and_a_thing_inhibits(inhibited: str, question: str) -> None:
    """The question fits its answer."""
    assert {question: (inhibited,)} == prompts("Function | Inhibited when", f"Laser | {inhibited}")


def test_an_order_is_done_and_a_drill_is_called_for() -> None:
    """An action by its name isn't what one does."""
    asked = prompts("Caption | Means | Action", "FIRE | Fire | Engine fire memory items")

    assert ("Engine fire memory items",) == asked["FIRE: which drill is called for?"]
    assert "BILGE: what do you do?" in prompts("Caption | Means | Action", "BILGE | Water | Pump it out")


def test_a_centre_of_gravity_has_a_forward_and_an_aft_limit() -> None:
    """In questions, beyond them, and in a reading (FAA-H-8083-1B, glossary; from memory)."""
    asked = prompts(
        "Parameter | Minimum | Maximum | If below", "Centre of gravity | 18 % | 34 % | Move the load"
    )

    of = "limit of the centre of gravity, in % of the mean aerodynamic chord?"
    assert {f"Forward {of}", f"Aft {of}"} <= {*asked}
    assert "The centre of gravity is forward of its forward limit. What do you do?" in asked


@pytest.mark.parametrize(
    ("typed", "right"), [("forward", True), ("ahead", True), ("aft", False), ("behind its limit", False)]
)
def test_a_reading_of_a_centre_of_gravity_is_forward_or_aft(typed: str, right: bool) -> None:
    """Or within its limits."""
    rows = "| Parameter | Minimum | Maximum |\n| --- | --- | --- |\n| CG | 18 % | 34 % |\n"
    (card,) = [one for one in see(f"# Weights\n\n{rows}").cards if one.aspect == "reading"]
    said = ["forward of its forward limit", "within its limits", "aft of its aft limit"]

    assert said == [*card.answer.choices]
    assert right is type(card.answer)((said[0],), facts=card.answer.data()).mark(typed).right


@pytest.mark.parametrize(
    ("ends", "first"),
    [("-5° | 5°", "Lower limit of skew"), ("-5° | 6°", "Minimum skew"), ("-5 °C | 5 °C", "Minimum skew")],
)
def test_what_is_the_same_to_either_side_has_a_lower_and_an_upper_limit(ends: str, first: str) -> None:
    """No minimum of -5° where 0° would be less; a temperature has one."""
    asked = prompts("Parameter | Minimum | Maximum", f"Skew | {ends}")

    assert any(one.startswith(first) for one in asked)


def test_a_condition_that_leaves_nothing_out_is_not_said() -> None:
    """`All flights` adds nothing; a participle says when."""
    header = "Parameter | Condition | Maximum"

    assert ["Maximum load, in kg?"] == [*prompts(header, "Load | All flights | 5 kg")]
    assert ["Maximum bank when engaged, in °?"] == [*prompts(header, "Bank | Engaged | 27°")]


def test_letters_stand_for_words_that_they_agree_with_and_codes_mean_others() -> None:
    """Nobody can spell `patches` from BC."""
    rows = "| Abbreviation | Meaning |\n| --- | --- |\n| BC | patches |\n| RVR | runway visual range |\n"
    asked = see(f"# Codes of the weather\n\n{rows}").prompts

    assert {"What does BC mean?", "Which code means “patches”?", "What does RVR stand for?"} == {*asked}


def test_names_in_a_sentence() -> None:
    """A number needs no article, a title keeps its capitals, and what is done to several is one thing."""
    assert ["main bus 1", "the Main Bus", "the GPU", "transponder replies"] == [
        the("Main bus 1"), the("Main Bus"), the("GPU"), the("Transponder replies"),
    ]  # fmt: skip
    assert [False, True] == [is_plural("Moving the power levers"), is_plural("Power levers")]


def test_what_is_stated_names_its_unit() -> None:
    """A bare number is right in each wording."""
    rows = "| Parameter | Maximum |\n| --- | --- |\n| Oil pressure | 90 psi |\n"
    (card,) = see(f"# Oil\n\n{rows}").cards

    assert ("Maximum oil pressure, in psi?", "What is the maximum oil pressure, in psi?",
            "State the maximum oil pressure, in psi.") == wordings(card)  # fmt: skip
