"""What captions, alarms and symptoms mean, and what is done about them."""

import pytest
from note_kit import see, table


def test_table():
    """The meaning and the action are asked; an unknown column is shown."""
    seen = see(
        table(
            "Caption | Colour | Means | Action", "OIL PRESS | Red | Pressure is below 45 psi | Shut it down."
        )
    )

    assert {
        "What does OIL PRESS mean?": ("Pressure is below 45 psi",),
        "OIL PRESS: which colour?": ("Red",),
        "OIL PRESS: what do you do?": ("Shut it down",),
    } == seen.prompts
    assert {(("Colour", "Red"),)} == {card.extra for card in seen.cards}


@pytest.mark.parametrize(
    ("headers", "prompt"),
    [
        ("Indication | Means | Action", "What does OIL mean?"),
        ("Light | Meaning | Response", "What does OIL mean?"),
        ("Symptom | Cause | Fix", "OIL: what is the likely cause?"),
        ("Symptom | Likely cause | Fix", "OIL: what is the likely cause?"),
        ("Alarm | Cause | Action", "OIL: what is the likely cause?"),
        ("CAS message | Meaning | Crew action", "What does OIL mean?"),
        ("Error code | Meaning | Corrective action", "What does OIL mean?"),
    ],
)
def test_headers(headers, prompt):
    """The wordings in which they are met; each has its meaning and its action."""
    seen = see(table(headers, "OIL | Pressure falls | Reduce power"))

    assert [prompt, "OIL: what do you do?"] == list(seen.prompts)


@pytest.mark.parametrize(
    "headers",
    ["Code | Meaning", "Field | Meaning", "Name | Description", "Flag | Meaning", "Signal | Meaning",
     "Message | Meaning", "Status code | Meaning", "Error | Cause", "Value | Meaning", "Option | Means",
     "Display | Indicates"],
)  # fmt: skip
def test_tables_of_software(headers):
    """A name that any program's tables have is unrecognised, with the nearest kind."""
    seen = see(table(headers, "verbose | More is written", "quiet | Nothing is written"))

    assert ([], [(3, "unrecognised-table")]) == (seen.cards, seen.said)
    assert "the nearest kind is" in seen.findings[0].message


@pytest.mark.parametrize(
    ("headers", "kind"),
    [
        ("Effect | Indication | Failure", "consequence"),
        ("Indication | Means | Action", "indication"),
        ("Symptom | Cause | Fix", "indication"),
        ("Alarm | Cause | Action", "indication"),
        ("If | Then | Indication | Action", "consequence"),
        ("Control | Position | When", "setting"),
        ("Step | Action | Expected", "flow"),
        ("Function | Inhibited when | Indication", "interlock"),
    ],
)
def test_kinds_against_each_other(headers, kind):
    """The kind that explains most columns reads the table."""
    count = headers.count("|") + 1
    rows = (" | ".join(f"word {row}{at}" for at in range(count)) for row in "ab")

    assert {kind} == {card.kind for card in see(table(headers, *rows)).cards}


def test_several_causes_with_a_fix_each():
    """The causes are a set, and each has its own fix, at its own line."""
    seen = see(
        table(
            "Symptom | Cause | Fix",
            "No crank | Flat battery | Charge it",
            "No crank | Bad relay | Replace it",
        )
    )

    assert [] == seen.said
    assert {
        "No crank: what are the likely causes?": ("Flat battery", "Bad relay"),
        "No crank, because of “Flat battery”: what do you do?": ("Charge it",),
        "No crank, because of “Bad relay”: what do you do?": ("Replace it",),
    } == seen.prompts
    assert [5, 5, 6] == [card.line for card in seen.cards]
    assert 3 == len({card.id for card in seen.cards})


def test_several_causes_with_one_fix():
    """One fix for all is asked once."""
    seen = see(table("Symptom | Cause | Fix", "No crank | Flat battery | Charge", "No crank | Cold | Charge"))

    assert ["No crank: what are the likely causes?", "No crank: what do you do?"] == list(seen.prompts)


def test_one_cause_with_two_fixes_conflicts():
    """Nobody knows which to do."""
    seen = see(table("Symptom | Cause | Fix", "No crank | Cold | Charge it", "No crank | Cold | Heat it"))

    assert ([], [(6, "conflicting-points")]) == (seen.cards, seen.said)


def test_causes_that_deny_each_other_conflict():
    """`does not` against `does` is no set."""
    seen = see(table("Symptom | Cause", "Hot | Fan runs", "Hot | Fan does not run"))

    assert ([], [(6, "conflicting-points")]) == (seen.cards, seen.said)


def test_two_meanings_of_one_caption_conflict():
    """A caption means one thing."""
    seen = see(table("Caption | Means", "OIL | Pressure is low", "OIL | Temperature is high"))

    assert ([], [(6, "conflicting-points")]) == (seen.cards, seen.said)


def test_a_colour_tells_two_lights_apart():
    """Where one light has two looks, the look is part of the question."""
    seen = see(
        table("Light | Colour | Means", "Gear | Green | Locked", "Gear | Red | Moving", "Door | Red | Open")
    )

    assert [
        "Gear (Green): what does it mean?", "Gear (Red): what does it mean?", "Door: what does it mean?",
        "Door: which colour?",
    ] == list(seen.prompts)  # fmt: skip


