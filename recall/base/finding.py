"""Findings: what the checker says about the notes. The set of rules is closed and stands here."""

from typing import Literal

from recall.base.dataclass import dataclass

Severity = Literal["error", "warning", "note"]

RULES: dict[str, Severity] = {
    "unreadable-file": "error",
    "bad-record": "error",
    "bad-id": "error",
    "unreadable-quantity": "error",
    "minimum-above-maximum": "error",
    "normal-outside-limits": "error",
    "unit-mismatch": "error",
    "conflicting-points": "error",
    "supply-loop": "error",
    "differs-elsewhere": "warning",
    "duplicate-point": "warning",
    "same-question": "warning",
    "limit-without-unit": "warning",
    "unknown-unit": "warning",
    "ambiguous-abbreviation": "warning",
    "undefined-abbreviation": "warning",
    "missing-answer": "warning",
    "empty-template": "warning",
    "no-citation": "warning",
    "unknown-variant": "warning",
    "unknown-topic": "warning",
    "past-review-date": "warning",
    "overlong-answer": "warning",
    "overlong-flow": "warning",
    "broken-reference": "warning",
    "unclosed-block": "warning",
    "hidden-character": "warning",
    "doubtful-note": "warning",
    "often-missed": "warning",
    "unrecognised-table": "note",
    "unrecognised-list": "note",
    "unread-sentence": "note",
    "other-keys": "note",
    "unknown-supply": "note",
    "look-alike": "note",
    "drifted": "note",
    "asked-once": "note",
}
OF_A_CLASS = frozenset(("doubtful-note", "often-missed", "drifted"))
"""Rules that no note breaks by itself: a class's answers say so."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the notes. file: path as shown to the person; line and column count from 1."""

    file: str
    line: int
    column: int = 1


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding. message: one line that stands alone, the note's own text in backticks; help: the cure."""

    rule: str
    place: Place
    message: str
    help: str = ""

    @property
    def severity(self) -> Severity:
        """Severity of the rule."""
        return RULES[self.rule]


def finding(rule: str, place: Place, message: str, help: str = "") -> Finding:
    """The only maker of findings. Raises KeyError for a rule outside the closed set."""
    if rule not in RULES:
        raise KeyError(f"no rule named {rule!r}")
    return Finding(rule, place, message, help)
