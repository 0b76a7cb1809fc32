"""Findings: what the checker says about the notes. The set of rules is closed and stands here."""

from typing import Literal

from recall.base.dataclass import dataclass

Severity = Literal["error", "warning", "note"]

_BY_SEVERITY: tuple[tuple[Severity, str], ...] = (
    ("error", """
        unreadable-file bad-record bad-id unreadable-quantity minimum-above-maximum normal-outside-limits
        unit-mismatch conflicting-points supply-loop
    """),
    ("warning", """
        differs-elsewhere duplicate-point same-question limit-without-unit unknown-unit
        ambiguous-abbreviation undefined-abbreviation missing-answer empty-template no-citation
        unknown-variant unknown-topic past-review-date overlong-answer overlong-flow broken-reference
        unclosed-block hidden-character doubtful-note often-missed
    """),
    ("note", """
        unrecognised-table unrecognised-list unread-sentence unread-amount other-keys unknown-supply look-alike
        drifted asked-once
    """),
)  # fmt: skip
RULES: dict[str, Severity] = {rule: severity for severity, rules in _BY_SEVERITY for rule in rules.split()}
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
