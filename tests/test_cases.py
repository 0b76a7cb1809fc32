"""Every golden case makes the cards and the findings that it says, no more and no less."""

from pathlib import Path

import pytest
from golden import CASES, made_by, read_case

from recall.base.finding import OF_A_CLASS, RULES
from recall.kinds.registry import KINDS

PATHS = sorted(CASES.glob("*.md"))


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_a_case_makes_what_it_says(path: Path) -> None:
    """Cards in order with prompt and answer, findings in order with line and rule."""
    case = read_case(path)

    assert (case.cards, case.findings) == made_by(case)


def test_every_kind_and_every_rule_has_a_case() -> None:
    """A kind or a rule without a case is a hope, not a promise."""
    cases = [read_case(path) for path in PATHS]
    kinds = {line.split()[0] for case in cases for line in case.cards}
    rules = {line.split()[1] for case in cases for line in case.findings}

    assert (set(), set()) == ({kind.name for kind in KINDS} - kinds, set(RULES) - OF_A_CLASS - rules)


def test_a_planted_mistake_in_a_case_is_caught() -> None:
    """A case that says another answer than the note fails."""
    case = read_case(CASES / "limit-table.md")
    case.cards[0] += " or so"

    assert (case.cards, case.findings) != made_by(case)
