"""Sources and their loads, out of tables and lists."""

from string import ascii_lowercase

import pytest
from asked_kit import combined
from hypothesis import given, settings
from hypothesis import strategies as st

from recall.base.text import key_form
from recall.kinds.model import Scope
from recall.kinds.reader import read_points
from recall.kinds.registry import KINDS
from recall.kinds.supplies.names import Backup, alternatives, backups_in, names_in
from recall.notes.reader import read_note


def rows(headers, *lines):
    """A table from lines of cells."""
    cut = "|".join("---" for _ in headers.split("|"))
    return "\n".join(f"| {line} |" for line in (headers, cut, *lines)) + "\n"


def read(text):
    """The supplies of a note, joined, and the rules of its findings."""
    note, _ = read_note(text, "note.md")
    points, findings = read_points(note, KINDS, {}, Scope())
    material, _ = combined([point for point in points if point.kind == "supply"], KINDS)
    return [one.point for one in material.asked], [found.rule for found in findings]


def fed(text):
    """Source → loads."""
    return {point.subject: point.fields["feeds"] for point in read(text)[0]}


@pytest.mark.parametrize(
    "headers",
    [
        "From | Feeds",
        "Bus | Loads",
        "Supply | Powers",
        "Fuse panel | Supplies",
        "Breaker | Load",
        "Fuse | Circuit",
        "Circuit breaker | Equipment",
        "Busbar | Consumers",
        "Source | Feeds",
        "POWER SOURCE: | Loads powered",
        "Pump | Feeds (direct)",
    ],
)
def test_headers(headers):
    """Every pair of headers that people use makes the same supply."""
    assert {"Panel A": ("Horn", "Wiper")} == fed(rows(headers, "Panel A | Horn, Wiper"))


@pytest.mark.parametrize(
    "headers", ["From | To", "Source | Service", "Bus | Service", "Supply | Value", "Item | Source"]
)
def test_headers_that_mean_something_else(headers):
    """A timetable, a citation or a value is no supply."""
    assert {} == fed(rows(headers, "Central | Airport, Harbour"))


def test_amounts_are_no_loads():
    """A table whose loads are amounts is no supply."""
    assert {} == fed(rows("Bus | Load", "Main bus | 25 A", "Aft bus | 30 A"))


def test_source_beside_feeds_is_the_supply():
    """Without another column for it, `Source` is the source of supply and `Ref` the citation."""
    (point,), _ = read(rows("Ref | Feeds | Source", "Page 4 | Horn | Panel A"))

    assert ("Panel A", ("Horn",), "Page 4") == (point.subject, point.fields["feeds"], point.cite)


def test_source_beside_a_bus_is_the_citation():
    """With a column that names the supply, `Source` is the citation."""
    (point,), _ = read(rows("Source | Bus | Feeds", "Page 4 | Panel A | Horn"))

    assert ("Panel A", ("Horn",), "Page 4") == (point.subject, point.fields["feeds"], point.cite)


def test_rows_of_one_source_are_one_point():
    """Loads of several rows add up; each row keeps its own needs and backups."""
    (point,), _ = read(
        rows(
            "From | Feeds | Also needs | Backup",
            "Panel A | Horn | | Panel B",
            "Panel A | Radar | Gyro, Log | Panel C (manual, tie switch)",
        )
    )

    assert ("Horn", "Radar") == point.fields["feeds"]
    assert [
        {"feeds": ("Horn",), "needs": (), "backup": ("Panel B",), "manual": (), "how": ()},
        {
            "feeds": ("Radar",),
            "needs": ("Gyro", "Log"),
            "backup": (),
            "manual": ("Panel C",),
            "how": ("tie switch",),
        },
    ] == [row.fields for row in point.parts]


def test_a_bold_source_is_critical():
    """A bold source among others that aren't makes its point critical."""
    points, _ = read(rows("From | Feeds", "**Panel A** | Horn", "Panel B | Wiper"))

    assert [True, False] == [point.critical for point in points]


