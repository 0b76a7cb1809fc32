"""What must be recited: steps or a paragraph wholly in bold, and what bold doesn't mean."""

import pytest
from note_kit import see, table


def test_steps_wholly_in_bold():
    """All of a list is one memory item, critical, and no flow."""
    seen = see("# Engine fire\n\nSource: H 3-2\n\n1. **Throttle IDLE**\n2. **Fuel lever CUT OFF**.\n")

    (card,) = seen.cards
    assert ("memory-item", "recite", True) == (card.kind, card.aspect, card.critical)
    assert "Engine fire: recite the memory items." == card.prompt
    assert (("Throttle IDLE", "Fuel lever CUT OFF"), 5, "H 3-2") == (card.answer.texts, card.line, card.cite)


@pytest.mark.parametrize(
    ("more", "prompt", "steps"),
    [
        ("", "Engine fire: what comes after the memory items?", ("Land at once",)),
        (
            "4. Report.\n",
            "Engine fire: recite the 2 steps after the memory items, in order.",
            ("Land at once", "Report"),
        ),
    ],
)
def test_some_steps_in_bold(more, prompt, steps):
    """They are a memory item; the flow that all of the list is asks what comes after them, and is not critical."""
    seen = see(f"# Engine fire\n\n1. **Throttle IDLE**\n2. **Fuel lever OFF**\n3. Land at once.\n{more}")

    assert ("Throttle IDLE", "Fuel lever OFF") == seen.recited
    assert {prompt: steps} == {card.prompt: card.answer.texts for card in seen.of("flow")}
    assert [False] == [card.critical for card in seen.of("flow")]


def test_a_bold_step_further_down_marks_nothing():
    """What must be recited comes first; bold elsewhere is a stress."""
    seen = see("# Start\n\n1. Battery ON\n2. **Starter ON**\n3. Fuel ON\n")

    assert ([], ("Battery ON", "Starter ON", "Fuel ON")) == (seen.of("memory-item"), seen.order)
    assert {False} == {card.critical for card in seen.cards}


def test_one_step_bold_in_part_takes_the_mark_from_all():
    """Bold leads are notation, a step of a single bold word among them too."""
    seen = see("# Burn\n\n1. **Cool it** under water\n2. **Cover**\n3. **Call** for help\n")

    assert ({"flow"}, {False}) == ({card.kind for card in seen.cards}, {card.critical for card in seen.cards})


@pytest.mark.parametrize(
    "text",
    [
        "**1. Throttle IDLE**\n**2. Fuel OFF**\n",
        "**1. Throttle IDLE**\n\n**2. Fuel OFF**\n",
        "**1. Throttle IDLE**\\\n**2. Fuel OFF**\n",
        "- **Throttle IDLE**\n- **Fuel OFF**\n",
        "- **Throttle ... IDLE**\n- **Fuel ... OFF**\n",
    ],
)
def test_bold_lines(text):
    """Numbered lines and bullets wholly in bold are steps."""
    recited = see(f"# Engine fire\n\n{text}").recited

    assert ("Throttle IDLE", "Fuel OFF") == tuple(step.replace(" … ", " ") for step in recited)


@pytest.mark.parametrize(
    "words",
    [
        "Throttle idle. Fuel lever cut off. Fire handle pull.",
        "Land immediately.",
        "Masks ON, 100 %",
        "Maintain directional control, throttles idle, brakes as required.",
        "Pull the fire handle and turn it to the left",
    ],
)
def test_a_paragraph_wholly_in_bold(words):
    """Only in a place that says so, be it the line above."""
    plain = see(f"# Engine fire\n\n**{words}**\n\nWhat follows is on the list.\n")
    seen = see(f"# Engine fire\n\nMemory item:\n\n**{words}**\n\nWhat follows is on the list.\n")

    assert [] == plain.cards
    assert ("Engine fire: recite the memory items.",) == tuple(seen.prompts)
    assert words.rstrip(".") == seen.recited[0].rstrip(".")


