"""The kind `interlock`: what inhibits a function, what it requires, how it is overridden. Tables and sentences."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import ClassVar

from recall.base.finding import Finding
from recall.kinds import lexicon
from recall.kinds.cells import Answers, conditions, leaks, parts_of, within, without_stop
from recall.kinds.joining import contradict, joined, said_again, same_words, told_apart, union
from recall.kinds.model import Draft, Form, Kind, Point, Read, Scope, base_point
from recall.kinds.sentences import one_sentence, points_elsewhere, runs_on, with_subject
from recall.notes.model import Paragraph, Table, Text

ROLES = ("inhibited", "requires", "override")

_NO_TAIL = frozenset(("that", "which", "who", "not", "and", "or", "but", "if", "when", "says", "means"))
_MOST_TYPED = 4
_MOST_WORDS = 16
_INHIBITED = re.compile(
    r"(?P<x>.+?) (?P<lead>(?:is|are) inhibited (?P<how>when|while|unless)) (?P<y>.+)", re.IGNORECASE
)
_NOBODY = frozenset(("he", "she", "use", "do", "reason", "point", "need", "way", "doubt", "sense", "harm"))
"""Words at the head of a sentence that is about no function: persons, orders, `no reason to … without`."""
_LOOSE = frozenset(("it", "them", "him", "her"))
"""Words behind the head that stand for something said before."""
_CANNOT = re.compile(
    r"(?P<x>.+? (?:cannot|can not|can't|can’t|will not|won't|won’t) .+?) (?P<lead>unless|until|without) (?P<y>.+)",
    re.IGNORECASE,
)
_ONLY = re.compile(r"(?P<x>.+?) (?P<lead>only when) (?P<y>.+)", re.IGNORECASE)
_WITHOUT = re.compile(
    r"(?P<there>there is |there are )?no (?P<x>.+?) (?P<lead>without) (?P<y>.+)", re.IGNORECASE
)


class Interlock(Kind):
    """A function with what inhibits it, what it requires, and how it is overridden."""

    name = "interlock"
    aspects = ("inhibited-by", "requires", "override")
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "function": (
            "function", "operation", "feature", "inhibited function", "inhibited item", "inhibited system",
            "what is inhibited", "system function", "system or function", "function or system", "system/function",
            "function/system", "interlock", "alert", "warning", "message", "protection", "service", "selection",
            "command", "action",
        ),
        "of": (
            "system", "item", "control", "equipment", "component", "device", "subsystem", "actuator", "unit",
            "mode", "operating mode",
        ),
        "phase": ("phase", "flight phase", "phase of flight", "configuration", "regime"),
        "inhibited": (
            "inhibited when", "inhibited by", "inhibited if", "inhibited while", "inhibited during", "inhibited",
            "inhibit condition", "inhibit", "inhibiting condition", "inhibition", "inhibition condition",
            "when inhibited", "inhibit logic", "blocked when", "blocked by", "blocked if", "blocked while",
            "locked out when", "locked out by", "lockout condition", "lockout", "disabled when", "disabled by",
            "disabled if", "disabled while", "prevented when", "prevented by", "prohibited when",
            "unavailable when", "not available when", "suppressed when", "suppressed by", "cut out when",
            "inoperative when", "does not work when",
        ),
        "requires": (
            "requires", "required condition", "prerequisite", "precondition", "pre-condition", "needs",
            "enabled when", "enabled by", "enabled if", "enabled only when", "available when",
            "available only when", "available if", "permitted when", "permitted if", "permitted only when",
            "allowed when", "allowed if", "allowed only when", "only when", "only if", "operates when",
            "operates only when", "works when", "works only when", "permissive", "permissive condition",
            "interlock condition", "active when", "active only when", "engages when", "engages only when", "unless",
            "not unless", "possible when", "possible only when", "condition required", "conditions required",
            "must be met", "necessary condition",
        ),
        "override": (
            "override", "overridden by", "override by", "manual override", "bypass", "bypassed by",
            "can be overridden by", "override method", "overriding", "how to override", "override procedure",
            "defeat", "defeated by",
        ),
    }  # fmt: skip
    required = (("function", "of"), ("inhibited", "requires"))

    def read_table(self, table: Table, roles: Mapping[int, str], scope: Scope) -> Read:
        """Points row by row; a row needs one of the conditions, the override is optional."""
        points: list[Point] = []
        subject = "function" if "function" in roles.values() else "of"
        answers = Answers(table, roles, subject=subject, what="condition")
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

    def read_item(self, text: Text, scope: Scope) -> Read | None:
        """A sentence in one of the plain forms: is inhibited when, cannot … unless, only when, no … without."""
        sentence = one_sentence(text)
        if sentence is None:
            return None
        for pattern in (_INHIBITED, _CANNOT, _WITHOUT, _ONLY):
            if found := pattern.fullmatch(sentence):
                return self._sentence(pattern, found, text, scope)
        return None

    def _sentence(
        self, pattern: re.Pattern[str], found: re.Match[str], text: Text, scope: Scope
    ) -> Read | None:
        subject, lead, condition = found["x"].strip(), found["lead"], found["y"].strip()
        words = subject.casefold().split()
        if pattern is _ONLY and lexicon.NEGATING & set(words):
            return None
        if (words[0] in _NOBODY and words[1:2] != ["of"]) or _LOOSE.intersection(words[1:]):
            return None
        if words[0] in lexicon.OPENERS or words[-1] in _NO_TAIL or re.search(r"[,:]", subject):
            return None
        if len(subject.split()) > _MOST_WORDS or runs_on(condition) or pattern.fullmatch(condition):
            return None
        if re.search(r"\b(?:that|which|who) (?:cannot|can't|will not|won't|is|are)\b", subject):
            return None
        if points_elsewhere(" ".join(words[1:])) or points_elsewhere(condition):
            return None
        named = with_subject(subject, scope)
        if named is None:
            return None
        stem = f"{named} {lead}"
        if pattern is _WITHOUT:
            stem = f"{found['there'] or ''}no {stem}"
        role = "inhibited" if pattern is _INHIBITED and found["how"].casefold() != "unless" else "requires"
        point = base_point("interlock", replace(text, plain=named, runs=()), scope)
        point.fields[role] = (condition,)
        point.wording[role] = stem[0].upper() + stem[1:]
        return [point], []

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """A paragraph of one sentence; one wholly in bold is to be recited, and isn't ours."""
        return None if block.text.bold == "all" else self.read_item(block.text, scope)

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
            if parts := union(mine, other):
                fields[role] = parts
            stems = [point.wording.get(role) for point in (first, second) if role in point.fields]
            if stems and stems[0] and all(stems):
                wording[role] = stems[0]
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
                drafts.append(Draft(aspect, _asked(point, role, len(parts)), parts, _form(parts)))
        if override := point.fields.get("override"):
            asked = f"How is the interlock of {_name(point)} overridden?"
            drafts.append(Draft("override", asked, override, _form(override)))
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer)]


def _asked(point: Point, role: str, count: int) -> str:
    if stem := point.wording.get(role):
        return f"Complete{', with all conditions' if count > 1 else ''}: “{stem} …”"
    if role == "inhibited":
        return f"Which condition{'s inhibit' if count > 1 else ' inhibits'} {_name(point)}?"
    return f"Which {f'{count} conditions' if count > 1 else 'condition'} does {_name(point)} require?"


def _name(point: Point) -> str:
    return f"“{point.subject}” ({point.condition})" if point.condition else f"“{point.subject}”"


def _form(parts: tuple[str, ...]) -> Form:
    """A short set is typed; all else is revealed, since a condition can be put in many words."""
    return "set" if len(parts) > 1 and all(len(part.split()) <= _MOST_TYPED for part in parts) else "prose"