@pytest.mark.parametrize(
    "lead",
    [
        "**Panel A** feeds:",
        "**Panel A feeds:**",
        "**Panel A** powers the following:",
        "**Panel A loads**",
        "**Loads of panel A:**",
        "The panel A supplies:",
        "## Panel A loads",
        "## Panel A\n\nFeeds:",
        "## Panel A\n\nLoads:",
        "## Panel A\n\nIt powers:",
    ],
)
def test_list_under_its_source(lead):
    """A line or heading that names a source and says that it feeds makes its list a supply."""
    made = fed(f"{lead}\n\n- Horn\n- Wiper\n")

    assert {"panel a": ("Horn", "Wiper")} == {key_form(name): loads for name, loads in made.items()}


@pytest.mark.parametrize(
    "lead",
    [
        "**Panel A**",
        "## Panel A",
        "**Electrical loads**",
        "What it feeds:",
        "**Nobody** knows the loads of it:",
        "Loads:",
    ],
)
def test_list_without_a_lead(lead):
    """Without a lead that says so, or without a source, a list is no supply and is said to make no card."""
    points, rules = read(f"{lead}\n\n- Horn\n- Wiper\n")

    assert ([], ["unrecognised-list"]) == (points, rules)


def test_list_names_its_backup():
    """`Backup:` and `Also needs:` in a list hold for all its loads and are no loads."""
    (point,), _ = read("**Panel A** feeds:\n\n- Horn\n- Also needs: Relay\n- Backup: Panel B (manual)\n")

    assert {
        "feeds": ("Horn",),
        "needs": ("Relay",),
        "backup": (),
        "manual": ("Panel B",),
        "how": ("",),
    } == point.parts[0].fields


def test_list_of_sentences_is_no_supply():
    """Prose under a lead isn't cut into loads."""
    points, _ = read(
        "**Panel A** feeds:\n\n- The horn, which the crew may also sound by pulling the cord aft\n"
    )

    assert [] == points


@pytest.mark.parametrize(
    ("cell", "names"),
    [
        ("Horn, Wiper", ("Horn", "Wiper")),
        ("Horn; Wiper (left, right)", ("Horn", "Wiper (left, right)")),
        ("Horn\nWiper.", ("Horn", "Wiper")),
        ("Horn, Wiper, and Radar", ("Horn", "Wiper", "Radar")),
        ("Horn, Wiper and Radar", ("Horn", "Wiper", "Radar")),
        ("Horn, wiper and radar", ("Horn", "wiper", "radar")),
        ("Radio 1 and Radio 2", ("Radio 1", "Radio 2")),
        ("Radio 1 and 2", ("Radio 1", "Radio 2")),
        ("Left pump and right pump", ("Left pump", "right pump")),
        ("Left and right pumps", ("Left and right pumps",)),
        ("Fire and overheat detection", ("Fire and overheat detection",)),
        ("Horn, Fire and overheat detection", ("Horn", "Fire and overheat detection")),
        ("Mast Light, Search and Rescue Radio", ("Mast Light", "Search and Rescue Radio")),
        ("Horn, horn, HORN", ("Horn",)),
        ("None", ()),
        ("—", ()),
        ("", ()),
        ("Horn, etc.", None),
        ("Horn …", None),
        ("Horn and others, others", None),
        ("25 A", None),
        ("x", None),
    ],
)
def test_names_in_a_cell(cell, names):
    """Names are parted where they end for certain; a cell that doesn't name everything isn't read."""
    assert names == names_in(cell)


