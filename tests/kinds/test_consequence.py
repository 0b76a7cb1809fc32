"""What follows from what."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.base.finding import Place
from recall.kinds.each.consequence import Consequence
from recall.kinds.model import Scope
from recall.kinds.prose.reading import read_text
from recall.kinds.prose.sentence import split_condition
from recall.notes.model import Text


def rows(headers, *lines):
    """A table from lines of cells."""
    cut = "|".join("---" for _ in headers.split("|"))
    return "\n".join(f"| {line} |" for line in (headers, cut, *lines)) + "\n"


def test_table(see):
    """A row asks what follows, what its indication and effect come from, and what is done."""
    seen = see(
        rows(
            "If | Then | Indication | Action",
            "The pump fails | Flow stops | PUMP light | Select the other pump",
        )
    )

    assert [] == seen.said
    assert [
        "effect | If the pump fails, what follows? | Flow stops",
        "cause | PUMP light; flow stops: what has happened? | The pump has failed",
        "action | If the pump fails, what do you do? | Select the other pump",
    ] == seen.lines
    assert (("Indication", "PUMP light"),) == seen.cards[0].extra


def test_a_condition_that_is_a_name(see):
    """A condition without a verb is put in front of the question."""
    seen = see(rows("Failure | Effect", "Loss of bus A | Flow stops"))

    assert "Loss of bus A: what follows?" == seen.cards[0].prompt


@pytest.mark.parametrize(
    "headers",
    [
        "Failure | Effect", "Failure mode | Effect", "Fault | Effect", "If | Then", "Failures | Effects",
        "Event | Result",
        "Condition | Consequence", "Malfunction | What happens", "When | What follows", "Cause | Effect",
        "Failure | Impact",
    ],
)  # fmt: skip
def test_effect_headers(see, headers):
    """Tables of failures and effects are read under their many names."""
    assert [("Flow stops",)] == see(rows(headers, "Pump failure | Flow stops")).answers("effect")


def test_columns_in_another_order(see):
    """`Effect | Indication | Failure` is a consequence."""
    seen = see(rows("Effect | Indication | Failure", "Flow stops | PUMP light | Pump seized"))

    assert [("Pump seized",)] == seen.answers("cause")


@pytest.mark.parametrize("headers", ["Condition | Action", "Problem | Solution", "Fault | Remedy", "If | Do"])
def test_action_headers(see, headers):
    """With an action alone, only the action is asked."""
    seen = see(rows(headers, "Valve sticks | Tap it"))

    assert ["action"] == [card.aspect for card in seen.cards]


@pytest.mark.parametrize(
    "headers",
    [
        "Symptom | Cause | Fix", "Alarm | Cause | Action", "Problem | Cause | Solution", "Fault | Cause | Action",
        "Step | Condition | Action", "Event | Action | Date", "Symptom | Likely cause | Fix",
    ],
)  # fmt: skip
def test_tables_of_other_kinds(see, headers):
    """Alarms with their causes, procedures and diaries are no consequences."""
    assert [] == see(rows(headers, "one | two | three")).lines


def test_a_cause_beside_the_effect_is_shown(see):
    """Where a table has failure, cause and effect, the cause is shown with the answer."""
    seen = see(rows("Failure | Cause | Effect", "Pump seized | Dirt | Flow stops"))

    assert [("Flow stops",)] == seen.answers("effect")
    assert (("Cause", "Dirt"),) == seen.cards[0].extra


@pytest.mark.parametrize(
    ("sentence", "lines"),
    [
        ("If the pump fails, flow stops.",
         ["effect | If the pump fails, what follows? | flow stops"]),
        ("When bus A is dead, the fan stops.",
         ["effect | When bus A is dead, what follows? | the fan stops"]),
        ("If the pump fails then flow stops.",
         ["effect | If the pump fails, what follows? | flow stops"]),
        ("If the current exceeds 1,000 A, the breaker (15 A, front) trips.",
         ["effect | If the current exceeds 1,000 A, what follows? | the breaker (15 A, front) trips"]),
        ("If the pump fails, flow stops, and the light comes on.",
         ["effect | If the pump fails, what follows? | flow stops, and the light comes on"]),
        ("If the oil gets hot, reduce power.",
         ["action | If the oil gets hot, what do you do? | reduce power"]),
        ("If the oil gets hot, check the cooler.",
         ["action | If the oil gets hot, what do you do? | check the cooler"]),
        ("If the oil gets hot, check valves open.",
         ["effect | If the oil gets hot, what follows? | check valves open"]),
        ("If speed exceeds 250 kt, the horn sounds.",
         ["effect | If speed exceeds 250 kt, what follows? | the horn sounds"]),
        ("When reduced power is set, the horn sounds.",
         ["effect | When reduced power is set, what follows? | the horn sounds"]),
        ("A clogged filter causes low flow.",
         ["effect | A clogged filter: what follows? | low flow"]),
        ("Loss of bus A results in a dead fan.",
         ["effect | Loss of bus A: what follows? | a dead fan"]),
        ("Oil pump fails → oil pressure drops → the engine seizes.",
         ["effect | If oil pump fails, what follows? | oil pressure drops",
          "effect | If oil pressure drops, what follows? | the engine seizes"]),
        ("Weak battery -> slow crank => hot start",
         ["effect | Weak battery: what follows? | slow crank",
          "effect | Slow crank: what follows? | hot start"]),
    ],
)  # fmt: skip
def test_sentences(see, sentence, lines):
    """The plain forms are read."""
    assert lines == see("- " + sentence).lines


@pytest.mark.parametrize(
    "sentence",
    [
        "If the bus, the pump or the fan fails, the light comes on.",
        "If the pump, once selected, fails, the light comes on.",
        "If the pressure drops, the heat rises, or the light comes on, shut the valve.",
        "If the pump fails, flow stops, but if bus A is alive, the fan runs.",
        "If the pump fails the light comes on.",
        "If the pump fails, flow stops. If bus A fails, the light comes on. The fan runs.",
        "If the pump fails, do this:",
        "If necessary, reduce power.",
        "If in doubt, go around.",
        "When possible, land.",
        "If installed, the fan runs.",
        "If you see the light, land.",
        "If the pump fails, see chapter 3.",
        "If the pump fails, is flow lost?",
        "If it is necessary, land.",
        "This causes low flow.",
        "The main cause is dirt.",
        "Common causes of failure",
        "Dirt never causes low flow.",
        "Dirt may cause low flow.",
        "A leak that causes low flow is dangerous.",
        "The report says dirt causes low flow, which is bad.",
        "It is dirt that causes low flow.",
        "File → Save As → PDF",
        "Settings → Display → Brightness",
        "A -> B",
        "v1.0 → v1.1",
        "`fn main() -> int with a body`",
        "EGLL → LFPG",
        "temperature => 50",
        "If the pump fails, then\n  - flow stops\n  - the light comes on",
        "If the pump fails, flow stops\n  - and so does the fan",
        "If the pump fails, check the following valves.",
        "When the pump stops and, once dry, is hot, wait.",
        "The tester prints the test results in plain text.",
        "Proxy2 → Origin (another one connects to it)",
        "When users give wrong paths the reader stops, rather than going on.",
        "When set to 1, the pump runs.",
        "If supplied with air, the pump runs.",
        "When opening this valve, the pump runs.",
        "If the pump is called here, it stops.",
        "If the pump fails, this valve opens.",
        "The names should stand for the parsed results in most places.",
        "Fire →",
        "→ fire goes on",
    ],
)
def test_sentences_left_alone(see, sentence):
    """Whatever isn't one of the plain forms, or might be cut in the wrong place, is no consequence."""
    assert [] == see("## Notes\n\n- " + sentence).lines


