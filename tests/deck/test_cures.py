"""The help of a finding leads to the cure: what it literally names is put into the note, and its card is made."""

import re
from functools import cache
from pathlib import Path

import pytest
from deck_kit import deck_of

from recall.deck.read import read_deck
from recall.deck.source import find_sources

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


LIMITS = "| Parameter | Minimum | Maximum |\n| --- | --- | --- |\n"
CURES = {
    "unread-sentence: give it a paragraph": (
        "The hull is white. The winch is inhibited when the door is open.",
        "The hull is white.\n\nThe winch is inhibited when the door is open.",
    ),
    "unread-sentence: put it under a heading such as `Memory items`": (
        "## Smoke\n\n**Close the valve. Stop the pump.**",
        "## Smoke: Memory items\n\n**Close the valve. Stop the pump.**",
    ),
    "unread-sentence: write them as a numbered list, a step a line": (
        "## Smoke: Memory items\n\n**Close the valve**\n**Stop the pump**\nCall the bridge",
        "## Smoke: Memory items\n\n1. **Close the valve**\n2. **Stop the pump**\n3. Call the bridge",
    ),
    "unread-sentence: write what it says where it belongs": (
        "Fine weather.[^1]\n\n[^1]: The pump trips after 5 s.",
        "Fine weather.\n\nThe pump trips after 5 s.",
    ),
    "unrecognised-list: put a heading above them": (
        "1. Set the brake\n2. Stop the pump",
        "# Stopping\n\n1. Set the brake\n2. Stop the pump",
    ),
    "unrecognised-list: put the list under a heading such as `Terms`": (
        "ABC\n: actuator block control\n\ngirting\n: being pulled over by the tow",
        "# Terms\n\nABC\n: actuator block control\n\ngirting\n: being pulled over by the tow",
    ),
    "unrecognised-list: write abbreviations as terms": (
        "actuator block control\n: it holds the valves",
        "ABC\n: actuator block control",
    ),
    "unrecognised-list: write each item as `Throttle ... IDLE`": (
        "# Stop\n\n- [ ] paint of the throttle\n- [ ] mixture of it",
        "# Stop\n\n- Throttle ... IDLE\n- Mixture ... CUT OFF",
    ),
    "unrecognised-list: write steps as orders or positions": (
        "# Reefing\n\n1. Blue rope\n2. Red rope",
        "# Reefing\n\n1. Set the blue rope\n2. Gear UP",
    ),
    "unrecognised-list: write steps as orders or positions (… `In this order:`": (
        "# Reefing\n\n1. Blue rope\n2. Red rope",
        "# Reefing\n\nIn this order:\n\n1. Blue rope\n2. Red rope",
    ),
    "missing-answer: write what it stands for": (
        "# Terms\n\n- XTE: see cross-track error\n- ETA: expected time of arrival",
        "# Terms\n\n- XTE: cross-track error\n- ETA: expected time of arrival",
    ),
    "unrecognised-list: take the fence away": (
        "# Stopping\n\n```\n1. Set the brake\n2. Stop the pump\n```",
        "# Stopping\n\n1. Set the brake\n2. Stop the pump",
    ),
    "unrecognised-list: write what the step is in its own line": (
        "# Stopping\n\n1. Set the brake\n2. Stop:",
        "# Stopping\n\n1. Set the brake\n2. Stop the pump",
    ),
    "unrecognised-table: give the row of dashes as many cells": (
        "| If | Then |\n| --- |\n| Belt slips | Fan slows |",
        "| If | Then |\n| --- | --- |\n| Belt slips | Fan slows |",
    ),
    "unrecognised-table: write a `|` inside a cell as `\\|`": (
        "| If | Then |\n| --- | --- |\n| Belt | slips | Fan slows |",
        "| If | Then |\n| --- | --- |\n| Belt \\| slips | Fan slows |",
    ),
    "unrecognised-table: give its amounts a table of their own": (
        "| Sensor | Range | Accuracy |\n| --- | --- | --- |\n| Oxygen | 0–120 % | ± 2 % |\n| Level | 1–9 m | |",
        "| Parameter | Maximum |\n| --- | --- |\n| Fault of the oxygen sensor | 2 % |",
    ),
    "unrecognised-table: its columns are `": (
        "| Code | Meaning |\n| --- | --- |\n| errno | no such file |",
        "| Abbreviation | Meaning |\n| --- | --- |\n| NSF | no such file |",
    ),
    "unrecognised-table: write the number with its unit, or name the table's columns": (
        "| | |\n| --- | --- |\n| Length | 12.4 m |\n| Beam | 3.9 m |\n| Flag | blue |",
        "| Parameter | Value |\n| --- | --- |\n| Length | 12.4 m |\n| Beam | 3.9 m |\n| Draught | 2 m |",
    ),
    "unrecognised-table: write its own name above it (`Unit 2:`), and each row in full": (
        "Unit 2 is the same except:\n\n| Parameter | Maximum |\n| --- | --- |\n| Oil temperature | 90 °C |",
        "Unit 2:\n\n| Parameter | Maximum |\n| --- | --- |\n| Oil temperature | 90 °C |",
    ),
    "unrecognised-table: fill in the answer": (
        "| Sieve | Max speed (rpm) | Note |\n| --- | --- | --- |\n| K4 | 310 | |\n| K9 | | scrapped |",
        "| Sieve | Max speed (rpm) | Note |\n| --- | --- | --- |\n| K4 | 310 | |\n| K9 | 280 | scrapped |",
    ),
    "unrecognised-table: write what to do in two columns": (
        "| Parameter | Min | Max | If exceeded |\n| --- | --- | --- | --- |\n| Feed | 2 bar | 6 bar | Stop |",
        "| Parameter | Min | Max | If below | If above |\n| --- | --- | --- | --- | --- |\n"
        "| Feed | 2 bar | 6 bar | Wait | Stop |",
    ),
    "unread-amount: write a number with its unit, a range": (
        f"{LIMITS}| Supply | 0 | VDD + 1 V |",
        f"{LIMITS}| Supply | 0 V | 6 V |",
    ),
    "unread-amount: give each amount its own row": (
        "| Parameter | Limit |\n| --- | --- |\n| Va | 113 kt at 900 kg; 98 kt at 700 kg |",
        "| Parameter | Limit |\n| --- | --- |\n| Va at 900 kg | 113 kt |\n| Va at 700 kg | 98 kt |",
    ),
    "unread-amount: write `40 s on / 60 s off`": (
        "| Parameter | Limit |\n| --- | --- |\n| Starter | 20 s / 4 min |",
        "| Parameter | Limit |\n| --- | --- |\n| Starter | 20 s on / 4 min off |",
    ),
    "missing-answer: write the number with its unit": (
        f"{LIMITS}| Oil pressure | TBD | 9 bar |",
        f"{LIMITS}| Oil pressure | 2 bar | 9 bar |",
    ),
    "missing-answer: repeat the parameter in each row": (
        f"{LIMITS}| Oil pressure | 2 bar | |\n| | 3 bar | 9 bar |",
        f"{LIMITS}| Oil pressure | 2 bar | |\n| Oil pressure | | 9 bar |",
    ),
    "missing-answer: fill in the meaning": (
        "| Abbreviation | Meaning |\n| --- | --- |\n| ABC | |\n| ETA | expected arrival |",
        "| Abbreviation | Meaning |\n| --- | --- |\n| ABC | actuator block control |\n| ETA | expected arrival |",
    ),
    "limit-without-unit: write the unit behind the number": (
        f"{LIMITS}| Oil temperature | | 90 |",
        "| Parameter | Maximum, °C |\n| --- | --- |\n| Oil temperature | 90 |",
    ),
}  # fmt: skip
"""Rule and the beginning of a help → a note that raises it, and the same as the help says it."""


