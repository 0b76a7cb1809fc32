"""Steps in their order: which lists and tables are procedures, and what is asked of them."""

import pytest
from note_kit import see


def listed(*items, heading="Engine start", lead=""):
    """A numbered list under a heading."""
    lines = "\n".join(f"{at}. {item}" for at, item in enumerate(items, 1))
    return f"# {heading}\n\n{lead}\n\n{lines}\n"


def test_what_is_asked():
    """The whole in order, the reason, and what follows when a step is skipped: steps are done from a list."""
    seen = see(
        "# Engine start\n\n1. Battery ON\n2. Starter ENGAGE\n\n   The air must move first.\n\n"
        "   If skipped: the start is hot.\n\n3. Fuel ON\n"
    )

    assert {
        "Engine start: recite the 3 steps in order.": ("Battery ON", "Starter ENGAGE", "Fuel ON"),
        "Engine start: give the reason for “Starter ENGAGE”.": ("The air must move first",),
        "Engine start: what follows if “Starter ENGAGE” is skipped?": ("the start is hot",),
    } == seen.prompts
    assert [3, 4, 4] == [card.line for card in seen.cards]


@pytest.mark.parametrize(
    "items",
    [
        ("Flaps 15.", "Trims set.", "Bleeds ON."),
        ("Set the parking brake.", "Undo the four screws.", "Lift the lid."),
        ("Bilges measured in all six compartments.", "Propellers turned by hand.", "Covers off."),
        ("Throttle ... IDLE", "Fuel lever ... CUT OFF"),
        ("Battery: ON", "Beacon: ON", "Doors: closed"),
        ("If the light stays on, discharge the second bottle.", "Land as soon as possible."),
        ("Then slowly open the valve.", "Carefully remove the cover."),
        ("Captain: call for the list.", "Co-pilot: read the list."),
        ("Gear UP after a positive climb.", "Flaps UP at 104 KIAS."),
    ],
)
def test_lists_that_are_procedures(items):
    """Orders, positions, states and fragments that say what was done."""
    assert len(items) == len(see(listed(*items, heading="Work")).order)


@pytest.mark.parametrize(
    ("heading", "items"),
    [
        (
            "Facts",
            ("The APU is certified to 25,000 ft.", "The battery holds 44 Ah.", "The tanks hold 1,200 kg."),
        ),
        (
            "References",
            ("Flight Manual, revision 8, 2026.", "Training handbook, chapter 4.", "14 CFR 25.1322."),
        ),
        ("Further reading", ("Smith, J. Engines. 2004.", "Set theory, vol. 3, 1999.")),
        ("Tools", ("Multimeter", "Screwdriver", "Wire cutter")),
        ("Instruments", ("Airspeed indicator", "Altimeter", "Compass")),
        ("Batteries", ("Lead-acid batteries", "Lithium batteries")),
        ("Features", ("**Fast**: it parses quickly.", "**Small**: it is one file.")),
        ("Quiz", ("What is Vmo?", "What is Vne?")),
        ("Changes in revision 4", ("Open the bleed valve first.", "Pump OFF comes last.")),
        ("Revision history", ("Set the page", "Check the valve")),
        ("Notes", ("Wind from the left is positive.", "All speeds are in knots.")),
    ],
)
def test_lists_that_are_none(heading, items):
    """Numbered facts, references, parts, names and questions make no card, and one note says so."""
    seen = see(listed(*items, heading=heading))

    assert ([], [(5, "unrecognised-list")]) == (seen.cards, seen.said)


def test_a_list_that_is_none_says_how_it_would_be_one():
    """The nearest kind and the cure."""
    (said,) = see(listed("The battery holds 44 Ah.", "The tanks hold 1,200 kg.", heading="Masses")).findings

    assert "the nearest kind is flow" in said.message
    assert "`In this order:`" in said.help


@pytest.mark.parametrize("lead", ["In this order:", "Do the following:", "The sequence is:"])
def test_a_line_above_tells_that_the_order_counts(lead):
    """Statements are steps where a line or heading says so: the order in which things come alive."""
    seen = see(
        listed("The battery bus is powered.", "The essential bus is powered.", heading="Power", lead=lead)
    )

    assert ("The battery bus is powered", "The essential bus is powered") == seen.order


def test_what_happens_at_an_event_is_in_order():
    """Numbered statements under a time or an event tell what follows what."""
    seen = see(listed("The starter turns the engine.", "Fuel is added at 15 %.", heading="Engine start"))

    assert 2 == len(seen.order)


def test_a_heading_tells_that_the_order_counts():
    """Stages and priorities are knowledge of an order."""
    seen = see(listed("Cumulus: updrafts only.", "Mature: rain falls.", heading="Stages of a storm"))

    assert ["Stages of a storm: name the 2 stages in order."] == [card.prompt for card in seen.cards]


@pytest.mark.parametrize(
    "lead", ["It does one of the following:", "There are two ways:", "Known limitations:"]
)
def test_a_line_above_tells_that_these_are_choices(lead):
    """Alternatives have no order, however much they read as orders."""
    assert [] == see(listed("Open the valve.", "Close the pump.", heading="Work", lead=lead)).cards