@pytest.mark.parametrize(
    "words",
    [
        "Left engine",
        "Supported hardware and software versions",
        "Check the oil level",
        "Note: never do that at home.",
        "WARNING: keep hands off.",
        "This project is no longer maintained.",
        "Engine fire on the ground:",
        "Ready to start?",
        "Copyright 2026 the developers. All rights reserved.",
        "Never pass `input` to this function.",
        "Never do this. The input may be wrong.",
        "write (NOT RECOMMENDED)",
        "KEEP IT. " * 40,
    ],
)
def test_bold_that_is_no_memory_item(words):
    """A heading by another name, a remark, a statement, a lead and a question."""
    assert [] == see(f"# Engine fire\n\n**{words}**\n\nText stands here.\n").cards


def test_bold_above_a_list_names_the_list():
    """A bold line over a list is its name, not an item."""
    seen = see("# Fire\n\n**Set the throttle of the left engine.**\n\n1. Throttle IDLE\n2. Fuel OFF\n")

    assert {"flow"} == {card.kind for card in seen.cards}


def test_bold_in_part_marks_nothing():
    """`Throttle ... **IDLE**` and a bold word in a paragraph."""
    seen = see("# Fire\n\n1. Throttle **IDLE**\n2. Fuel **OFF**\n\nSet the throttle to **IDLE** at once.\n")

    assert {"flow"} == {card.kind for card in seen.cards}


def test_a_table_with_bold_rows():
    """Rows wholly in bold are the memory item; a bold number alone is notation, and takes nothing back."""
    seen = see(
        table(
            "Step | Item | Action", "**1** | **Throttle** | **IDLE**", "**2** | Radio | CALL", heading="Fire"
        )
    )

    assert (("Throttle … IDLE",), [True]) == (
        seen.recited,
        [card.critical for card in seen.of("memory-item")],
    )


def test_all_under_memory_items_is_recited():
    """Under a heading that says so, a bold statement too."""
    seen = see("# Memory items\n\n## Stall\n\n**The nose must come down first.**\n")

    assert ("The nose must come down first",) == seen.recited


def test_a_record_that_says_memory_items():
    """The deck's title makes its points critical."""
    seen = see("# Fire\n\n1. Throttle IDLE\n2. Fuel OFF\n", title="Memory items of the Skerry 2")

    assert {True} == {card.critical for card in seen.cards}


def test_a_bold_lead_names_a_memory_item():
    """Where a heading says so, the words behind a bold lead are recited under it."""
    seen = see("# Memory items\n\n**Smoke in the hut:** masks ON, doors SHUT\n\nThe rest is prose.\n")

    assert ["Smoke in the hut: recite the memory items."] == list(seen.prompts)
    assert ("masks ON, doors SHUT",) == seen.recited


def test_plain_steps_in_a_place_that_says_so():
    """All of them are recited; where the bold ones come first, only these."""
    plain = see("# Fire (immediate actions)\n\n1. Fuel SHUT\n2. Fan ON\n")
    some = see("# Fire (immediate actions)\n\n1. **Fuel SHUT**\n2. Fan ON\n")

    assert (("Fuel SHUT", "Fan ON"), []) == (plain.recited, plain.of("flow"))
    assert (("Fuel SHUT",), [("Fan ON",)]) == (some.recited, some.answers("order"))


def test_several_items_under_one_heading():
    """The second is told apart by its number, and only the first has the heading's id."""
    seen = see(
        "# Fire {#fire}\n\nImmediate actions:\n\n**Throttle IDLE at once.**\n\n"
        "If it burns on:\n\n**Fuel lever OFF at once.**\n"
    )

    assert ["Fire: recite the memory items.", "Fire (part 2): recite the memory items."] == list(seen.prompts)
    assert 2 == len({card.id for card in seen.cards})


def test_marking_forgives_case_blanks_and_stops_only():
    """Recited word for word."""
    import random

    from recall.kinds.marking import pose

    (card,) = see("# Fire\n\n1. **Throttle IDLE**\n2. **Fuel lever CUT OFF**\n").cards
    question = pose(card, random.Random(1))

    assert question.mark("throttle idle, fuel lever cut-off").right
    assert not question.mark("throttle idle, fuel lever off").right
    assert not question.mark("fuel lever cut off, throttle idle").right