@pytest.mark.parametrize("said", CURES)
def test_a_cure_makes_its_card(tmp_path, said):
    """The help is given, and the note that follows it has new cards and no such finding."""
    rule, _, cure = said.partition(": ")
    before, after = CURES[said]
    faulty, findings = deck_of(tmp_path, f"{before}\n")
    helps = [found.help for found in findings if found.rule == rule]
    cured, left = deck_of(tmp_path, f"{after}\n")

    assert any(help.startswith(cure.partition(" (…")[0]) for help in helps), helps
    assert {card.prompt for card in cured.cards} - {card.prompt for card in faulty.cards}
    assert rule not in [found.rule for found in left]


TRIED = (
    "name a column ",
    "write it as one sentence ",
    "write a sentence such as ",
    "write a list of the loads ",
)
"""Helps whose forms the tests above put into a note."""
TOP = Path(__file__).parents[2]


@cache
def _findings():
    """All that the notes of the repository raise."""
    notes = [*sorted((TOP / "decks").iterdir()), *sorted((TOP / "tests" / "cases").glob("*.md"))]
    return [found for path in notes for source in find_sources(path) for found in read_deck(source)[1]]


@pytest.mark.parametrize("rule", ["unread-sentence", "unrecognised-list", "unrecognised-table"])
def test_every_cure_that_the_cases_meet_is_tried(rule):
    """Of what isn't read: no help that nobody has followed."""
    known = [name.partition(": ")[2].partition(" (…")[0] for name in CURES if name.startswith(rule)]
    helps = {found.help for found in _findings() if found.rule == rule}

    assert helps
    assert [] == sorted(help for help in helps if not help.startswith((*TRIED, *known)))


def test_a_grid_is_told_of_its_quantity_and_unit(tmp_path):
    """Under a heading that names both, each cell is asked under its two conditions."""
    table = "# Roll\n\n| Weight | 0 °C | 15 °C |\n| --- | --- | --- |\n| 2000 kg | 310 | 340 |\n"
    help = _help(tmp_path, table, "unrecognised-table")
    cured, _ = deck_of(tmp_path, table.replace("Roll", "Take-off distance (m)"))

    assert help.endswith("name its quantity above it, with the unit: `Take-off distance (m)`")
    assert ["310 m", "340 m"] == [card.answer.text for card in cured.cards]