def test_a_leading_pronoun(see):
    """A leading pronoun takes the heading's subject."""
    seen = see("## TGT\n\n- If it is ever exceeded, shut the engine down.\n")

    assert ["action | If TGT is ever exceeded, what do you do? | shut the engine down"] == seen.lines


def test_an_effect_that_only_points_back_is_not_asked_from(see):
    """An effect that begins with a pronoun can be answered with, but not asked from; its indication can."""
    seen = see(rows("If | Then | Indication", "The pump fails | It stops the flow | PUMP light"))

    assert ["If the pump fails, what follows?", "PUMP light: what has happened?"] == [
        card.prompt for card in seen.cards
    ]


def test_what_nobody_observes_is_not_asked_from(see):
    """Without an indication, or with none, a failure is asked for what follows only."""
    rows_ = rows(
        "If | Then | Indication", "The pump fails | Flow stops | None", "The fan stops | It gets hot | "
    )

    assert ["effect", "effect"] == [card.aspect for card in see(rows_).cards]


@pytest.mark.parametrize(
    "row",
    [
        "The gust lock is left in | Levers stop | Levers jam",
        "One BETA light stays out | No reverse | BETA light out",
    ],
)
def test_what_is_known_is_not_looked_for(see, row):
    """What the crew did, or the signs say in the same words, isn't asked from them."""
    assert ["effect"] == [card.aspect for card in see(rows("If | Then | Indication", row)).cards]


