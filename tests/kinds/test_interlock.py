"""What is inhibited, what is required, and how that is overridden."""

import pytest


def rows(*lines, headers="Function | Inhibited when | Requires | Override"):
    """A table of interlocks."""
    cut = "|".join("---" for _ in headers.split("|"))
    return "\n".join(f"| {line} |" for line in (headers, cut, *lines)) + "\n"


def test_table(see):
    """Each column asks its own question."""
    seen = see(rows("Stick pusher | Airspeed above 120 kt | Both vanes heated | PUSHER switch"))

    assert [] == seen.said
    assert [
        "inhibited-by | Which condition inhibits the stick pusher? | Airspeed above 120 kt",
        "requires | What does the stick pusher require? | Both vanes heated",
        "override | Which override, if any, does the interlock on the stick pusher have? | PUSHER switch",
    ] == seen.lines


@pytest.mark.parametrize(
    "headers",
    [
        "Function | Inhibited when",
        "System | Inhibited by",
        "Item | Inhibit conditions",
        "Equipment | Locked out when",
        "Inhibited | Function",
    ],
)
def test_inhibit_headers(see, headers):
    """Other names for the same columns are read, in either order."""
    cells = "Fuel dump | Flaps up" if not headers.startswith("Inhibited |") else "Flaps up | Fuel dump"
    seen = see(rows(cells, headers=headers))

    assert [("Flaps up",)] == seen.answers("inhibited-by")


@pytest.mark.parametrize(
    "header", ["Requires", "Prerequisites", "Available only when", "Permissive", "Needs"]
)
def test_require_headers(see, header):
    """Other names for what a function requires are read."""
    seen = see(rows("Starter | Lever at idle", headers=f"Function | {header}"))

    assert [("Lever at idle",)] == seen.answers("requires")


