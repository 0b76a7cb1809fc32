"""The help of a finding leads to the cure: what it literally names is put into the note, and its card is made."""

import re

import pytest
from deck_kit import deck_of

ROWS = {
    "abbreviation": "| Abbreviation | What of it |\n| --- | --- |\n| BCU | bilge control unit |\n",
    "interlock": "| Function | Stopper |\n| --- | --- |\n| Starter | brake is set |\n",
    "consequence": "| If | Upshot |\n| --- | --- |\n| Belt slips | The fan slows down |\n",
    "supply": "| From | Goes along |\n| --- | --- |\n| Main bus | Plotter |\n",
    "setting": "| Control | Whither |\n| --- | --- |\n| Rudder lock | OFF |\n",
    "indication": "| Indication | Tale |\n| --- | --- |\n| BILGE HIGH | water above the floor |\n",
}
SENTENCES = {
    "interlock": "Unless it rains, this valve must stay shut, but not on Sundays.",
    "limit": "Somewhat near 12 of them is thought fine by most.",
    "supply": "Power for 3 of these is supplied somehow.",
}
WORDS = {
    "X is inhibited when Y": "Starter is inhibited when the brake is set.",
    "X cannot Y unless Z": "The starter cannot turn unless the brake is off.",
    "X only when Y": "The starter turns only when the brake is off.",
    "If X, Y": "If the belt slips, the fan slows down.",
    "X causes Y": "A slipping belt causes a slow fan.",
    "X → Y": "The belt slips → the fan slows down",
    "Oil pressure must not be more than 6 bar": "Oil pressure must not be more than 6 bar.",
    "Parameter | Maximum": "| Parameter | Maximum |\n| --- | --- |\n| Oil pressure | 6 bar |",
    "**Bus 1** feeds:": "**Bus 1** feeds:\n\n- Plotter\n- Heater",
    "From | Feeds": "| From | Feeds |\n| --- | --- |\n| Bus 1 | Plotter |",
    "**ABC** – words": "- **ABC** – actuator block control",
}
"""What the helps say a sentence may look like, with words of ours in it."""


def _help(folder, text, rule):
    _, findings = deck_of(folder, text)
    return next(found.help for found in findings if found.rule == rule)


@pytest.mark.parametrize("kind", ROWS)
def test_a_column_that_the_help_names_makes_the_card(tmp_path, kind):
    """Each name that it offers, in place of the header that nobody knows; and the same mapped in the record."""
    table = ROWS[kind]
    unknown = re.match(r"\| .* \| (.*) \|\n", table)[1]
    help = _help(tmp_path, "# Notes\n\n" + table, "unrecognised-table")
    whole = re.search(r", as in `([^`]+)`, or map", help)
    names = re.findall(r"`([^`]+)`", help.split(", as in")[0])
    written, _ = deck_of(tmp_path, "# Notes\n\n" + table.replace(table.split("\n")[0], f"| {whole[1]} |"))

    assert names
    assert written.cards, whole[1]
    for name in names:
        renamed, _ = deck_of(tmp_path, "# Notes\n\n" + table.replace(unknown, name))
        mapped, _ = deck_of(tmp_path, f"---\ncolumns:\n  {unknown}: {name}\n---\n\n# Notes\n\n{table}")

        assert renamed.cards, name
        assert [card.prompt for card in renamed.cards] == [card.prompt for card in mapped.cards], name


def test_a_table_of_phases_is_told_of_amounts_in_its_cells(tmp_path):
    """With an amount and its unit in each cell, it is read."""
    table = "# Notes\n\n| Parameter | Takeoff | Climb |\n| --- | --- | --- |\n| Torque | full | lots |\n"
    help = _help(tmp_path, table, "unrecognised-table")
    cured, _ = deck_of(tmp_path, table.replace("full", "95 %").replace("lots", "80 %"))

    assert help.endswith("write an amount with its unit in each cell")
    assert ["Torque limit at takeoff, in %?", "Torque limit in climb, in %?"] == [
        card.prompt for card in cured.cards if card.aspect == "value"
    ]


@pytest.mark.parametrize("kind", SENTENCES)
def test_a_form_that_the_help_names_makes_the_card(tmp_path, kind):
    """Each form in its backticks, with words put in."""
    help = _help(tmp_path, f"# Notes\n\n{SENTENCES[kind]}\n", "unread-sentence")
    forms = re.findall(r"`([^`]+)`", help)

    assert forms
    for form in forms:
        deck, _ = deck_of(tmp_path, f"# Notes\n\n{WORDS[form]}\n")

        assert deck.cards, form
