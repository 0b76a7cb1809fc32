"""Renamings: decided once, by whoever publishes; students aren't asked."""

import itertools
import json
import zipfile
from pathlib import Path

import pytest
from publish_kit import ROWS, notes, published, store
from store_kit import card_of, known_of

from recall.base.errors import RecallError
from recall.deck.read import read_deck
from recall.publish.decisions import Decisions
from recall.publish.difference import Difference
from recall.publish.receive import receive
from recall.publish.sign import new_key
from recall.store import Review

RENAMED = {
    ("Boost pump pressure low" if name == "Boost pump pressure" else name): value
    for name, value in ROWS.items()
}


@pytest.fixture
def before(tmp_path: Path) -> Path:
    """Revision 4, signed."""
    new_key(tmp_path / "key")
    return published(notes(tmp_path / "deck"), tmp_path / "out", tmp_path / "key").path


def test_an_open_renaming_stops_publishing_where_nobody_can_be_asked(tmp_path: Path, before: Path) -> None:
    """The list says what must be decided, and how."""
    folder = notes(tmp_path / "deck", RENAMED, revision="5")
    with pytest.raises(RecallError, match="`Boost pump pressure` → `Boost pump pressure low`") as caught:
        published(folder, tmp_path / "out", tmp_path / "key")

    assert "--renamed" in caught.value.help
    assert "--withdrawn" in caught.value.help


@pytest.mark.parametrize(
    "decisions",
    [
        Decisions(renamed=[("Boost pump pressure", "Boost pump pressure low")]),
        Decisions(ask=lambda alike: True),
    ],
)
def test_a_decision_travels_and_takes_the_memory_along(
    tmp_path: Path, before: Path, decisions: Decisions
) -> None:
    """The student is asked nothing; what was known under the old subject is known under the new one."""
    folder = notes(tmp_path / "deck", RENAMED, revision="5")
    after = published(folder, tmp_path / "out", tmp_path / "key", decisions=decisions)
    with store(tmp_path / "store.db") as opened:
        receive(opened, before)
        known = known_of(opened, "Boost pump pressure", "maximum")
        opened.record(Review(known.id, known.answer_hash, 3, right=True))
        report, _ = receive(opened, after.path)

        assert ((), 1, 0, 0) == (report.proposals, report.renamed, report.new, report.withdrawn)
        assert known_of(opened, "Boost pump pressure low", "maximum").memory is not None
    assert ["renamed"] == [change.change for change in after.changes]


def test_one_that_is_withdrawn_stays_so(tmp_path: Path, before: Path) -> None:
    """Where the author says that it is no other one, the new point begins from nothing."""
    folder = notes(tmp_path / "deck", RENAMED, revision="5")
    after = published(
        folder, tmp_path / "out", tmp_path / "key", decisions=Decisions(withdrawn=["Boost pump pressure"])
    )
    with store(tmp_path / "store.db") as opened:
        receive(opened, before)
        report, _ = receive(opened, after.path)

        assert ((), 0, 1, 1) == (report.proposals, report.renamed, report.new, report.withdrawn)
        assert known_of(opened, "Boost pump pressure low", "maximum").memory is None
    assert ["new", "withdrawn"] == [change.change for change in after.changes]


def test_a_changed_answer_under_a_new_name_is_asked_anew_with_the_old_one_told(
    tmp_path: Path, before: Path
) -> None:
    """A name may be decided on though the number changed too: then only the old value goes along."""
    rows = {name: value for name, value in ROWS.items() if name != "Boost pump pressure"} | {
        "Pump inlet": "25 psi"
    }
    after = published(
        notes(tmp_path / "deck", rows, revision="5"),
        tmp_path / "out",
        tmp_path / "key",
        decisions=Decisions(renamed=[("Boost pump pressure", "Pump inlet")]),
    )
    with store(tmp_path / "store.db") as opened:
        receive(opened, before)
        known = known_of(opened, "Boost pump pressure", "maximum")
        opened.record(Review(known.id, known.answer_hash, 3, right=True))
        report, _ = receive(opened, after.path)
        was = opened.was(card_of(opened, "Pump inlet", "maximum"))

        assert (1, 0, 0, 0) == (report.renamed, report.new, report.changed, report.withdrawn)
        assert was is not None
        assert ("30 psi",) == was.card.answer.texts


def test_renamed_points_whose_answers_changed_too_arent_withdrawn(tmp_path: Path, before: Path) -> None:
    """Three of four points under new names with new numbers: no other deck under this one's name."""
    renamed = {"Fuel temperature": "Tank temperature", "Filter differential": "Filter drop"}
    renamed["Boost pump pressure"] = "Pump inlet"
    rows = {
        renamed.get(name, name): value.replace("2", "3").replace("0", "5") for name, value in ROWS.items()
    }
    after = published(
        notes(tmp_path / "deck", rows, revision="5"),
        tmp_path / "out",
        tmp_path / "key",
        decisions=Decisions(renamed=list(renamed.items())),
    )
    with store(tmp_path / "store.db") as opened:
        receive(opened, before)
        report, _ = receive(opened, after.path)

        assert (3, 0, 0) == (report.renamed, report.new, report.withdrawn)