def test_paragraphs_in_numbers_are_no_steps():
    """Items of more than about thirty words are prose."""
    assert [] == see(listed("Open the valve. " * 12, "Close the pump. " * 12, heading="Work")).cards


def test_a_step_that_goes_on_around_code_makes_no_flow():
    """Which of its parts is the step can't be told."""
    text = "# Setup\n\n1. Do this:\n\n   ```\n   make\n   ```\n\n   or that:\n\n   ```\n   ninja\n   ```\n\n"
    seen = see(f"{text}2. Close the lid.\n")

    assert ([], [(3, "unrecognised-list")]) == (seen.cards, seen.said)


def test_contents_say_nothing():
    """A table of contents is no fact, and no mistake either."""
    seen = see("# Contents\n\n1. [Fuel](#fuel)\n2. [Gear](#gear)\n")

    assert ([], []) == (seen.cards, seen.said)


def test_sentences_in_numbers_are_read_as_sentences():
    """A numbered list of interlocks makes interlocks, no flow."""
    seen = see(
        listed(
            "The starter is inhibited while the door is open.",
            "The pump is inhibited when the tank is empty.",
        )
    )

    assert {"interlock"} == {card.kind for card in seen.cards}


def test_steps_keep_document_order():
    """Numbers that repeat, skip or fall say nothing."""
    seen = see("# Start\n\n1. Battery ON\n1. Pump ON\n1. Starter ON\n")

    assert ("Battery ON", "Pump ON", "Starter ON") == seen.order


def test_sub_steps_are_part_of_their_step():
    """Two levels deep, in brackets the second."""
    seen = see(
        "# Start\n\n1. Battery ON\n   1. Check the voltage\n      - above 22 V\n      - rising\n"
        "   2. Check the charge\n2. Pumps ON\n   - left\n   - right\n"
    )

    assert (
        "Battery ON: Check the voltage (above 22 V; rising); Check the charge",
        "Pumps ON: left; right",
    ) == seen.order


@pytest.mark.parametrize(
    "step",
    [
        "Starter ON\n\n   If skipped: the start is hot.",
        "Starter ON\n   - If skipped: the start is hot.",
        "Starter ON\n   If skipped: the start is hot.",
        "Starter ON  \n   If skipped: the start is hot.",
        "Starter ON<br>If skipped: the start is hot.",
        "Starter ON\n\n   if omitted – the start is hot",
        "Starter ON\n\n   When skipped: the start is hot",
    ],
)
def test_what_follows_when_a_step_is_skipped(step):
    """As a paragraph, a bullet, or a line of the step's own paragraph."""
    seen = see(f"# Start\n\n1. Battery ON\n2. {step}\n3. Fuel ON\n")

    assert ([("the start is hot",)], ("Battery ON", "Starter ON", "Fuel ON")) == (
        seen.answers("skipped"),
        seen.order,
    )


@pytest.mark.parametrize(
    "step",
    [
        "Starter ON\n\n   Air must move first.",
        "Starter ON\n   - Why: Air must move first.",
        "Starter ON\n   Reason: Air must move first.",
        "Starter ON\n\n   Why: Air must move first.",
    ],
)
def test_the_reason_of_a_step(step):
    """An indented paragraph, or a line that says so."""
    seen = see(f"# Start\n\n1. Battery ON\n2. {step}\n3. Fuel ON\n")

    assert ([("Air must move first",)], ("Battery ON", "Starter ON", "Fuel ON")) == (
        seen.answers("reason"),
        seen.order,
    )


def test_a_bold_step_with_a_line_below_is_wholly_bold():
    """What is said of a step is no part of it."""
    seen = see("# Fire\n\n1. **Throttle IDLE**\n   If skipped: it burns on.\n2. **Fuel OFF**\n")

    assert ("Throttle IDLE", "Fuel OFF") == seen.recited


def test_a_paragraph_ends_a_step_that_ends_in_a_colon():
    """It is the step, not its reason; so is one line of code."""
    seen = see("# Setup procedure\n\n1. Type in:\n\n   the serial\n\n2. Run:\n\n   ```\n   make\n   ```\n")

    assert (("Type in: the serial", "Run: make"), []) == (seen.order, seen.answers("reason"))


def test_a_step_cut_off_makes_no_flow():
    """A step that ends in a colon over what isn't read would be half a step."""
    seen = see("# Setup procedure\n\n1. Run:\n\n   ```\n   make\n   make test\n   ```\n\n2. Close the lid.\n")

    assert ([], [(3, "unrecognised-list")]) == (seen.cards, seen.said)


def test_an_empty_step_makes_no_flow():
    """Nobody knows what belongs there."""
    seen = see("# Start\n\n1. Battery ON\n2.\n3. TBD\n4. Fuel ON\n")

    assert ([], [(4, "missing-answer"), (5, "missing-answer")]) == (seen.cards, seen.said)


