"""The drawing of supplies: everything is on it, nothing overlaps, and it holds no colour and no markup of a note."""

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from itertools import combinations
from pathlib import Path

import pytest
from demo_decks import demo
from hypothesis import given, settings
from hypothesis import strategies as st
from supply_kit import supplies

from recall.base.errors import RecallError
from recall.base.text import CAUTION
from recall.deck.supply import Supplies
from recall.publish.diagram.blocks import MOST_BLOCKS, blocks_and_links
from recall.publish.diagram.place import placed
from recall.publish.diagram.route import routed
from recall.publish.diagram.svg import drawn

SKERRY = Path(__file__).parents[2] / "decks" / "skerry"
SVG = "{http://www.w3.org/2000/svg}"
EDGES = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=1, max_size=22, unique=True)
TIES = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9), st.booleans()), max_size=6)


def words(picture):
    """Every text on a picture."""
    return [text.text or "" for text in ET.fromstring(picture).iter(f"{SVG}text")]


def rows(edges, ties=()):
    """Rows of a graph of numbers, with backups by themselves and by hand."""
    backups = {}
    for load, by, hand in ties:
        backups.setdefault(load, []).append(f"Bus {by}{' (manual)' if hand else ''}")
    return [(f"Bus {source}", f"Bus {load}", "", ", ".join(backups.get(load, ()))) for source, load in edges]


def test_everything_is_on_it():
    """Every thing that feeds or is fed is named, with its needs, its backups and who must act."""
    known = Supplies(demo()[0].points)
    said = words(drawn(known, "Skerry 2"))
    named = {known.names[feed.load] for feed in known.feeds} | {known.names[key] for key in known.sources}

    assert set() == named - set(said)
    assert {"by hand", "by hand Hand pump", "backup Brake accumulator", "needs Sensor cooling fan"} <= set(
        said
    )
    assert ["Supplies: Skerry 2", CAUTION] == said[:2]


def test_lines_are_told_apart_without_colour():
    """Feeds, backups by themselves and by hand differ in their dashes, and all is black on white."""
    picture = drawn(supplies(("Bus 1", "Bus 2", "", "Bus 3, Bus 4 (manual)"), ("Bus 2", "Horn")), "Two buses")

    assert {"8 4", "2 4"} == set(re.findall(r'stroke-dasharray="([^"]*)"', picture))
    assert {"white", "black", "none"} == set(re.findall(r'(?:fill|stroke)="([^"]*)"', picture))
    assert {"feeds", "takes over by itself", "takes over by hand, once the crew act", "bus"} <= set(
        words(picture)
    )


def test_buses_are_bars():
    """A bus is a heavy bar, any other source a box."""
    blocks, _ = blocks_and_links(supplies(("Generator", "Main bus"), ("Main bus", "Horn")))

    assert [("Generator", False), ("Main bus", True)] == [(block.name, block.bar) for block in blocks]


def test_a_bus_tie_is_one_line():
    """Two buses that the crew can feed from each other are joined by one line with two heads."""
    ties = (
        ("Generator 1", "Bus 1", "", "Bus 2 (manual, tie)"),
        ("Generator 2", "Bus 2", "", "Bus 1 (manual, tie)"),
    )
    (part,) = placed(*blocks_and_links(supplies(*ties, ("Bus 1", "Horn"), ("Bus 2", "Fan"))))
    (wire,) = [wire for wire in routed(part).wires if wire.style == "hand"]

    assert (2, "by hand, tie") == (len(wire.heads), wire.label)


def test_text_is_escaped():
    """No markup and no hidden character of a note reaches the picture."""
    hostile = "<script>alert(1)</script> & \u202eBus"
    picture = drawn(supplies((hostile, "Horn <b>")), '"</title><a>')

    assert "<script" not in picture and "\u202e" not in picture
    assert {"<script>alert(1)</script> & Bus", "Horn <b>", 'Supplies: "</title><a>'} <= set(words(picture))


def test_too_many_to_draw():
    """A diagram that nobody could read is refused, with what to do."""
    with pytest.raises(RecallError) as raised:
        drawn(supplies(*((f"Fuse {n}", f"Lamp {n}") for n in range(MOST_BLOCKS + 1))), "Fuses")

    assert "smaller folder" in raised.value.help


def test_the_same_picture_every_time():
    """The picture doesn't hang on the order of hashes."""
    made = set()
    code = (
        "import sys; from pathlib import Path; from recall.deck.read import read_deck; "
        "from recall.deck.supply import Supplies; from recall.publish.diagram.svg import drawn; "
        "sys.stdout.write(drawn(Supplies(read_deck(Path(sys.argv[1]))[0].points), 'x'))"
    )
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONIOENCODING": "utf-8"}
        command = [sys.executable, "-c", code, str(SKERRY / "electrical-power.md")]
        root = Path(__file__).parents[2]
        made.add(subprocess.run(command, capture_output=True, check=True, env=environment, cwd=root).stdout)

    assert 1 == len(made)


@settings(max_examples=50, deadline=None)
@given(EDGES, TIES)
def test_nothing_overlaps(edges, ties):
    """Of any graph, loops and all: blocks stand apart, and a feed goes down unless it lies in a loop."""
    blocks, links = blocks_and_links(supplies(*rows(edges, ties)))
    for part in map(routed, placed(blocks, links)):
        for one, two in combinations(part.blocks, 2):
            across = one.x + one.width <= two.x + 0.1 or two.x + two.width <= one.x + 0.1
            assert across or one.y + one.height <= two.y or two.y + two.height <= one.y
        for block in part.blocks:
            assert block.x >= -0.1 and block.x + block.width <= part.width + 0.1
            assert block.y + block.height <= part.height + 0.1


@settings(max_examples=50, deadline=None)
@given(EDGES, TIES)
def test_every_line_ends_at_its_blocks(edges, ties):
    """Of any graph: each line is made of level and upright strokes between the edges of two blocks."""
    blocks, links = blocks_and_links(supplies(*rows(edges, ties)))
    for part in placed(blocks, links):
        wires = routed(part).wires
        assert len(part.runs) == len(wires)
        for wire in wires:
            for (x, y), (to_x, to_y) in zip(wire.points, wire.points[1:], strict=False):
                assert abs(x - to_x) < 1 or abs(y - to_y) < 1
            for x, y in (wire.points[0], wire.points[-1]):
                at = [
                    b
                    for b in part.blocks
                    if b.x - 3 <= x <= b.x + b.width + 3 and b.y - 1 <= y <= b.y + b.head + 1
                ]
                assert at


@settings(max_examples=40, deadline=None)
@given(EDGES, TIES)
def test_well_formed(edges, ties):
    """Of any graph the picture is well-formed XML with the caution on it."""
    assert CAUTION in words(drawn(supplies(*rows(edges, ties)), "Any"))


def test_too_many_lines_to_draw():
    """A net of lines that nobody could follow is refused, with what to do."""
    chain = [(f"Bus {n}", f"Bus {n + 1}", "", "Bus 0") for n in range(100)]

    with pytest.raises(RecallError) as raised:
        drawn(supplies(*chain), "Chain")

    assert "smaller folder" in raised.value.help
