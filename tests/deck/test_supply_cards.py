"""Questions and findings that a deck's supplies make together, and the facts of the demo aircraft."""

from pathlib import Path

import pytest
from demo_decks import demo
from supply_kit import asked, deck_of

from recall.base.text import key_form
from recall.deck.supply import Supplies
from recall.deck.supply_cards import MOST_MEMBERS
from recall.deck.supply_tree import outcomes

SKERRY = Path(__file__).parents[2] / "decks" / "skerry"


@pytest.fixture(scope="module")
def skerry():
    """The demo aircraft."""
    return demo()[0]


def test_what_feeds_a_load_whose_name_says_it_is_asked_from_the_source(tmp_path):
    """`Battery bus 1`, of battery 1; any other load alone is asked what feeds it."""
    deck, _ = deck_of(tmp_path, "Battery 1 | Battery bus 1 | |", "Battery bus 1 | Horn | |")

    assert {"Battery 1": {"Battery bus 1"}} == asked(deck, "feeds")
    assert ["Horn"] == [card.condition for card in deck.cards if card.aspect == "fed-by"]


def test_cards_of_a_failure(tmp_path):
    """A source is asked for what is lost with it at any stage, and for what a backup keeps."""
    deck, _ = deck_of(
        tmp_path,
        "Bus A | Bus B, Horn | |",
        "Bus A | Vital bus | | Battery",
        "Bus B | Wiper | |",
        "Mast bus | Radar | Wiper |",
    )

    assert {"Bus B", "Horn", "Wiper", "Radar"} == asked(deck, "lost")["Bus A"]
    assert {"Bus A": {"Vital bus"}} == asked(deck, "kept")
    (card,) = [card for card in deck.cards if card.aspect == "lost" and card.subject == "Bus A"]
    assert (
        "Bus A is dead and everything else is healthy: which 4 items are lost, directly or downstream?"
        == card.prompt
    )
    assert ("set", 5, card.point) == (card.answer.form, card.line, deck.points[0].digest(deck.record.deck))


def test_a_tank_is_empty(tmp_path):
    """What holds something doesn't die."""
    deck, _ = deck_of(tmp_path, "Wing tank | Feeder, Pump | |", "Feeder | Lamp, Horn | |")

    (card,) = [card for card in deck.cards if card.aspect == "lost" and card.subject == "Wing tank"]
    assert card.prompt.startswith(
        "The wing tank is empty and everything else is healthy: which 4 items are lost"
    )


def test_a_long_list_is_not_asked(tmp_path):
    """More members than one recall can hold aren't asked as what is lost, though the feeds themselves are."""
    loads = [f"Load {number}" for number in range(MOST_MEMBERS + 1)]
    deck, _ = deck_of(tmp_path, f"Bus A | {', '.join(loads)} | |", f"Bus B | {', '.join(loads[1:])} | |")

    assert {"Bus A": {"Load 0"}} == asked(deck, "lost")
    assert set(loads) == asked(deck, "feeds")["Bus A"]


def test_a_load_of_two_sources(tmp_path):
    """What feeds a load is one card with all its sources, at the first."""
    deck, _ = deck_of(tmp_path, "Bus A | Horn | |", "Bus B | Horn | |")
    cards = [card for card in deck.cards if card.aspect == "fed-by"]

    assert [(("Bus A", "Bus B"), "Bus A", "Horn", 5)] == [
        (c.answer.texts, c.subject, c.condition, c.line) for c in cards
    ]


def test_ids_are_unique(skerry):
    """No two cards of the demo aircraft share an id."""
    ids = [card.id for card in skerry.cards]

    assert len(set(ids)) == len(ids)


def test_loop_is_one_finding(tmp_path):
    """A loop is said once, at its later row, and none of its points makes a card."""
    deck, findings = deck_of(
        tmp_path, "Bus A | Bus B | |", "Shore | Bus A | |", "Bus B | Bus A | |", "Shore | Horn | |"
    )

    assert [("supply-loop", 7, "`Bus A` feeds itself: `Bus A → Bus B → Bus A`, from note.md line 5")] == [
        (said.rule, said.place.line, said.message) for said in findings
    ]
    assert ({"Shore"}, {}) == ({card.subject for card in deck.cards}, asked(deck, "lost"))


def test_two_loops_are_two_findings(tmp_path):
    """Loops that share nothing are said one by one; a thing that feeds itself is the shortest of them."""
    _, findings = deck_of(tmp_path, "Bus A | Bus A | |", "Bus C | Bus D | |", "Bus D | Bus C | |")

    assert [("supply-loop", 5), ("supply-loop", 7)] == [(said.rule, said.place.line) for said in findings]


def test_a_bus_tie_is_no_loop(tmp_path):
    """A cycle through backups is allowed."""
    _, findings = deck_of(
        tmp_path, "Bus A | Bus B | | Bus C", "Bus B | Bus C | | Bus B", "Bus C | Horn | | Bus A"
    )

    assert [] == findings


