"""What sentences say: laws of the cut, and lists of which nothing may be made."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from note_kit import see

from recall.base.finding import Place
from recall.kinds.model import Scope
from recall.kinds.prose.reading import read_text
from recall.kinds.registry import KINDS
from recall.notes.model import Text

FORMS = tuple(form for kind in KINDS for form in kind.sentences)
EXAMPLES = json.loads(
    (Path(__file__).parents[1] / "notes" / "data" / "commonmark-0.31.2.json").read_text(encoding="utf-8")
)

THINGS = ["The gate", "Pump 2", "the boom", "a diver", "No vehicle", "Weight on the cradle", "the siren"]
LEADS = [
    "is inhibited while", "cannot open unless", "must be shut before", "is not available below", "only when",
    "is locked out for", "prevents", "from moving", "may run", "is down", "stops", "35 V", "9 s", "clears",
]  # fmt: skip
TAILS = [
    ", except at night",
    ", but not in test mode",
    ", unless the key is in",
    "",
    " and it rains",
    ", because",
]


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.sampled_from(THINGS + LEADS), min_size=2, max_size=7), st.sampled_from(TAILS), st.booleans()
)
def test_question_and_answer_make_the_whole_sentence(words: list[str], tail: str, leading: bool) -> None:
    """A sentence with a gap loses nothing: exceptions stand in the question or in the answer."""
    sentence = ("Neither " if leading else "") + " ".join(words) + tail
    said = read_text(Text(sentence + ".", Place("note.md", 1)), Scope(), FORMS)

    for claim in said.claims:
        if claim.form.ask == "gap":
            assert sentence == claim.stem.replace("…", claim.said)
            assert sentence == claim.back.replace("…", claim.subject)


def test_a_turned_sentence_says_the_same() -> None:
    """A condition in front is asked as if it stood behind."""
    ahead = see("While the boom is out, the gate cannot move.\n")
    behind = see("The gate cannot move while the boom is out.\n")

    assert 1 == len(ahead.cards)
    assert [card.id for card in behind.cards] == [card.id for card in ahead.cards]


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("Radio control is not allowed in fog, except for the paddles.", "except for the paddles"),
        ("The crane is locked out below 3 °C, but not in test mode.", "but not in test mode"),
        ("The winch is inhibited at night, unless the lamps are lit.", "unless the lamps are lit"),
        ("Do not run the pump dry, except in a fire, while the valve is open.", "except in a fire"),
        ("If the fan stops, the hood fills, unless the door is open.", "unless the door is open"),
    ],
)
def test_an_exception_is_in_the_question_or_the_answer_or_the_sentence_is_told(
    sentence: str, words: str
) -> None:
    """It never goes missing."""
    seen = see(sentence + "\n")

    assert all(words in card.prompt + " ".join(card.answer.texts) for card in seen.cards)
    assert seen.cards or ["unread-sentence"] == [said.rule for said in seen.findings]


@pytest.mark.parametrize(
    "example",
    [one for one in EXAMPLES if one["section"] in ("Lists", "List items")],
    ids=lambda one: str(one["example"]),
)
def test_lists_that_say_nothing_make_nothing(example: dict[str, str]) -> None:
    """The specification's own lists (`- foo`, `1. one`) hold no knowledge: no card, and never an error."""
    seen = see("# Facts\n\n" + example["markdown"])

    assert [] == seen.cards
    assert {"note", "warning"} >= {said.severity for said in seen.findings}


def test_one_bullet_that_is_read_still_names_the_others() -> None:
    """One finding a list, with the words and the lines of all that isn't read."""
    seen = see(
        "# Gate\n\n- The gate is inhibited while the boom is out.\n- It is green.\n- Ada painted it.\n"
    )
    (said,) = seen.findings

    assert 1 == len(seen.cards)
    assert (3, "unrecognised-list") == (said.place.line, said.rule)
    assert "2 of 3 items" in said.message
    assert all(words in said.message for words in ("`It is green.` (line 4)", "`Ada painted it.` (line 5)"))


@pytest.mark.parametrize(
    ("left", "cure"),
    [
        ("The gate must be painted.", "- The gate is inhibited while the boom is out.\n"),
        ("Pressure 6 bar at most, they say.", "- Oil pressure: max 6 bar\n- Water pressure: max 3 bar\n"),
        ("Red → stop, green → go.", "The valve sticks → the tank fills\n"),
        ("**Pull the fire handle at once.**", "Memory item:\n\n**Pull the fire handle at once.**\n"),
    ],
)
def test_the_cure_that_is_named_works(left: str, cure: str) -> None:
    """What isn't read is told, and written as the help says it makes its card."""
    before, after = see(f"# Deck\n\n{left}\n"), see(f"# Deck\n\n{cure}")

    assert ([], ["unread-sentence"]) == (before.cards, [said.rule for said in before.findings])
    assert after.cards
