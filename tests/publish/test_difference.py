"""The difference of two decks."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from publish_kit import notes

from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.publish.difference import Change, Difference

HEAD = "| Parameter | Minimum | Maximum | Unit | Why |\n| --- | --- | --- | --- | --- |\n"


def between(tmp_path: Path, old: str, new: str) -> list[Change]:
    """Changes between two lone notes."""
    return Difference.between(read(tmp_path / "old", old), read(tmp_path / "new", new)).changes()


def read(path: Path, text: str) -> Deck:
    """The deck of a lone note."""
    note = path.with_suffix(".md")
    note.write_text(text, encoding="utf-8")
    return read_deck(note)[0]


def told(found: list[Change]) -> list[tuple[str, str, str, str]]:
    """Sort, subject, old and new answer."""
    return [(one.change, one.subject, one.old, one.new) for one in found]


def test_a_new_number_is_a_change_with_both_answers(tmp_path: Path) -> None:
    """A changed maximum is told with its old and its new value and its line in the new note."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | |\n",
        f"# Fuel\n\nMore.\n\n{HEAD}| Imbalance | | 180 | kg | |\n",
    )

    assert [("changed", "Imbalance", "200 kg", "180 kg")] == told(found)
    assert ("maximum", 7) == (found[0].aspect, found[0].line)


@pytest.mark.parametrize(
    "row",
    [
        "| Imbalance | | 0.2 | t | |",
        "| imbalance | | 200 | kg | |",
        "| Imbalance | | 200 | kg | Aileron runs out |",
        "| **Imbalance** | | 200 | kg | |",
    ],
)
def test_another_notation_is_reworded_not_changed(tmp_path: Path, row: str) -> None:
    """Another unit, case or reason leaves the answer as it was."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | |\n| Other | | 3 | kg | |\n",
        f"# Fuel\n\n{HEAD}{row}\n| Other | | 3 | kg | |\n",
    )

    assert set() == {one.change for one in found} - {"reworded"}


def test_a_reworded_reason_shows_both_wordings(tmp_path: Path) -> None:
    """A changed why alone is a rewording."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | Roll |\n",
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | Aileron |\n",
    )

    assert [("reworded", "Imbalance", "why: Roll", "why: Aileron")] == told(found)


def test_a_renamed_heading_moves_its_points(tmp_path: Path) -> None:
    """A move tells where the point stood and stands, and is no change."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | |\n",
        f"# Fuel system\n\n{HEAD}| Imbalance | | 200 | kg | |\n",
    )

    assert [("moved", "Imbalance", "Fuel", "Fuel system")] == told(found)


def test_a_moved_point_with_another_answer_is_changed(tmp_path: Path) -> None:
    """Its other answers tell that it is the same point."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Pressure of the pump | 10 | 30 | psi | |\n",
        f"# Fuel system\n\n{HEAD}| Pressure of the pump | 10 | 28 | psi | |\n",
    )

    assert [("changed", "Pressure of the pump", "30 psi", "28 psi")] == told(found)


def test_new_and_withdrawn_points_are_told_with_their_answers(tmp_path: Path) -> None:
    """What came and what went, each with what it says."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | |\n| Zebra crossing | 1 | 2 | m | |\n",
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | |\n| Quantity | 80 | | kg | |\n",
    )

    assert [
        ("new", "Quantity", "", "80 kg"),
        ("withdrawn", "Zebra crossing", "minimum: 1 m; maximum: 2 m", ""),
    ] == told(found)


def test_a_like_subject_with_the_same_answer_is_a_proposal(tmp_path: Path) -> None:
    """Until its author decides, one point is withdrawn and one is new; decided, they are one renaming."""
    old, new = (
        read(tmp_path / name, f"# Fuel\n\n{HEAD}| Battery {word} current | | 25 | A | |\n")
        for name, word in (("a", "charge"), ("b", "charging"))
    )
    open_ = Difference.between(old, new)
    (alike,) = open_.alike()
    decided = Difference.between(old, new, open_.cards_renamed([alike])).changes()

    assert ["new", "withdrawn"] == [change.change for change in open_.changes()]
    assert [("renamed", "Battery charging current", "25 A", "25 A")] == told(decided)
    assert ("Battery charge current", 0.91) == (decided[0].before, alike.likeness)


def test_a_point_with_an_error_is_not_withdrawn(tmp_path: Path) -> None:
    """Its cards pause until the note is mended."""
    found = between(
        tmp_path,
        f"# Fuel\n\n{HEAD}| Imbalance | | 200 | kg | |\n| Other | | 3 | kg | |\n",
        f"# Fuel\n\n{HEAD}| Imbalance | 300 | 200 | kg | |\n| Other | | 3 | kg | |\n",
    )

    assert [] == found


def test_a_step_put_in_shows_the_order_once(tmp_path: Path) -> None:
    """A flow's change is told by its order, not by each next step."""
    found = between(
        tmp_path,
        "# Start\n\n1. Battery ON\n2. Starter PRESS\n3. Fuel RUN\n",
        "# Start\n\n1. Battery ON\n2. Pump ON\n3. Starter PRESS\n4. Fuel RUN\n",
    )

    assert [
        (
            "changed",
            "Start",
            "Battery ON; Starter PRESS; Fuel RUN",
            "Battery ON; Pump ON; Starter PRESS; Fuel RUN",
        )
    ] == told(found)


values = st.dictionaries(
    st.sampled_from(["Imbalance", "Filter differential", "Boost pressure", "Zero fuel mass", "Quantity"]),
    st.integers(1, 4).map(lambda value: f"{value} kg"),
    min_size=1,
)


@settings(max_examples=25, deadline=None)
@given(old=values, new=values)
def test_sorts_add_up(
    tmp_path_factory: pytest.TempPathFactory, old: dict[str, str], new: dict[str, str]
) -> None:
    """A deck doesn't differ from itself, and every point that came, went or changed is told exactly once."""
    folder = tmp_path_factory.mktemp("laws")
    one, _ = read_deck(notes(folder / "one", old))
    two, _ = read_deck(notes(folder / "two", new))
    found = Difference.between(one, two).changes()
    told_new = {change.subject for change in found if change.change in ("new", "renamed")}
    told_old = {
        change.before or change.subject for change in found if change.change in ("withdrawn", "renamed")
    }

    assert [] == Difference.between(one, one).changes()
    assert set(new) - set(old) == told_new
    assert set(old) - set(new) == told_old
    assert {name for name in old.keys() & new.keys() if old[name] != new[name]} == {
        change.subject for change in found if change.change == "changed"
    }