def test_loop_of_different_aircraft(tmp_path):
    """Rows that never hold for one aircraft make no loop."""
    rows = ("Bus A | Bus B | {}", "Bus B | Bus A | {}")
    apart = deck_of(
        tmp_path, rows[0].format("1–4"), rows[1].format("5–9"), headers="From | Feeds | Applies to"
    )[1]
    together = deck_of(
        tmp_path, rows[0].format("1–5"), rows[1].format("5–9"), headers="From | Feeds | Applies to"
    )[1]

    assert ([], ["supply-loop"]) == ([said.rule for said in apart], [said.rule for said in together])


def test_unknown_backup(tmp_path):
    """A backup that is named nowhere else is a note, said once, with the name that was meant."""
    _, findings = deck_of(
        tmp_path, "Bus A | Horn | | Starbord bus", "Bus B | Light | | Starbord bus", "Starboard bus | Fan | |"
    )

    assert [("unknown-supply", 5, True)] == [
        (said.rule, said.place.line, "`Starboard bus`" in said.help) for said in findings
    ]


def test_aircraft_are_told_apart(tmp_path):
    """What is lost is asked for each of the aircraft where it differs, and once where it doesn't."""
    deck, findings = deck_of(
        tmp_path, "Bus A | Horn | 1–4 |", "Bus A | Horn | 5–9 | Battery", "Horn | Lamp, Bell | 1–9 |",
        "Lamp | Fan | 1–9 |",
        headers="From | Feeds | Applies to | Backup",
    )  # fmt: skip
    made = {(c.subject, c.applies, c.aspect) for c in deck.cards if c.aspect in ("lost", "kept")}

    assert {("Bus A", "1–4", "lost"), ("Bus A", "5–9", "kept"), ("Horn", "1–9", "lost")} == made
    assert ["unknown-supply"] == [said.rule for said in findings]
    assert [("1–4", ("Horn", "Lamp", "Bell", "Fan")), ("5–9", ())] == [
        (" ".join(one.text for one in aircraft), outcome.lost)
        for aircraft, outcome in outcomes(deck.points, "Bus A")
    ]


MAIN_1 = {"Fuel transfer pump", "Left propeller heat", "Recirculation fan", "Left landing light"}
"""Facts of the demo aircraft, worked by hand from its notes, as all below."""


def test_demo_main_bus_1(skerry):
    """Main bus 1 dead: four loads are lost, the essential bus lives on main bus 2."""
    (_, outcome), *more = outcomes(skerry.points, "Main bus 1")

    assert (MAIN_1, {"Essential bus": "Main bus 2"}, []) == (set(outcome.lost), outcome.kept, more)


def test_demo_generator_1(skerry):
    """Generator 1 dead: its main bus and those four loads are lost until the crew close the tie."""
    ((_, outcome),) = outcomes(skerry.points, "Generator 1")

    assert {"Main bus 1"} | MAIN_1 == set(outcome.lost) == set(outcome.restored)
    assert {"Main bus 1": "Main bus 2"} == {load: by.name for load, by in outcome.manual.items()}


def test_demo_main_bus_2(skerry):
    """Main bus 2 dead: the sensor turret is lost through its cooling fan while the survey bus lives."""
    ((_, outcome),) = outcomes(skerry.points, "Main bus 2")

    assert ("Main bus 2", "Sensor cooling fan", "Sensor turret") == outcome.chain["Sensor turret"]
    assert "Survey bus" not in outcome.lost


def test_demo_cards(skerry):
    """The cards say the same: the loss of main bus 1 is asked as a set, and only the essential bus is critical."""
    cards = {
        card.aspect: card for card in skerry.cards if card.subject == "Main bus 1" and card.kind == "supply"
    }

    assert (MAIN_1, "set") == (set(cards["lost"].answer.texts), cards["lost"].answer.form)
    assert {"Essential bus"} == {
        card.subject for card in skerry.cards if card.kind == "supply" and card.critical
    }
    assert (("Essential bus",), "The essential bus lives on main bus 2") == (
        cards["kept"].answer.texts,
        cards["kept"].why,
    )


def test_names_are_keys(skerry):
    """Every name of the graph is found under its key."""
    known = Supplies(skerry.points)

    assert all(key_form(name) == key or key in key_form(name) for key, name in known.names.items())


def test_a_chain_is_asked_where_it_begins(tmp_path):
    """Of links with one load each only the first is asked what dies with it, and what lives on where it parts."""
    deck, _ = deck_of(
        tmp_path, "Tank | Feeder | |", "Feeder | Engine | |", "Engine | Bus A, Pump | |", "Bus A | Horn | |",
        "Bus A | Vital bus | | Battery",
    )  # fmt: skip

    assert {"Tank", "Engine", "Bus A"} == set(asked(deck, "lost"))
    assert {"Engine": {"Vital bus"}, "Bus A": {"Vital bus"}} == asked(deck, "kept")