def test_a_colour_is_asked_where_it_tells_something():
    """A colour that all rows have is shown with them; a light without one isn't asked for it."""
    told = see(table("Light | Colour | Means", "DOOR | Red | Open", "RAMP | Amber | Moving", "BUOY | | Lit"))
    one = see(table("Light | Colour | Means", "DOOR | Red | Open", "RAMP | Red | Moving"))

    assert [("DOOR", ("Red",)), ("RAMP", ("Amber",))] == [
        (card.subject, card.answer.texts) for card in told.cards if card.aspect == "colour"
    ]
    assert {"meaning"} == {card.aspect for card in one.cards}
    assert (("Colour", "Red"),) == one.cards[0].extra


@pytest.mark.parametrize(
    ("light", "asked"),
    [
        ("FIRE L", "What does FIRE L mean?"),
        ("Two clicks on the intercom", "What do two clicks on the intercom mean?"),
        ("Steady horn", "Steady horn: what does it mean?"),
        ("BUS", "What does BUS mean?"),
    ],
)
def test_one_and_several(light: str, asked: str):
    """Several things mean, one thing means; one that is no caption stands in its own words."""
    assert [asked] == list(see(table("Signal | Meaning", f"{light} | Stop", heading="Alarms")).prompts)


def test_rows_without_their_answer():
    """A blank meaning is a gap, also where the action stands; a table of nothing else is a template."""
    seen = see(table("Caption | Means | Action", "OIL | | Land", "FUEL | Low | -"))

    assert [(5, "missing-answer")] == seen.said
    assert ["OIL: what do you do?", "What does FUEL mean?"] == list(seen.prompts)


def test_a_blank_caption():
    """A row without its caption may mean the one above or not: neither is read; causes of one symptom add up."""
    seen = see(table("Caption | Means", "OIL | Low", " | Hot", "DOOR | Open"))
    causes = see(table("Symptom | Cause", "No crank | Flat battery", " | Cold"))

    assert ["What does DOOR mean?"] == list(seen.prompts)
    assert [(5, "missing-answer"), (6, "missing-answer")] == seen.said
    assert ["No crank: what are the likely causes?"] == list(causes.prompts)
    assert [(5, "empty-template")] == see(table("Caption | Means", "OIL | ?", "FUEL | TBD")).said


ALARM = """# Alarms

## OilHot {#oil-hot}

### Meaning

The oil is hotter than 110 °C.

### Impact

The engine wears.

### Diagnosis

Compare the two gauges.

### Mitigation

Reduce power.
"""


def test_an_alarm_as_headings():
    """Meaning, impact and mitigation are asked, the rest is shown."""
    seen = see(ALARM)

    assert {
        "What does OilHot mean?": ("The oil is hotter than 110 °C",),
        "OilHot: what do you do?": ("Reduce power",),
        "OilHot: what follows?": ("The engine wears",),
    } == seen.prompts
    assert {(("Diagnosis", "Compare the two gauges."),), ()} == {card.extra for card in seen.cards}
    assert {3} == {card.line for card in seen.cards}


@pytest.mark.parametrize(
    "text",
    [
        ALARM.replace("The oil is hotter than 110 °C.", "word " * 60),
        ALARM.replace("### Meaning", "### Background"),
        ALARM.replace("### Meaning", "Some words first.\n\n### Meaning"),
        ALARM.replace("The oil is hotter than 110 °C.", ""),
        "# Alarms\n\n## OilHot\n\n### Meaning\n\nThe oil is hot.\n",
    ],
)
def test_headings_that_are_no_alarm(text):
    """Long sections, other headings, words before them, no meaning, and a meaning alone."""
    assert [] == see(text).of("indication")


def test_an_alarm_with_a_long_mitigation():
    """What is too long to recall is shown, not asked."""
    seen = see(ALARM.replace("Reduce power.", "Reduce power and then " * 30))

    assert ["What does OilHot mean?", "OilHot: what follows?"] == list(seen.prompts)
    assert "Mitigation" == seen.cards[0].extra[-1][0]


@pytest.mark.parametrize(
    ("headers", "heading"),
    [("LED | State", "Panel"), ("Horn | Cause | Fix", "Panel"), ("Code | Meaning", "Error codes"),
     ("Beep | Meaning", "Panel"), ("Hand signal | Meaning", "Panel")],
)  # fmt: skip
def test_more_headers(headers, heading):
    """Lights and sounds with their state or cause, and codes where the heading says errors."""
    row = " | ".join(["Solid green", "Ready to go", "Wait"][: headers.count("|") + 1])

    assert {"indication"} == {card.kind for card in see(table(headers, row, heading=heading)).cards}


def test_lights_in_a_list():
    """How a light looks is told by its words; alone they say nothing, so the heading stands with them."""
    seen = see("# Cue lights\n\n* Red — stand by\n* Green — curtain rises\n* both off: nothing happens\n")

    assert {
        "Red (Cue lights): what do you do?": ("stand by",),
        "Green (Cue lights): what does it mean?": ("curtain rises",),
        "What do both off (Cue lights) mean?": ("nothing happens",),
    } == seen.prompts


def test_an_alarm_in_paragraphs():
    """`Meaning:` and `Action:` under an alarm's heading are its meaning and its action."""
    seen = see("# Alarms\n\n## A01\n\n**Meaning:** drive fault\n\n**Action:** power off 2 min, then reset\n")

    assert {
        "What does A01 mean?": ("drive fault",), "A01: what do you do?": ("power off 2 min, then reset",)
    } == seen.prompts  # fmt: skip
