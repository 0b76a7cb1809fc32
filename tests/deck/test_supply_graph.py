"""What is lost with a source: worked by hand, and against reachability in the graph library networkx."""

from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from supply_kit import supplies

from recall.base.errors import RecallError
from recall.deck.read import read_deck
from recall.deck.supply_aircraft import aircraft_of
from recall.deck.supply_loops import looped, loops
from recall.deck.supply_tree import branches

ROWS = (
    ("Engine", "Generator"),
    ("Generator", "Main bus", "", "Spare bus (manual, tie switch)"),
    ("Spare generator", "Spare bus"),
    ("Main bus", "Vital bus", "", "Spare bus, Battery"),
    ("Main bus", "Heater, Fan"),
    ("Main bus", "Survey bus"),
    ("Spare bus", "Survey bus"),
    ("Vital bus", "Radio, Gyro"),
    ("Survey bus", "Turret", "Fan, Gyro"),
    ("Survey bus", "Camera", "Fan or Spare fan"),
)
"""Worked by hand below. Engine → generator → main bus; the vital bus changes over by itself, the main bus by hand,
the survey bus is fed twice, the turret needs a fan of the main bus, the camera has a fan to spare."""


def test_worked_by_hand():
    """A dead engine: what is lost, kept, still fed and brought back, with the way to it, as worked out on paper."""
    outcome = supplies(*ROWS).lost("engine")

    assert "Engine" == outcome.failed
    assert ("Generator", "Main bus", "Heater", "Fan", "Turret") == outcome.lost
    assert {"Vital bus": "Spare bus"} == outcome.kept
    assert {"Survey bus": "Spare bus"} == outcome.still
    assert [("Main bus", "Spare bus", "tie switch")] == [
        (load, by.name, by.how) for load, by in outcome.manual.items()
    ]
    assert ("Main bus", "Heater", "Fan", "Turret") == outcome.restored
    assert ("Engine", "Generator", "Main bus", "Fan", "Turret") == outcome.chain["Turret"]


def test_second_backup():
    """The next backup in line takes over when the first is the failed thing's own."""
    rows = (("Main bus", "Vital bus", "", "Aft bus, Battery"), ("Main bus", "Aft bus"))

    assert {"Vital bus": "Battery"} == supplies(*rows).lost("Main bus").kept


def test_dead_buses_do_not_hold_each_other_up():
    """Two buses that back each other up die together with what feeds both."""
    rows = (("Engine", "Bus 1", "", "Bus 2"), ("Engine", "Bus 2", "", "Bus 1"), ("Bus 1", "Horn"))

    assert ("Bus 1", "Bus 2", "Horn") == supplies(*rows).lost("Engine").lost


def test_one_of_two_tied_buses():
    """A tied bus lives on the other as long as that one lives."""
    rows = (("Generator 1", "Bus 1", "", "Bus 2"), ("Generator 2", "Bus 2", "", "Bus 1"))

    assert ((), {"Bus 1": "Bus 2"}) == (
        supplies(*rows).lost("Generator 1").lost,
        supplies(*rows).lost("Generator 1").kept,
    )


def test_a_failed_load_is_not_in_its_own_list():
    """The failed thing isn't lost with itself, not even where a loop leads back to it."""
    rows = (("Bus 1", "Bus 2"), ("Bus 2", "Bus 1"), ("Bus 2", "Horn"))

    assert ("Bus 2", "Horn") == supplies(*rows).lost("Bus 1").lost


def test_backup_cannot_replace_a_need():
    """A load whose need is dead is dead, whatever backs up its source."""
    rows = (("Bus", "Radar", "Fan", "Battery"), ("Bus", "Fan"))

    assert {"Fan", "Radar"} == set(supplies(*rows).lost("Bus").lost)


def test_by_hand_without_a_name():
    """A backup that is only called manual brings its loads back once the crew act."""
    outcome = supplies(("Bus", "Gear", "", "Manual")).lost("Bus")

    assert (("Gear",), ("Gear",), "") == (outcome.lost, outcome.restored, outcome.manual["Gear"].name)


def test_names_differ_in_case_and_article():
    """A name in another case, with an article or a bracket, is the same thing."""
    rows = (("Main Bus", "the Aft bus", "", "Battery (30 min)"), ("aft bus", "Horn"), ("battery", "Light"))

    assert {"the Aft bus": "battery"} == supplies(*rows).lost("main bus").kept


def test_unknown_name():
    """A name that isn't there is answered with those near it."""
    with pytest.raises(RecallError) as raised:
        supplies(*ROWS).lost("Mian bus")

    assert ("nothing is named `Mian bus` in these supplies", "near it: `Main bus`") == (
        raised.value.what,
        raised.value.help[:19],
    )


def graph_rows(edges):
    """Rows of a graph whose nodes are numbers."""
    return [(f"Bus {source}", f"Bus {load}") for source, load in edges]


EDGES = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=1, max_size=25, unique=True)