def test_a_renaming_that_isnt_there_is_refused(tmp_path: Path, before: Path) -> None:
    """A slip in a subject isn't passed over: all such names are told at once."""
    folder = notes(tmp_path / "deck", RENAMED, revision="5")
    decisions = Decisions(renamed=[("Bost pump", "X"), ("Boost pump pressure", "Y")], withdrawn=["Z"])
    with pytest.raises(RecallError, match=r"by the name `Bost pump`, `Z`, `X`, `Y`$"):
        published(folder, tmp_path / "out", tmp_path / "key", decisions=decisions)


@pytest.mark.parametrize("named", [Decisions(renamed=[("a", "b")]), Decisions(withdrawn=["a"])])
def test_in_a_first_revision_nothing_was_renamed(tmp_path: Path, named: Decisions) -> None:
    """There is no revision before it whose point could have gone."""
    with pytest.raises(RecallError, match="no point went or came by the name `a`"):
        published(notes(tmp_path / "deck"), tmp_path / "out", decisions=named)


def test_equal_subjects_are_no_renaming(tmp_path: Path) -> None:
    """A point that stands under another heading with another answer keeps its name: nothing is proposed."""
    old, _ = read_deck(notes(tmp_path / "a", ROWS | {"Man overboard": "10 to 20 m"}))
    new, _ = read_deck(notes(tmp_path / "b", {"Man overboard": "15 to 20 m"}, heading="Drills"))

    assert [] == [
        each for each in Difference.between(old, new).alike() if each.old_subject == each.new_subject
    ]


EDITS = [
    ROWS | {"**Fuel imbalance**": "180 kg"},
    ROWS | {"Oil temperature": "90 °C"},
    {name: value for name, value in ROWS.items() if name != "Fuel temperature"},
    {name: value for name, value in ROWS.items() if name != "Fuel temperature"}
    | {"Filter differential": "13 psi"},
    RENAMED,
    RENAMED | {"**Fuel imbalance**": "0.2 t", "Fuel temperature": "55 °C"},
    dict(reversed(ROWS.items())),
]


@pytest.mark.parametrize("rows", EDITS)
@pytest.mark.parametrize("heading", ["Fuel", "Fuel system"])
@pytest.mark.parametrize("same", [True, False])
def test_publishing_comparing_and_loading_count_alike(
    tmp_path: Path, before: Path, rows: dict[str, str], heading: str, same: bool
) -> None:
    """What the author, the reader of changes and the student are told is one count."""
    after = published(
        notes(tmp_path / "deck", rows, revision="5", heading=heading),
        tmp_path / "out",
        tmp_path / "key",
        decisions=Decisions(ask=lambda alike: same),
    )
    sorts = ("new", "changed", "withdrawn", "moved", "renamed")
    with zipfile.ZipFile(after.path) as bag:
        told = json.loads(bag.read("small-r5/data/revision.json"))["changes"]
    with store(tmp_path / "store.db") as opened:
        receive(opened, before)
        report, _ = receive(opened, after.path)
    listed = [[change["change"] for change in told].count(sort) for sort in sorts]

    assert listed == [getattr(report, sort) for sort in sorts]
    if not same:
        plain = Difference.between(
            read_deck(notes(tmp_path / "old"))[0], read_deck(tmp_path / "deck")[0]
        ).changes()
        assert listed == [[change.change for change in plain].count(sort) for sort in sorts]


def test_over_skipped_revisions(tmp_path: Path, before: Path) -> None:
    """Who goes from the first to the third takes the history over two new names, as who loads all three."""
    files = [before]
    names = ("Boost pump pressure", "Boost pump pressure low", "Boost pump pressure too low")
    for number, (old, new) in enumerate(itertools.pairwise(names), start=5):
        rows = {(new if name == names[0] else name): value for name, value in ROWS.items()}
        folder = notes(tmp_path / "deck", rows, revision=str(number))
        said = Decisions(renamed=((old, new),))
        files.append(published(folder, tmp_path / "out", tmp_path / "key", decisions=said).path)
    for name, some in (("one.db", [files[0], files[2]]), ("two.db", files)):
        with store(tmp_path / name) as opened:
            receive(opened, some[0])
            known = known_of(opened, names[0], "maximum")
            opened.record(Review(known.id, known.answer_hash, 3, right=True))
            for file in some[1:]:
                receive(opened, file)

            assert known_of(opened, names[2], "maximum").memory is not None
            assert () == opened.doctor().mended
