"""What is recited word for word: the numbers of a list and plurals are forgiven, and nothing else."""

import pytest

from recall.answers.members import RecitalAnswer
from recall.answers.model import Lore

FIRE = ("Power lever – IDLE", "Crank – 30 s", "Fuel pump 2 – OFF")


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("1 power lever idle 2 crank 30 s 3 fuel pump 2 off", True),
        ("1. power lever idle 2. crank 30 s 3. fuel pump 2 off", True),
        ("power levers idle, crank 30 s, fuel pump 2 off", True),
        ("1 power lever idle 3 crank 30 s 2 fuel pump 2 off", False),
        ("2 power lever idle 3 crank 30 s 4 fuel pump 2 off", False),
        ("1 power lever idle 2 crank 3 s 3 fuel pump 2 off", False),
        ("1 power lever idle 2 crank 30 s 3 fuel pump off", False),
        ("power lever idled, crank 30 s, fuel pump 2 off", False),
    ],
)
def test_numbers_of_a_list_and_plurals_are_forgiven(typed: str, right: bool) -> None:
    """Numbers that follow one another from the head; a number of a step itself must be there."""
    assert right == RecitalAnswer(FIRE).mark(typed).right


def test_one_text_is_numbered_as_several_are() -> None:
    """A recital that stands in one sentence."""
    recital = RecitalAnswer(("Power lever idle, crank 30 s, fuel off.",))

    assert recital.mark("1 power lever idle 2 crank 30 s 3 fuel off").right


def test_a_plural_of_which_the_deck_speaks_is_another_thing() -> None:
    """Where it has both `fuel pump` and `fuel pumps`."""
    deck = Lore(says=lambda _: ["Fuel pumps", "Power lever"])
    recital = RecitalAnswer(("Fuel pump – OFF", "Power lever – IDLE"))

    assert recital.mark("fuel pump off, power levers idle", deck).right
    assert not recital.mark("fuel pumps off, power lever idle", deck).right