def test_a_table_inside_a_step_is_read_by_itself():
    """Its limits are points of their own, beside the flow."""
    text = "# Start\n\n1. Read the gauges.\n\n   | Parameter | Minimum | Unit |\n   | --- | --- | --- |\n"
    seen = see(text + "   | Oil pressure | 40 | psi |\n\n2. Set the flaps.\n")

    assert {"flow", "limit"} == {card.kind for card in seen.cards}


def test_steps_that_nothing_names_make_no_card():
    """A question that can't say what it is about isn't asked."""
    seen = see("1. Set the brake.\n2. Set the flaps.\n")

    assert ([], [(1, "unrecognised-list")]) == (seen.cards, seen.said)


def test_two_lists_under_one_heading():
    """A line above names each; without one, the second is the second part."""
    seen = see(
        "# Engine {#engine}\n\n**To start:**\n\n1. Battery ON\n2. Fuel ON\n\n**To stop:**\n\n"
        "1. Fuel OFF\n2. Battery OFF\n\nDo this:\n\n1. Doors OPEN\n2. Lights OFF\n\n"
        "Then do this:\n\n1. Doors SHUT\n2. Covers ON\n"
    )

    assert [
        "To start: recite the 2 steps in order.",
        "To stop: recite the 2 steps in order.",
        "Engine: recite the 2 steps in order.",
        "Engine (part 2): recite the 2 steps in order.",
    ] == [card.prompt for card in seen.cards if card.aspect == "order"]
    assert len(seen.cards) == len({card.id for card in seen.cards})


def test_a_general_heading_takes_the_one_above():
    """`Procedure` alone names nothing."""
    (card, *_) = see("# Engine start\n\n## Procedure\n\n1. Battery ON\n2. Fuel ON\n").cards

    assert "Engine start – Procedure: recite the 2 steps in order." == card.prompt


def test_a_flow_that_branches_is_asked_step_by_step():
    """Nobody can recite it as one; the question says which of two equal steps is meant, each has its own card."""
    seen = see(
        "# Start\n\n1. Lights CHECK\n2. Pump ON\n3. Lights CHECK\n4. Pump OFF\n\n"
        "If it smokes:\n\n1. Fuel OFF\n2. Fan ON\n"
    )

    assert [
        "Start: what is the first step?",
        "Start: after “Lights CHECK” (step 1), what comes next?",
        "Start: after “Pump ON”, what comes next?",
        "Start: after “Lights CHECK” (step 3), what comes next?",
        "Start, if it smokes: recite the 2 steps in order.",
    ] == [card.prompt for card in seen.cards]
    assert 5 == len({card.id for card in seen.cards})


def test_an_id_names_the_flow():
    """Renaming the heading then changes no card's identity."""
    one = see("# Start {#start}\n\n1. Battery ON\n2. Fuel ON\n").cards
    two = see("# Starting {#start}\n\n1. Battery ON\n2. Fuel ON\n").cards

    assert [card.id for card in one] == [card.id for card in two]


@pytest.mark.parametrize(
    "text",
    [
        "- Flaps ... UP\n- Lights ... **OFF**\n- Radar . . . . STBY\n",
        "Flaps .......... UP\\\nLights ......... OFF\\\nRadar .......... STBY\n",
        "Flaps … UP  \nLights … OFF  \nRadar … STBY\n",
        "1. Flaps ____ UP\n2. Lights ____ OFF\n3. Radar ____ STBY\n",
    ],
)
def test_dotted_challenge_and_response(text):
    """In bullets, in numbers, and in a paragraph of broken lines; the leader becomes an ellipsis."""
    seen = see(f"# After landing\n\n{text}")

    assert ("Flaps … UP", "Lights … OFF", "Radar … STBY") == seen.order


@pytest.mark.parametrize("item", ["Span ........ 19.8 m", "Chapter ........ 5", "Capital ..... Porto"])
def test_dotted_leaders_to_values_are_no_flow(item):
    """A list of figures or pages isn't answered to a challenge."""
    seen = see(f"# Wing\n\n- {item}\n- {item}a\n")

    assert ([], ["unrecognised-list"]) == (seen.cards, [rule for _, rule in seen.said])


def test_bold_of_every_response_marks_nothing():
    """Where all responses are bold, that is notation."""
    seen = see("# Fire\n\n1. Throttle ... **IDLE**\n2. Fuel ... **CUT OFF**\n")

    assert ({"flow"}, {False}) == ({card.kind for card in seen.cards}, {card.critical for card in seen.cards})


def test_steps_of_a_memory_drill_are_critical():
    """Under a heading that says so, whatever their look; `Critical engine` says nothing of the kind."""
    drill = see(listed("Throttle IDLE", "Fuel OFF", heading="Fire (memory items)"))
    other = see(listed("Throttle IDLE", "Fuel OFF", heading="Critical engine failure"))

    assert ({True}, {False}) == (
        {card.critical for card in drill.cards},
        {card.critical for card in other.cards},
    )
