"""The kind `interlock`: what inhibits a function, what it requires, how it is overridden. Tables and sentences."""

from collections.abc import Mapping
from dataclasses import replace
from typing import ClassVar

from recall.answers import in_words
from recall.base.finding import Finding
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Draft, Point, Read, Scope, base_point
from recall.kinds.prose.form import SentenceForm, form
from recall.kinds.prose.lexicon import by_role
from recall.kinds.tables.cells import Answers, conditions, leaks, parts_of, within, without_stop
from recall.kinds.tables.joining import (
    contradict,
    joined,
    one_stem,
    said_again,
    same_words,
    told_apart,
    union,
)

_MOST_TYPED = 4
"""Words of a condition of several; one alone can be put in many words, and is revealed."""


class Interlock(Kind):
    """A function with what inhibits it, what it requires, and how it is overridden."""

    name = "interlock"
    aspects = ("inhibited-by", "requires", "override")
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role(
        """
        function: function, operation, feature, inhibited function, inhibited item, inhibited system, what is
            inhibited, system function, system or function, function or system, system/function,
            function/system, interlock, alert, warning, message, protection, service, selection, command,
            action
        of: system, item, control, equipment, component, device, subsystem, actuator, unit, mode, operating
            mode
        phase: phase, flight phase, phase of flight, configuration, regime
        inhibited: inhibited when, inhibited by, inhibited if, inhibited while, inhibited during, inhibited,
            inhibit condition, inhibit, inhibiting condition, inhibition, inhibition condition, when
            inhibited, inhibit logic, blocked when, blocked by, blocked if, blocked while, locked out when,
            locked out by, lockout condition, lockout, disabled when, disabled by, disabled if, disabled
            while, prevented when, prevented by, prohibited when, unavailable when, not available when,
            suppressed when, suppressed by, cut out when, inoperative when, does not work when
        requires: requires, required condition, prerequisite, precondition, pre-condition, needs, enabled
            when, enabled by, enabled if, enabled only when, available when, available only when, available
            if, permitted when, permitted if, permitted only when, allowed when, allowed if, allowed only
            when, only when, only if, operates when, operates only when, works when, works only when,
            permissive, permissive condition, interlock condition, active when, active only when, engages
            when, engages only when, unless, not unless, possible when, possible only when, condition
            required, conditions required, must be met, necessary condition
        override: override, overridden by, override by, manual override, bypass, bypassed by, can be
            overridden by, override method, overriding, how to override, override procedure, defeat, defeated
            by
        """
    )
    required = (("function", "of"), ("inhibited", "requires"))
    title = "Interlocks"
    sheet: ClassVar[Mapping[str, str]] = {
        "": "Function",
        "inhibited": "Inhibited when",
        "requires": "Requires",
        "override": "Override",
    }
    rows_add_up = True
    sentences: ClassVar[tuple[SentenceForm, ...]] = (
        form("interlock", "inhibited", r"(?P<x>.+?) (?P<lead>{be} {blocked} {while}) (?P<y>.+)"),
        form("interlock", "requires", r"(?P<x>.+?) (?P<lead>{be} {blocked} {unless}) (?P<y>.+)"),
        form("interlock", "inhibited", r"(?P<x>.+?) (?P<lead>{be} {blocked}) (?P<y>{at} .+)"),
        form("interlock", "inhibited", r"(?P<x>.+?) (?P<lead>{barred} {while}) (?P<y>.+)"),
        form("interlock", "requires", r"(?P<x>.+?) (?P<lead>{barred} {unless}) (?P<y>.+)"),
        form("interlock", "inhibited", r"(?P<x>.+?) (?P<lead>{barred}) (?P<y>{at} .+)"),
        form("interlock", "requires", r"(?P<x>{order} .+?) (?P<lead>(?:{unless}|before)) (?P<y>.+)"),
        form("interlock", "inhibited", r"(?P<x>{order} .+?) (?P<lead>{while}) (?P<y>.+)"),
        form("interlock", "inhibited", r"(?P<x>{order} .+?) (?P<y>{bound}.+)"),
        form("interlock", "requires", r"(?P<x>.+? {not} .+?) (?P<lead>(?:{unless}|before)) (?P<y>.+)"),
        form("interlock", "inhibited", r"(?P<x>.+? {not} .+?) (?P<lead>{while}) (?P<y>.+)"),
        form("interlock", "inhibited", r"(?P<x>.+? {not} .+?) (?P<y>{bound}.+)"),
        form("interlock", "requires", r"{none} (?P<x>.+?) (?P<lead>{unless}) (?P<y>.+)"),
        form("interlock", "inhibited", r"{none} (?P<x>.+?) (?P<lead>{while}) (?P<y>.+)"),
        form("interlock", "requires", r"(?P<x>.+?) (?P<lead>only {once}) (?P<y>.+)"),
        form("interlock", "requires", r"(?P<x>.+? (?:is|are) only {usable}) (?P<y>{at} .+)"),
        form("interlock", "requires", r"(?P<x>.+? (?:is|are) {usable}) (?P<lead>only) (?P<y>{at} .+)"),
        form("interlock", "requires", r"(?P<x>.+? {may} only .+?) (?P<lead>{once}) (?P<y>.+)"),
        form("interlock", "requires", r"(?P<y>.+? {must} .+?) (?P<lead>before) (?P<x>.+)"),
        form("interlock", "inhibited", r"(?P<y>.+?) (?P<lead>prevents) (?P<x>.+? from .+)"),
        form("interlock", "inhibited", r"(?P<y>.+?) (?P<lead>inhibits|locks out|disables) (?P<x>.+)"),
    )

    def read_table(self, match: Match, scope: Scope) -> Read:
        """Points row by row; a row needs one of the conditions, the override is optional."""
        points: list[Point] = []
        subject = "function" if "function" in match.columns else "of"
        answers = Answers(match, subject=subject, what="condition")
        for row, cells in answers.rows():
            found = {role: parts_of(cells[role].plain) for role in ("inhibited", "requires") if role in cells}
            if subject not in cells:
                answers.nameless(row.place, "function")
            elif found or "override" in cells:
                answers.answered += 1
                point = base_point("interlock", within(cells, subject), scope, cells)
                point.condition = conditions(cells, {"phase"})
                point.fields = {role: parts for role, parts in found.items() if parts}
                if "override" in cells:
                    point.fields["override"] = (without_stop(cells["override"].plain),)
                points.append(point)
            else:
                answers.gap(row.place, cells[subject].plain)
        return points, answers.said()

    def joins(self, first: Point, second: Point) -> Point | None:
        """Several conditions of one function are a set, unless one denies another."""
        one, two = first.fields, second.fields
        if told_apart(first, second):
            return None
        fields: dict[str, tuple[str, ...]] = {}
        wording: dict[str, str] = {}
        for role in ("inhibited", "requires"):
            mine, other = one.get(role, ()), two.get(role, ())
            if any(contradict(a, b) for a in mine for b in other):
                return None
            stems = [point.wording.get(role, "") for point in (first, second) if role in point.fields]
            if all(stems) and len(stems) == 2:
                wording[role], mine, other = one_stem(stems[0], mine, stems[1], other)
            elif len(stems) == 1:
                wording[role] = stems[0]
            if parts := union(mine, other):
                fields[role] = parts
        if any(same_words(a, b) for a in fields.get("inhibited", ()) for b in fields.get("requires", ())):
            return None
        ways = one.get("override", ()), two.get("override", ())
        if ways[0] and ways[1] and not same_words(ways[0][0], ways[1][0]):
            return None
        if override := ways[0] or ways[1]:
            fields["override"] = override
        return replace(joined(first, second, fields), wording=wording)

    def join_findings(self, first: Point, second: Point) -> list[Finding]:
        """A row that adds nothing is said twice."""
        return said_again(first, second)

    def drafts(self, point: Point) -> list[Draft]:
        """What inhibits it, what it requires, how it is overridden."""
        drafts = []
        for role, aspect in (("inhibited", "inhibited-by"), ("requires", "requires")):
            if parts := point.fields.get(role):
                drafts.append(
                    Draft(aspect, _asked(point, role, len(parts)), in_words(parts, _MOST_TYPED, fewest=2))
                )
        if override := point.fields.get("override"):
            asked = f"How is the interlock of {_name(point)} overridden?"
            drafts.append(Draft("override", asked, in_words(override, _MOST_TYPED, fewest=2)))
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer.texts)]


def _asked(point: Point, role: str, count: int) -> str:
    if stem := point.wording.get(role):
        return f"Complete{', with all conditions' if count > 1 else ''}: “{stem}”"
    if role == "inhibited":
        return f"Which condition{'s inhibit' if count > 1 else ' inhibits'} {_name(point)}?"
    return f"Which {f'{count} conditions' if count > 1 else 'condition'} does {_name(point)} require?"


def _name(point: Point) -> str:
    return f"“{point.subject}” ({point.condition})" if point.condition else f"“{point.subject}”"