def test_several_effects(see):
    """Several effects of one condition are a set, in a cell and over rows."""
    seen = see(rows("If | Then", "Bus A dies | Fan stops; pump stops", "Bus A dies | Horn sounds"))

    assert [("Fan stops", "pump stops", "Horn sounds")] == seen.answers("effect")
    assert ["effect"] == [card.aspect for card in seen.cards]


@pytest.mark.parametrize(
    ("one", "two"),
    [("Fan on", "Fan off"), ("Valve opens", "Valve never opens"), ("The fan stops", "The fan does not stop")],
)
def test_opposite_effects(see, one, two):
    """On and off, a word and its denial: a conflict, and neither is asked."""
    seen = see(rows("If | Then", f"Bus A dies | {one}", f"Bus A dies | {two}"))

    assert [(4, "conflicting-points")] == seen.said
    assert [] == seen.lines


def test_two_actions(see):
    """Two actions for one condition are a conflict."""
    seen = see(rows("Condition | Action", "Fire | Shut down", "Fire | Continue"))

    assert [(4, "conflicting-points")] == seen.said


@pytest.mark.parametrize("mark", ['"', "ditto", "Same as above", "〃"])
def test_ditto(see, mark):
    """A row of ditto marks goes on with the row above."""
    seen = see(rows("Condition | Action", "Fire | Shut down", f"{mark} | Land"))

    assert [("Shut down; Land",)] == seen.answers("action")
    assert [] == seen.said


def test_a_blank_condition(see):
    """A blank condition is the one above: what follows adds up. Below a blank row it is nobody's."""
    seen = see(rows("If | Then", "Bus A dies | Fan stops", " | Horn sounds", " | ", " | Fuse blows"))

    assert [("Fan stops", "Horn sounds")] == seen.answers("effect")
    assert [(6, "missing-answer")] == seen.said


@pytest.mark.parametrize("blank", ["", "-", "—", "N/A", "TBD", "?", "--", "see table 3"])
def test_missing_effect(see, blank):
    """A row without its effect is said; its action is still asked."""
    seen = see(rows("If | Then | Action", "Bus A dies | Fan stops | ", f"Bus B dies | {blank} | Land"))

    assert [(4, "missing-answer")] == seen.said
    assert [("Fan stops",)] == seen.answers("effect")
    assert [("Land",)] == seen.answers("action")


def test_none_is_an_answer(see):
    """`None` says that nothing follows."""
    assert [("None",)] == see(rows("If | Then", "Lamp fails | None")).answers("effect")


def test_empty_template(see):
    """A table with no answers at all gets one finding."""
    seen = see(rows("Failure | Effect | Action", "Pump | | ", "Fan | - | TBD"))

    assert [(3, "empty-template")] == seen.said


def test_a_row_with_too_many_cells(see):
    """A row with more cells than headers may be shifted: it is said, and makes no card."""
    seen = see(rows("If | Then", "Bus A dies | Fan stops", "Bus B | A | B"))

    assert [("Fan stops",)] == seen.answers("effect")
    assert [(4, "unrecognised-table")] == seen.said