@pytest.mark.parametrize(
    ("sentence", "aspect", "prompt", "answer"),
    [
        ("The autopilot is inhibited when the shaker is on.", "inhibited-by",
         "Complete: “The autopilot is inhibited when …”", "the shaker is on"),
        ("Both pumps are inhibited while the valve is shut", "inhibited-by",
         "Complete: “Both pumps are inhibited while …”", "the valve is shut"),
        ("The laser is inhibited unless the turret looks down.", "requires",
         "Complete: “The laser is inhibited unless …”", "the turret looks down"),
        ("The engine cannot be started unless the lever is at idle.", "requires",
         "Complete: “The engine cannot be started unless …”", "the lever is at idle"),
        ("The door will not open until the cabin is at 0.2 psi.", "requires",
         "Complete: “The door will not open until …”", "the cabin is at 0.2 psi"),
        ("The pump can't run without No. 1 bus.", "requires",
         "Complete: “The pump can't run without …”", "No. 1 bus"),
        ("Transfer only when both feeders are full.", "requires",
         "Complete: “Transfer only when …”", "both feeders are full"),
        ("No engine start without external power.", "requires",
         "Complete: “No engine start without …”", "external power"),
        ("There is no heating without bleed air.", "requires",
         "Complete: “There is no heating without …”", "bleed air"),
        ("Note: the hatch cannot open unless the bilge is dry.", "requires",
         "Complete: “The hatch cannot open unless …”", "the bilge is dry"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("before", ["", "- "])
def test_sentences(see, sentence, aspect, prompt, answer, before):
    """The plain forms are read, as a bullet and as a paragraph of one sentence."""
    assert [f"{aspect} | {prompt} | {answer}"] == see(before + sentence).lines


@pytest.mark.parametrize(
    "sentence",
    [
        "The pump is not inhibited when the valve is open.",
        "The pump is inhibited when the valve is shut. It restarts by itself.",
        "The pump is inhibited when:",
        "The pump is inhibited when the valve is shut and the fan is inhibited when the door is open.",
        "The pump, when hot, is inhibited while the valve is shut.",
        "A valve that cannot open until it is warm is a fault.",
        "Ensure the valve cannot open until the pressure drops.",
        "The valve will not close until the lever moves, and the light stays on.",
        "You cannot start unless the door is shut.",
        "Do not use the pump only when it is cold.",
        "Only when the door is shut.",
        "Is the pump inhibited when the valve is shut?",
        "The valve can open unless the pressure is high.",
        "The pump is inhibited by the valve.",
        "If the door is open, the pump cannot run unless the key is in.",
        "The pump is inhibited when (the valve is shut.",
    ],
)
def test_sentences_left_alone(see, sentence):
    """Whatever isn't one whole plain sentence is no interlock."""
    seen = see(sentence)

    assert [] == [card for card in seen.cards if card.kind == "interlock"]


def test_a_paragraph_in_bold(see):
    """A paragraph wholly in bold is to be recited, and no interlock."""
    assert [] == see("**The pump is inhibited when the valve is shut.**").lines


@pytest.mark.parametrize("pronoun", ["It is", "They are", "This is"])
def test_a_leading_pronoun(see, pronoun):
    """A leading pronoun takes the heading's subject."""
    seen = see(f"## 3.2 Gust lock\n\n- {pronoun} inhibited when the engines run.\n")

    assert "Gust lock" in seen.cards[0].subject
    assert f"Complete: “Gust lock {pronoun.split()[1]} inhibited when …”" == seen.cards[0].prompt


def test_this_and_its_noun(see):
    """`This valve` may be any: it is told, and not asked."""
    seen = see("## Crossfeed valve\n\n- This valve cannot open unless the pumps run.\n")

    assert ([], [(3, "unrecognised-list")]) == (seen.cards, seen.said)


@pytest.mark.parametrize("heading", ["Limitations", "General notes", "2 Interlocks"])
def test_a_pronoun_under_a_heading_that_names_nothing(see, heading):
    """Where the heading names no thing, a leading pronoun means nothing that could be asked."""
    assert [] == see(f"## {heading}\n\n- It is inhibited when the engines run.\n").lines


@pytest.mark.parametrize(
    "cell", ["Flaps up; gear down", "Flaps up<br>gear down", "1. Flaps up<br>2. gear down"]
)
def test_several_conditions_in_a_cell(see, cell):
    """Conditions parted by `;` or a line end are a set."""
    card = see(rows(f"Fuel dump | {cell} | | ")).cards[0]

    assert ("Flaps up", "gear down") == card.answer.texts
    assert "set" == card.answer.form
    assert "Which 2 conditions inhibit the fuel dump?" == card.prompt


@pytest.mark.parametrize(
    "cell", ["Flaps up; and gear down", "Flaps up<br>and gear down", "Flaps up (gear;<br>down)"]
)
def test_a_condition_that_hangs_together(see, cell):
    """Conditions tied by a word, or by a bracket, stay one."""
    assert 1 == len(see(rows(f"Fuel dump | {cell} | | ")).cards[0].answer.texts)


def test_rows_of_one_function(see):
    """Rows of one function are joined."""
    seen = see(rows("Starter | Lever up | | ", "Starter | Door open | | KEY", "Pump | Dry | | "))

    assert [("Lever up", "Door open"), ("Dry",)] == seen.answers("inhibited-by")
    assert [] == seen.said


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Valve open | | ", "Valve not open | | "),
        ("Valve opens | | ", "Valve doesn't open | | "),
        ("Valve open | | ", "Valve closed | | "),
        ("Valve open | | KEY", "Door open | | CODE"),
    ],
)
def test_rows_that_deny_each_other(see, first, second):
    """Rows of one function that can't both hold are a conflict, and aren't asked."""
    seen = see(rows("Pump | " + first, "Pump | " + second))

    assert [(4, "conflicting-points")] == seen.said
    assert [] == seen.lines


def test_left_and_right_are_no_contradiction(see):
    """Two sides are two things, not two states of one."""
    seen = see(rows("Pump | Left valve open | | ", "Pump | Right valve open | | "))

    assert [("Left valve open", "Right valve open")] == seen.answers("inhibited-by")


@pytest.mark.parametrize("cells", [" | | ", "- | — | N/A", "TBD | | ", "✓ | | ", "Yes | | "])
def test_missing_condition(see, cells):
    """A row without a condition makes no card; a tick is no condition."""
    seen = see(rows("Pump | Dry | | ", f"Starter | {cells}"))

    assert ["Pump"] == [card.subject for card in seen.cards]
    assert [(4, "missing-answer")] == seen.said


def test_a_system_beside_its_function(see):
    """Two functions of two systems are two points, though they have one name."""
    headers = "System | Function | Inhibited when"
    seen = see(rows("APU | Start | Door open", "Engine | Start | Lever up", headers=headers))

    assert [("Door open",), ("Lever up",)] == seen.answers("inhibited-by")
    assert "What inhibits “APU, Start”?" == seen.cards[0].prompt


def test_ticks_make_no_interlocks(see):
    """A column that says whether something is required is no column of conditions."""
    assert [(1, "unrecognised-table")] == see(rows("speed | Yes", headers="Item | Required")).said


def test_an_override_alone(see):
    """A row that says only how it is overridden is asked for that."""
    seen = see(rows("Autopilot | | | Not allowed"))

    assert [("Not allowed",)] == seen.answers("override")


def test_critical(see):
    """A bold function among others is critical."""
    seen = see(rows("**Starter** | Lever up | | ", "Pump | Dry | | "))

    assert [True, False] == [card.critical for card in seen.cards]


def test_case_and_order_are_rewordings(see):
    """The hash of a set is the same for another case, other blanks, another order."""
    one = see(rows("Dump | Flaps up; gear  down | | ")).cards[0]
    two = see(rows("Dump | Gear down<br>flaps UP. | | ")).cards[0]

    assert one.answer_hash == two.answer_hash


def test_a_negation_is_a_change(see):
    """The hash of an answer differs by a single `not`."""
    one = see("- The pump is inhibited when the valve is open.").cards[0]
    two = see("- The pump is inhibited when the valve is not open.").cards[0]

    assert one.id == two.id
    assert one.answer_hash != two.answer_hash


@pytest.mark.parametrize(
    "sentence",
    [
        "Use it only when needed.",
        "There is no reason to fly without a plan.",
        "He will not go unless she goes.",
        "The crew cannot stop it unless the valve is shut.",
    ],
)
def test_a_sentence_about_no_function_is_left_alone(see, sentence):
    """Persons, orders, and words that stand for something said before make no interlock."""
    assert [] == see(f"# Fuel pump\n\n- {sentence}\n").lines


def test_use_of_something_is_a_function(see):
    """`Use of …` names a function."""
    seen = see("- Use of reverse is inhibited when the gear is up.\n")

    assert ["inhibited-by | Complete: “Use of reverse is inhibited when …” | the gear is up"] == seen.lines


def test_a_first_column_of_any_name(see):
    """Beside a plain `Blocked by` the first column names the functions, whatever it is called."""
    seen = see("| Hoist | Blocked by | Release |\n|---|---|---|\n| Drum 2 | pit open | close the pit |\n")

    assert [
        "inhibited-by | What inhibits drum 2? | pit open",
        "override | Which release, if any, does the interlock on drum 2 have? | close the pit",
    ] == seen.lines


@pytest.mark.parametrize(
    ("header", "asked"),
    [
        ("Reset", "Which reset, if any, does the interlock on the winch have?"),
        ("Bypass", "Which bypass, if any, does the interlock on the winch have?"),
        ("Override", "Which override, if any, does the interlock on the winch have?"),
    ],
)
def test_ways_round_it(see, header, asked):
    """A reset, a bypass and an override are asked by their own name."""
    seen = see(f"| Function | Inhibited when | {header} |\n|---|---|---|\n| Winch | slack rope | KEY |\n")

    assert asked == seen.cards[1].prompt


def test_what_says_none_is_shown(see):
    """No override is shown with the condition, and not asked."""
    seen = see("| Function | Inhibited when | Override |\n|---|---|---|\n| Winch | slack rope | None |\n")

    assert [("inhibited-by", (("Override", "None"),))] == [(card.aspect, card.extra) for card in seen.cards]


@pytest.mark.parametrize(
    ("sentence", "asked", "answer"),
    [
        ("Balancing only runs when a cell is above 3.4 V.", "Balancing only runs when …", "a cell is above 3.4 V"),
        ("The truck never drives while a glider is on the cable.", "The truck never drives while …",
         "a glider is on the cable"),
        ("Burner start is prevented while the damper is closed.", "Burner start is prevented while …",
         "the damper is closed"),
        ("The hoist needs the gate closed.", "The hoist needs …", "the gate closed"),
    ],
)  # fmt: skip
def test_more_everyday_sentences(see, sentence, asked, answer):
    """What only happens when, never while, or needs a thing in its place."""
    seen = see("# Hall\n\n- " + sentence)

    assert [(f"Complete: “{asked}”", (answer,))] == [(card.prompt, card.answer.texts) for card in seen.cards]


@pytest.mark.parametrize(
    "sentence", ["This needs work.", "The build requires Python 3.", "He never knows when to stop."]
)
def test_needs_that_are_no_interlocks(see, sentence):
    """A need of no state is left alone."""
    assert [] == see("# Hall\n\n- " + sentence).cards


def test_a_rare_none_is_asked(see):
    """Where most functions can be overridden, the one that can't is the exception worth knowing."""
    rows_ = (
        "| Winch | slack rope | KEY |\n| Drum | pit open | BYPASS switch |\n| Crane | curtain down | none |\n"
    )
    seen = see("| Function | Inhibited when | Override |\n|---|---|---|\n" + rows_)

    assert [("KEY",), ("BYPASS switch",), ("none",)] == seen.answers("override")


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("Synchrophaser", "What inhibits the synchrophaser?"),
        ("Weather radar transmission", "What inhibits weather radar transmission?"),
        ("Amber chimes", "What inhibits the amber chimes?"),
        ("FUEL LOW chime", "What inhibits the FUEL LOW chime?"),
        ("Moving a fire handle", "What inhibits moving a fire handle?"),
        ("Water takeoff", "What inhibits water takeoff?"),
        ("Stall warning", "What inhibits the stall warning?"),
        ("Hatch opening afloat", "What inhibits hatch opening afloat?"),
        ("Generator-assisted start", "What inhibits the generator-assisted start?"),
        ("APU, start", "What inhibits “APU, start”?"),
    ],
)
def test_a_name_stands_in_a_sentence_as_it_is_said(see, name, asked):
    """With its article, unless it is something that is done or goes on."""
    seen = see(
        rows(name, headers="Function | Inhibited when").replace(f"| {name} |", f"| {name} | Gear down |")
    )

    assert asked == seen.cards[0].prompt


def test_a_rule_forbids(see):
    """What a rule forbids is not inhibited."""
    seen = see(rows("Aerobatic flight | Below 1,500 ft; over a town", "Turns | In cloud",
                    headers="Operation | Forbidden when"))  # fmt: skip

    assert ["When is aerobatic flight forbidden? Name 2 cases.", "When are the turns forbidden?"] == [
        card.prompt for card in seen.cards
    ]


def test_one_and_several_require(see):
    """A verb goes with its subject."""
    seen = see(rows("Transponder replies | Airspeed above 40 kt", "Yaw damper | AC bus alive",
                    headers="Function | Requires"))  # fmt: skip

    assert ["What do transponder replies require?", "What does the yaw damper require?"] == [
        card.prompt for card in seen.cards
    ]