@settings(max_examples=80)
@given(EDGES)
def test_against_reachability_of_acyclic_graphs(edges):
    """Without backups and loops, lost is what no other root reaches once the failed node is taken out (networkx)."""
    graph = nx.DiGraph((min(edge), max(edge)) for edge in edges if edge[0] != edge[1])
    known = supplies(*graph_rows(graph.edges))
    roots = [node for node in graph if not graph.in_degree(node)]
    for failed in graph:
        rest = graph.subgraph(set(graph) - {failed})
        alive = set().union(*({root} | nx.descendants(rest, root) for root in roots if root != failed))

        assert {f"Bus {node}" for node in set(rest) - alive} == set(known.lost(f"Bus {failed}").lost)


@settings(max_examples=80)
@given(EDGES)
def test_against_reachability_of_any_graph(edges):
    """With loops too, lost is what the failed node reaches and no other root does (networkx)."""
    graph = nx.DiGraph(edges)
    known = supplies(*graph_rows(edges))
    roots = [node for node in graph if not graph.in_degree(node)]
    for failed in graph:
        rest = graph.subgraph(set(graph) - {failed})
        alive = set().union(*({root} | nx.descendants(rest, root) for root in roots if root != failed))
        lost = nx.descendants(graph, failed) - alive - {failed}

        assert {f"Bus {node}" for node in lost} == set(known.lost(f"Bus {failed}").lost)


@settings(max_examples=80)
@given(EDGES)
def test_loops_against_networkx(edges):
    """Each knot of networkx' simple cycles gives one loop, and a shortest one of it."""
    graph = nx.DiGraph(edges)
    knots = [knot for knot in nx.strongly_connected_components(graph) if graph.subgraph(knot).edges]
    shortest = {
        frozenset(f"bus {node}" for node in knot): min(map(len, nx.simple_cycles(graph.subgraph(knot))))
        for knot in knots
    }
    known = supplies(*graph_rows(edges))
    found = loops(known)

    assert set().union(*shortest) == looped(known)
    assert len(shortest) == len(found)
    for loop in found:
        inside = next(knot for knot in shortest if loop[0].source in knot)
        assert shortest[inside] == len(loop)
        assert [feed.load for feed in loop] == [feed.source for feed in (*loop[1:], loop[0])]


@settings(max_examples=80)
@given(EDGES, st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), max_size=8))
def test_a_backup_never_costs_a_load(edges, ties):
    """With backups added, nothing is lost that wasn't lost without them."""
    rows = graph_rows({(min(edge), max(edge)) for edge in edges if edge[0] != edge[1]})
    backed = [
        (source, load, "", ", ".join(f"Bus {by}" for to, by in ties if load == f"Bus {to}"))
        for source, load in rows
    ]
    plain, richer = supplies(*rows), supplies(*backed)
    for name in dict.fromkeys(source for source, _ in rows):
        assert set(richer.lost(name).lost) <= set(plain.lost(name).lost)


@settings(max_examples=60)
@given(EDGES)
def test_the_tree_shows_every_feed(edges):
    """Each pair of source and load is one branch of the tree, and each root one trunk."""
    known = supplies(*graph_rows(edges))
    roots = len([branch for branch in branches(known) if not branch.last])
    shown = len([branch for branch in branches(known) if branch.last])

    assert (len(set(edges)), True) == (shown, roots >= 1)


@pytest.mark.parametrize(
    ("texts", "pieces"),
    [
        ([""], [""]),
        (["1–9", "1–9"], ["1–9"]),
        (["1–9", "4"], ["1–3", "4", "5–9"]),
        (["1–9", "7 and on"], ["1–6", "7–9", "10 and on"]),
        (["", "4–5"], ["4–5", "other"]),
        (["long body", "short body"], ["long body", "short body"]),
        (["long body", "4"], []),
    ],
)
def test_pieces_of_aircraft(texts, pieces):
    """Serials are cut where some text begins or ends; serials beside variants can't be told."""
    assert pieces == ["other" if piece.other else piece.text for piece in aircraft_of(texts)]


@settings(max_examples=80)
@given(st.lists(st.tuples(st.integers(1, 30), st.integers(0, 9)), min_size=1, max_size=6))
def test_each_aircraft_is_in_one_piece(spans):
    """Every serial that some text names lies in exactly one piece, and the piece answers for it."""
    texts = [f"{low}–{low + more}" for low, more in spans]
    pieces = aircraft_of(texts)
    for serial in range(1, 41):
        mine = [piece for piece in pieces if piece.applies(str(serial))]

        assert any(low <= serial <= low + more for low, more in spans) == (len(mine) == 1)
        for piece in mine:
            for (low, more), text in zip(spans, texts, strict=True):
                assert (low <= serial <= low + more) == piece.applies(text)


def test_what_is_fed_by_a_loop_is_not_asked(tmp_path: Path) -> None:
    """A source that feeds itself is no right answer to who feeds it."""
    note = tmp_path / "hydraulics.md"
    rows = "| Right pump | Blue manifold |\n| Blue manifold | Blue manifold |\n"
    note.write_text(f"# Hydraulics\n\n| From | Feeds |\n|---|---|\n{rows}", encoding="utf-8")
    deck, _ = read_deck(note)

    assert ["feeds"] == [card.aspect for card in deck.cards]
