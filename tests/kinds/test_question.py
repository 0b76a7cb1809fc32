"""Headings that ask."""

import pytest


def test_a_question_owns_its_text(see):
    """A heading that ends in a question mark is asked as it stands; its text, lists and all, is the answer."""
    seen = see(
        "# Fuel\n\n## Why is there a feeder?\n\nIt stays full.\n\n- in a bank\n- in a climb\n\n## Other\n\nText.\n"
    )

    assert [("It stays full.\n\n- in a bank\n- in a climb",)] == seen.answers("answer")
    assert ("Why is there a feeder?", ("Fuel",), 3) == (
        seen.cards[0].prompt,
        seen.cards[0].topic,
        seen.cards[0].line,
    )


def test_tables_inside_are_the_answer(see):
    """A table under a question makes no points of its own."""
    seen = see("## What fails?\n\n| If | Then |\n| --- | --- |\n| Bus A dies | Fan stops |\n")

    assert ["answer"] == [card.aspect for card in seen.cards]


def test_a_subheading_belongs_to_it(see):
    """A question owns its text down to the next heading of its level."""
    seen = see("## What fails?\n\nThe fan.\n\n### Later\n\nThe pump.\n")

    assert [("The fan.\n\nLater\n\nThe pump.",)] == seen.answers("answer")


def test_a_title_over_sections_asks_nothing(see):
    """A note called `What if?` is a note: its sections are read, and it is their topic."""
    seen = see("# What if?\n\nIn short.\n\n## Why is there a feeder?\n\nIt stays full.\n")

    assert [("Why is there a feeder?", ("What if?",))] == [(card.prompt, card.topic) for card in seen.cards]


@pytest.mark.parametrize(
    ("body", "form", "answer"),
    [
        ("Amber.", "words", "Amber"),
        ("Every hour.", "words", "Every hour"),
        ("40 kt.", "number", "40 kt"),
        ("3", "number", "3"),
        ("About 40 kt.", "prose", "About 40 kt."),
        ("Between 3 and 4 min.", "prose", "Between 3 and 4 min."),
        ("Yes, by hand.", "prose", "Yes, by hand."),
        ("The engine drinks from its feeder alone.", "prose", "The engine drinks from its feeder alone."),
        ("- One\n- Two", "prose", "- One\n- Two"),
    ],
)
def test_forms(see, body, form, answer):
    """One figure or a few words are typed, all else is revealed."""
    card = see(f"## Which one?\n\n{body}\n").cards[0]

    assert (form, (answer,)) == (card.answer.form, card.answer.texts)


@pytest.mark.parametrize("body", ["", "TBD", "-", "t.b.d.", "N/A", "?"])
def test_missing_answer(see, body):
    """A question without an answer makes no card and one finding at its heading."""
    seen = see(f"# A\n\n## What now?\n\n{body}\n\n## Next\n\nText.\n")

    assert [] == seen.lines
    assert [(3, "missing-answer")] == seen.said


def test_numbers_of_headings_are_no_part_of_it(see):
    """A heading's number is left out of the question."""
    assert "What now?" == see("## 3.2 What now?\n\nNothing at all.\n").cards[0].prompt


def test_an_id(see):
    """An id given in the heading names the question."""
    one = see("## What now? {#next}\n\nNothing at all.\n").cards[0]
    two = see("## What else? {#next}\n\nNothing at all.\n").cards[0]

    assert one.id == two.id


@pytest.mark.parametrize("heading", ["What now", "?", "??", "What? Now!"])
def test_no_questions(see, heading):
    """A heading without a question is none."""
    assert [] == see(f"## {heading}\n\nNothing at all here.\n").lines