def test_a_component_beside_its_failure(see):
    """Where one column gives the thing and another its failure, both name the point."""
    seen = see(
        rows("Component | Failure mode | Effect", "Pump A | Stuck | Flow stops", "Pump B | Stuck | Fan stops")
    )

    assert [("Flow stops",), ("Fan stops",)] == seen.answers("effect")
    assert "Pump A, Stuck: what follows?" == seen.cards[0].prompt


def test_a_condition_beside_a_failure(see):
    """A second condition parts the rows of one failure, and stands in the question."""
    seen = see(
        rows(
            "Failure | Phase | Action",
            "Engine failure | before V1 | Stop",
            "Engine failure | after V1 | Go on",
        )
    )

    assert [] == seen.said
    assert [
        "action | Engine failure (before V1): what do you do? | Stop",
        "action | Engine failure (after V1): what do you do? | Go on",
    ] == seen.lines


def test_rows_that_an_unknown_column_tells_apart(see):
    """Rows that differ in a column nobody knows are not joined as if they were one."""
    seen = see(rows("Failure | Variant | Effect", "Bus A | long | Fan stops", "Bus A | short | Horn sounds"))

    assert [] == seen.answers("effect")
    assert [(4, "conflicting-points")] == seen.said


def test_a_failed_thing_named_alone(see):
    """A condition that names only a thing is asked with the header's word."""
    assert (
        "Failure, Bus A: what follows?" == see(rows("Failure | Effect", "Bus A | Fan stops")).cards[0].prompt
    )


def test_a_question_never_says_its_answer(see):
    """Where the indication names the whole cause, it isn't asked from."""
    seen = see(rows("If | Then | Indication", "Pump failure | Low flow | Pump failure light"))

    assert ["effect"] == [card.aspect for card in seen.cards]


PIECES = [
    "the",
    "pump",
    "bus",
    "fails,",
    "is,",
    "stops",
    "or",
    "if",
    "when",
    "then",
    "→",
    "causes",
    "(a",
    "b)",
    "A",
    ".",
    ";",
]


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=14))
def test_an_answer_stands_in_its_sentence(words):
    """Whatever is read, each answer is a stretch of the sentence, and none is empty."""
    sentence = " ".join(words)
    read = read_text(Text(sentence, Place("note.md", 1)), Scope(), Consequence.sentences)

    assert all(claim.said and claim.said.casefold() in sentence.casefold() for claim in read.claims)


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.sampled_from(["the pump fails", "bus A", "or fan 2", "and it stops"]), min_size=1, max_size=5)
)
def test_halves_make_the_whole(pieces):
    """Condition and consequence, with the comma between them, are the whole sentence."""
    sentence = ", ".join(pieces)
    halves = split_condition(sentence)

    assert halves is None or sentence == ", ".join(halves)


def test_a_cell_says_what_to_ask(see):
    """A question before the answer is asked under the condition; words that only end in a question mark are none."""
    seen = see(
        rows(
            "If | Then | Action",
            "One alternator fails | What carries the survey bus? One unit carries it | Who is told? The operator",
            "Smoke appears | Fire? Perhaps | Masks ON",
        )
    )

    assert [
        "effect | If one alternator fails, what carries the survey bus? | One unit carries it",
        "action | If one alternator fails, who is told? | The operator",
        "effect | If smoke appears, what follows? | Fire? Perhaps",
        "action | If smoke appears, what do you do? | Masks ON",
    ] == seen.lines


def test_rows_that_ask_differently_are_no_set(see):
    """Two answers to two questions never stand under one of them."""
    seen = see(
        rows(
            "If | Then",
            "The pump fails | Which light comes on? BLUE",
            "The pump fails | What stops? The flow",
        )
    )

    assert [] == seen.answers("effect")
    assert [(4, "conflicting-points")] == seen.said


def test_an_order_in_a_sentence_is_an_action(see):
    """What a sentence tells to do isn't asked as what follows."""
    seen = see("If the two receivers disagree, use neither on an approach.\n")

    assert "If the two receivers disagree, what do you do?" == seen.cards[0].prompt
