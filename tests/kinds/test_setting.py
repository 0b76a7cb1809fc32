"""In which position a control stands."""

import pytest
from note_kit import see, table


def test_table():
    """A control, its position, and the condition it holds under."""
    seen = see(
        table(
            "Control | Position | When | Where | Why",
            "Bus tie | CLOSED | Engine start | Overhead | Both help",
        )
    )

    (card,) = seen.cards
    assert ("setting", "position", "words") == (card.kind, card.aspect, card.answer.form)
    assert {"Bus tie, engine start: which position?": ("CLOSED",)} == seen.prompts
    assert ("Both help", (("Where", "Overhead"),), 5) == (card.why, card.extra, card.line)


@pytest.mark.parametrize(
    "headers",
    ["Switch | Position", "Knob | Setting", "Selector | Set to", "Circuit breaker | State",
     "Lever | Required position", "Controls | Positions", "Position | Control"],
)  # fmt: skip
def test_headers(headers):
    """Other names of the same columns, in either order."""
    cells = "OPEN | Bus tie" if headers.startswith("Position") else "Bus tie | OPEN"

    assert [("OPEN",)] == see(table(headers, cells)).answers("position")


@pytest.mark.parametrize(
    "headers", ["Key | Setting", "Button | State", "Field | Position", "Switch | Location | Meaning"]
)
def test_tables_of_something_else(headers):
    """Keys of a program, buttons of a window and players of a team are no controls."""
    cells = " | ".join(f"word {at}" for at in range(headers.count("|") + 1))
    seen = see(table(headers, cells))

    assert ([], ["unrecognised-table"]) == (seen.cards, [rule for _, rule in seen.said])


@pytest.mark.parametrize("header", ["Function", "What it does", "Effect"])
def test_what_each_position_does(header):
    """A row for each position of a switch says what it does there, not where it stands."""
    rows = "Battery | ON | Feeds the bus", "Battery | OFF | Parts it", "Pump | AUTO | Runs below 20 psi"
    seen = see(table(f"Switch | Position | {header}", *rows))

    assert {
        "Battery at ON: what does it do?": ("Feeds the bus",),
        "Battery at OFF: what does it do?": ("Parts it",),
        "Pump at AUTO: what does it do?": ("Runs below 20 psi",),
    } == seen.prompts


@pytest.mark.parametrize("header", ["Set to", "Value", "Position"])
def test_a_setting_with_what_it_is_set_to(header):
    """Under `Setting` stands the control."""
    seen = see(table(f"Setting | {header}", "Noise blanker | OFF", "Split | ON"))

    assert {"Noise blanker: which position?": ("OFF",), "Split: which position?": ("ON",)} == seen.prompts


def test_a_control_in_several_rows():
    """Each condition is a point of its own; a blank one and a filled one are two."""
    seen = see(
        table("Control | Position | When", "Flaps | 15 | Takeoff", "Flaps | 30 | Landing", "Flaps | 0 |")
    )

    assert ["Flaps, takeoff", "Flaps, landing", "Flaps"] == [prompt.split(":")[0] for prompt in seen.prompts]


def test_two_positions_under_one_condition_conflict():
    """Neither is asked."""
    seen = see(table("Control | Position | When", "Flaps | 15 | Takeoff", "Flaps | 30 | Takeoff"))

    assert ([], [(6, "conflicting-points")]) == (seen.cards, seen.said)


def test_two_controls_of_one_name():
    """The panel tells them apart where nothing else does."""
    seen = see(
        table(
            "Control | Position | Panel", "Intercom | ON | Pilot", "Intercom | OFF | Sensor", "Fan | ON | Aft"
        )
    )

    assert ["Intercom, pilot", "Intercom, sensor", "Fan"] == [prompt.split(":")[0] for prompt in seen.prompts]


def test_an_unknown_column_tells_two_controls_apart():
    """A remark doesn't."""
    seen = see(table("Control | Position | Engine", "Boost pump | ON | left", "Boost pump | OFF | right"))
    remarked = see(table("Control | Position | Remark", "Boost pump | ON | now", "Boost pump | OFF | later"))

    assert ["Boost pump, left", "Boost pump, right"] == [prompt.split(":")[0] for prompt in seen.prompts]
    assert [(6, "conflicting-points")] == remarked.said


def test_rows_without_their_answer():
    """A blank position, a blank control, and a table of nothing else."""
    seen = see(table("Control | Position", "Bus tie | OPEN", "Fan | -", " | AUTO"))

    assert [(6, "missing-answer"), (7, "missing-answer")] == seen.said
    assert [(5, "empty-template")] == see(table("Control | Position", "Bus tie | TBD", "Fan |")).said


def test_same_as_above():
    """A ditto mark repeats the control of the row above."""
    seen = see(table("Control | Position | When", "Flaps | 15 | Takeoff", '" | 30 | Landing'))

    assert {"Flaps, landing: which position?"} < set(seen.prompts)


def test_several_positions_are_a_set():
    """Parted by a semicolon or a line end."""
    (card,) = see(table("Control | Position", "Fuel selector | LEFT; RIGHT")).cards

    assert ("Fuel selector: which positions?", ("LEFT", "RIGHT"), "set") == (
        card.prompt,
        card.answer.texts,
        card.answer.form,
    )


def test_a_bold_control_is_critical():
    """Among others that aren't; where all are bold it is notation."""
    some = see(table("Control | Position", "**Bus tie** | OPEN", "Fan | ON"))
    every = see(table("Control | Position", "**Bus tie** | OPEN", "**Fan** | ON"))

    assert ([True, False], [False, False]) == (
        [card.critical for card in some.cards],
        [card.critical for card in every.cards],
    )


def test_yes_is_a_position():
    """Ticks are answers here: a guard may be `X` or `Y`."""
    assert [("Y",)] == see(table("Selector | Position", "Valve | Y")).answers("position")


def test_a_light_stands_in_no_position():
    """It is set."""
    seen = see(table("Control | Position", "Position lights | ON", "Landing light switch | OFF"))

    assert ["Position lights: which setting?", "Landing light switch: which position?"] == [*seen.prompts]
