"""`recall supplies` as a person meets it."""

import json

import pytest

from recall.base.text import CAUTION
from recall.cli.app import run

NOTE = """# Ferry

| From | Feeds | Also needs | Backup |
|---|---|---|---|
| Engine | Port bus | | Shore (manual, shore switch) |
| Port bus | Vital bus | | Battery |
| Port bus | Fan, Horn | | |
| Mast bus | Radar | Fan | |
| Shore | Mast bus | | |
| Spare set | Mast bus | | |
"""
"""Worked by hand below."""


@pytest.fixture
def note(tmp_path):
    """The path of a note."""
    path = tmp_path / "ferry.md"
    path.write_text(NOTE, encoding="utf-8")
    return str(path)


def test_tree(note, capsys):
    """Without a name the tree is shown from the sources down, within 80 columns, shared loads marked."""
    assert 0 == run(["supplies", note])
    assert [
        "Engine",
        "└─ Port bus (by hand Shore (shore switch))",
        "   ├─ Vital bus (backup Battery)",
        "   ├─ Fan",
        "   └─ Horn",
        "Shore",
        "└─ Mast bus (also from Spare set)",
        "   └─ Radar (needs Fan)",
        "Spare set",
        "└─ Mast bus (also from Shore; loads shown above)",
        "",
        CAUTION,
    ] == capsys.readouterr().out.splitlines()


def test_lost(note, capsys):
    """With a name the outcome is told in sentences: lost, through what, kept, and what the crew can do."""
    assert 0 == run(["supplies", note, "--lost", "engine"])
    assert " ".join(
        (
            "Engine is dead and everything else is healthy.",
            "Lost with it: Port bus.",
            "Lost through Port bus: Fan and Horn.",
            "Lost through Port bus, Fan: Radar.",
            "Alive through a backup: Vital bus on Battery.",
            "Until the crew acts: Port bus can be fed from Shore by hand (shore switch).",
            "That brings back everything that was lost.",
            CAUTION,
        )
    ) == " ".join(capsys.readouterr().out.split())


def test_lost_as_json(note, capsys):
    """`--json` gives the same as one object."""
    assert 0 == run(["supplies", note, "--lost", "Shore", "--json"])
    told = json.loads(capsys.readouterr().out)

    assert ("Shore", [], {"Mast bus": "Spare set"}) == (told["failed"], told["lost"], told["still"])


def test_rows_as_json(note, capsys):
    """`--json` without a name gives a line a load, each with its place."""
    assert 0 == run(["supplies", note, "--json"])
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]

    assert [("Engine", "Port bus", 5), ("Port bus", "Vital bus", 6), ("Port bus", "Fan", 7)] == [
        (line["source"], line["load"], line["line"]) for line in lines[:3]
    ]


def test_unknown_name(note, capsys):
    """A name that isn't there can't be met, and those near it are told."""
    assert 2 == run(["supplies", note, "--lost", "Prot bus"])
    assert "help: near it: `Port bus`" in capsys.readouterr().err


def test_no_supply(tmp_path, capsys):
    """Notes without a supply can't be shown as a tree."""
    (tmp_path / "bare.md").write_text("# Nothing\n", encoding="utf-8")

    assert 2 == run(["supplies", str(tmp_path / "bare.md")])
    assert "`From` and `Feeds`" in capsys.readouterr().err


def test_svg(note, tmp_path, capsys):
    """`--svg` writes the picture, and says where on standard error."""
    picture = tmp_path / "ferry.svg"

    assert 0 == run(["supplies", note, "--svg", str(picture)])
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    assert f"drawn into {picture}" in capsys.readouterr().err