@pytest.mark.parametrize(
    ("cell", "backups"),
    [
        ("Bus 2", (Backup("Bus 2"),)),
        ("Bus 2, Bus 3", (Backup("Bus 2"), Backup("Bus 3"))),
        ("Bus 2, then Bus 3", (Backup("Bus 2"), Backup("Bus 3"))),
        ("Bus 2 or Bus 3 (manual)", (Backup("Bus 2"), Backup("Bus 3", True))),
        ("Bus 2 (automatic)", (Backup("Bus 2"),)),
        ("Bus 2 (left)", (Backup("Bus 2 (left)"),)),
        ("Bus 2 (manual, bus tie)", (Backup("Bus 2", True, "bus tie"),)),
        ("Bus 2 via bus tie (by hand)", (Backup("Bus 2", True, "via bus tie"),)),
        ("Manual: Bus 2", (Backup("Bus 2", True),)),
        ("Bus 2, manual", (Backup("Bus 2", True),)),
        ("Bus 2 manually", (Backup("Bus 2", True),)),
        ("Manual", (Backup("", True),)),
        ("No", ()),
    ],
)
def test_backups_in_a_cell(cell, backups):
    """A backup takes over by itself unless the cell says that it is manual."""
    assert backups == backups_in(cell)


def test_alternatives():
    """`or` names things of which one is enough."""
    assert ("Pump 1", "pump 2") == alternatives("Pump 1 or pump 2")


OTHER_WORDS = ("All", "Some", "And", "Plus", "Then", "Also", "Various", "Other", "Lastly", "Finally")
NUMBERED = st.builds(
    "{} {}".format, st.text(ascii_lowercase, min_size=3, max_size=7).map(str.capitalize), st.integers(1, 9)
).filter(lambda name: not name.startswith(OTHER_WORDS))


@settings(max_examples=60)
@given(st.lists(NUMBERED, min_size=1, max_size=6, unique=True))
def test_every_name_is_read(names):
    """Names parted by commas all come back, in order and whole."""
    assert tuple(names) == names_in(", ".join(names))


@settings(max_examples=60)
@given(st.text(max_size=60))
def test_any_cell_is_read_without_failing(cell):
    """No text makes the readers of names fail, and every name stands in the cell."""
    names = names_in(cell) or ()
    backups_in(cell)

    assert all(word in cell for name in names for word in name.split())


@pytest.mark.parametrize(
    ("sentence", "source", "loads"),
    [
        ("Bus 2 feeds the radar, the horn and the plotter.", "Bus 2", ("radar", "horn", "plotter")),
        ("The main battery powers the anchor winch.", "main battery", ("anchor winch",)),
        ("The anchor winch is powered by the main battery.", "main battery", ("anchor winch",)),
        (
            "Radio 1 and radio 2 are fed from the upper fuse panel.",
            "upper fuse panel",
            ("Radio 1", "radio 2"),
        ),
    ],
)
def test_sentences(sentence, source, loads):
    """A sentence names a source and what it feeds."""
    assert {source: loads} == fed("# Power\n\n- " + sentence)


@pytest.mark.parametrize(
    "sentence",
    ["The cook feeds the dog.", "The pump supplies oil when the engine turns.", "Battery 1 powers it.",
     "The bus feeds whatever is left.", "Power is supplied by the utility at 400 V."],
)  # fmt: skip
def test_sentences_that_name_no_loads(sentence):
    """Who is no source, and words that are no names, make no supply."""
    assert {} == fed("# Power\n\n- " + sentence)


@pytest.mark.parametrize("header", ["Dimmer room", "Rack", "Cabinet"])
def test_a_source_under_any_name(header):
    """Beside a plain `Feeds` the first column names the sources."""
    assert {"DB1": ("Lamp 1", "Lamp 2")} == fed(rows(f"{header} | Feeds", "DB1 | Lamp 1, Lamp 2"))


def test_a_fuse_beside_its_source():
    """A column of ratings is no source where `Source` names one."""
    found = fed(rows("Source | Feeds | Fuse", "Solar controller | Battery bus | 20 A"))

    assert {"Solar controller": ("Battery bus",)} == found
