"""Tables of steps: which are procedures, and what a row may lack."""

import pytest
from note_kit import see, table


@pytest.mark.parametrize(
    ("headers", "row", "step"),
    [
        ("Step | Item | Action", "1 | Battery | ON", "Battery … ON"),
        ("Step | System/Condition | Action", "1. | Voltage | Above 24 V", "Voltage … Above 24 V"),
        ("Step | Action", "1 | Set the brake", "Set the brake"),
        ("Step | Action | Expected", "1 | Battery ON | 24 V", "Battery ON (24 V)"),
        ("Step | Action | Expected result", "2a | Battery ON | 24 V", "Battery ON (24 V)"),
        ("Challenge | Response", "Battery | ON", "Battery … ON"),
        ("# | Action", "1 | Set the brake", "Set the brake"),
        ("No. | Item | Action", "1 | Battery | ON", "Battery … ON"),
        ("Step | Action", "Battery | ON", "Battery … ON"),
        ("Step No | Procedure", "Step 1 | Set the brake", "Set the brake"),
    ],
)
def test_tables_of_steps(headers, row, step):
    """The wordings in which they are met."""
    seen = see(
        table(
            headers, row, row.replace("Battery", "Pump").replace("Set", "Hold").replace("Volt", "Cell volt")
        )
    )

    assert step == seen.order[0]


@pytest.mark.parametrize(
    "headers",
    [
        "# | Task | Owner",
        "Step | Action | Status",
        "No | Position",
        "# | Setting",
        "Step | Description",
        "Order | Task",
    ],
)
def test_tables_that_are_no_procedure(headers):
    """A plan of work, a list of players, a mere number beside any word."""
    cells = " | ".join("some words" for _ in headers.split("|"))
    seen = see(table(headers, cells, cells + "s"))

    assert ([], [(3, "unrecognised-table")]) == (seen.cards, seen.said)


def test_a_row_without_its_action_makes_no_flow():
    """A flow with a gap would teach a wrong order; each gap has its line."""
    seen = see(
        table("Step | Item | Action", "1 | Battery | ON", "2 | | CHECK", "3 | Starter |", "4 | Fuel | ON")
    )

    assert ([], [(6, "missing-answer"), (7, "missing-answer")]) == (seen.cards, seen.said)


def test_a_table_of_steps_left_empty():
    """One finding for the whole template."""
    assert [(5, "empty-template")] == see(table("Step | Item | Action", "1 | Battery |", "2 | Fuel | ")).said


def test_what_a_table_says_besides():
    """Reasons and skips are asked, unknown columns shown, the source is that of the rows."""
    seen = see(
        table(
            "Step | Action | Why | If skipped | Remark | Ref",
            "1 | Battery ON | It feeds the starter | Nothing turns | slow | H 1",
            "2 | Fuel ON | | | | H 2",
        )
    )

    assert [("It feeds the starter",)] == seen.answers("reason")
    assert [("Nothing turns",)] == seen.answers("skipped")
    assert {(("Remark", "Battery ON: slow"),)} == {card.extra for card in seen.cards}
    assert {"H 1; H 2"} == {card.cite for card in seen.cards}


def test_steps_for_some_aircraft_say_so():
    """A step that holds for some serials only is told apart in the order."""
    seen = see(table("Step | Action | Applies to", "1 | Battery ON |", "2 | Autofeather ARM | 113–160"))

    assert ("Battery ON", "Autofeather ARM (113–160)") == seen.order
