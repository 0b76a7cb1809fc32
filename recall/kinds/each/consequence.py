"""The kind `consequence`: what follows from what, and what is done about it. Tables, sentences, arrow chains."""

import re
from collections.abc import Collection, Mapping
from typing import ClassVar

from recall.answers import ProseAnswer, in_words
from recall.base.finding import Finding
from recall.base.text import one_line
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Draft, Point, Read, Scope, base_point
from recall.kinds.prose.form import SentenceForm, form
from recall.kinds.prose.lexicon import VERBS, by_role
from recall.kinds.prose.sentence import has_verb
from recall.kinds.tables.cells import Answers, conditions, leaks, lines_of, parts_of, within, without_stop
from recall.kinds.tables.headers import header_name, names_of, spellings
from recall.kinds.tables.joining import contradict, joined, said_again, same_words, told_apart, union
from recall.notes.model import Table

_WEAK = frozenset(
    ("event", "trigger", "when", "case", "scenario", "change", "skipped step", "step skipped", "omission")
)
"""Names of a condition that make a consequence only beside a named effect: `Event | Action` may be any diary."""
_PROCEDURE = frozenset(("step", "steps", "#", "no", "no."))
_MOST_TYPED = 4
_NOT_ASKED_FROM = re.compile(
    r"(?:its?|they|their|this|these|he|she|both|each)\b|(?:none|nothing|nil|no effect|no change)\.?$",
    re.IGNORECASE,
)
"""Effects that point back at the condition, or that many conditions have."""
_FAILS = re.compile(r"\b(?:fail|fault|los[st]|malfunction|defect|skip|omi|break)", re.IGNORECASE)
_TURNED_ROUND = ("Unless", "Without", "Until")
"""Words by which what follows comes of the opposite."""
_SAYS_SO = re.compile(
    r"fail|fault|los[st]|malfunction|defect|leak|stuck|jam|broken|dead|out\b|inop|damage|skip|omit|crack|block|clog|seiz|"
    r"burst|freez|frozen|miss|short|over|under|low\b|high\b|hot\b|no\b",
    re.IGNORECASE,
)
"""Words by which a condition says itself that something is wrong."""


class Consequence(Kind):
    """A condition with its effects, its indication, and the action."""

    name = "consequence"
    aspects = ("effect", "cause", "action")
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role(
        """
        if: if, failure, fault, problem, failure mode, failed, failed item, failed component, failed system,
            failure of, failure condition, failure case, failure scenario, fault condition, event,
            malfunction, trigger, issue, loss of, loss, lost, abnormality, abnormal condition, anomaly,
            defect, trouble, difficulty, if this fails, if this happens, what fails, what failed, component
            failure, system failure, skipped step, step skipped, omission, if skipped, action skipped, if
            omitted, mistake, error, change, emergency, emergency condition, initiating event
        then: then, effect, consequence, result, outcome, impact, what follows, follows, what happens,
            happens, failure effect, system effect, effect on aircraft, effect on system, effect on flight,
            local effect, end effect, final effect, leads to, results in, resulting in, resulting condition,
            causes, it causes, implication, repercussion, aftermath, systems lost, lost systems, system lost,
            what is lost, systems affected, affected systems, system response, aircraft response, system
            reaction, reaction, what you lose, expected result, behaviour, behavior, system behaviour
        indication: indication, annunciation, cas message, message, caption, light, alert, warning, caution,
            detection, detected by, sign, cue, display, annunciator, how it shows, symptom, shown by,
            recognition, what you see, you see
        action: action, crew action, corrective action, pilot action, immediate action, required action,
            action required, recommended action, remedial action, remedy, response, crew response, fix,
            solution, procedure, mitigation, what to do, do, do this, resolution, recovery, correction, action
            to take, action taken, countermeasure, workaround, checklist, rectification, treatment, crew
            procedure, pilot response, what you do, you do, to do
        when: when, condition, situation, scenario, case, circumstance
        phase: phase, flight phase, phase of flight, mode, operating mode, configuration, state, regime
        of: system, component, item, part, equipment, subsystem, unit, element, device, function, assembly
        cause: cause, likely cause, possible cause, probable cause, root cause, potential cause, causes,
            common cause, typical cause, reason for failure
        """
    )
    required = (("if", "when", "cause"), ("then", "action"))
    title = "Consequences"
    sheet: ClassVar[Mapping[str, str]] = {"": "If", "then": "Then", "action": "Action"}
    shown = ("indication", "cause")
    rows_add_up = True
    sentences: ClassVar[tuple[SentenceForm, ...]] = (
        form(
            "consequence", "then",
            r"(?P<word>if|when|whenever|should|unless|once|as soon as|in case of|in the event of|while|as long as|"
            r"until|without|before)\s+(?P<rest>.+)", "condition",
        ),
        form("consequence", "then", r"(?P<x>.+?) (?P<lead>causes?|results? in|leads? to) (?P<y>.+)", "name"),
        form("consequence", "then", r"(?P<x>\w{{3,}}ing (?!is\b|are\b).+?) (?P<y>(?:will|{effect}) .+)"),
        form("consequence", "then", r"(?P<x>(?:loss|failure|lack|removal|release) of .+?) (?P<y>{effect} .+)"),
        form("consequence", "then", r"(?P<y>.+? {must} .+?) (?P<x>(?:{while}|until|unless|{bound}|at an? ).+)"),
    )  # fmt: skip

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """A condition with an effect; with an action alone only where nothing says that it is an alarm with its cause
        or a procedure with its steps."""
        column = {role: at for at, role in roles.items()}
        subject = _subject(column)
        if "then" in column:
            return subject is not None and not (subject == "cause" and "indication" in column)
        if subject in (None, "cause") or "action" not in column or "cause" in column:
            return False
        header = header_name(table.headers[column[subject or ""]].plain)
        return not any(way in _WEAK for way in spellings(header)) and not _PROCEDURE & set(names_of(table))

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """Its subject is what something follows from: a condition, or else a cause."""
        match = super().match(table, roles)
        if match is not None:
            match.subject = match.columns[_subject(match.columns) or "if"]
            match.shown = [at for at in match.shown if at != match.subject]
        return match

    def read_table(self, match: Match, scope: Scope) -> Read:
        """Points row by row; the effect is due where there is a column for it."""
        table, column = match.table, match.columns
        condition = _subject(column) or "if"
        due = "then" if "then" in column else "action"
        what = header_name(table.headers[column[due]].plain)
        head = _singular(one_line(table.headers[column[condition]].plain))
        answers = Answers(match, subject=condition, what=what)
        points: list[Point] = []
        for row, cells in answers.rows():
            if condition not in cells:
                answers.nameless(row.place, "condition")
                continue
            if due not in cells:
                answers.gap(row.place, cells[condition].plain)
            point = base_point("consequence", within(cells, condition), scope, cells)
            point.subject = without_stop(point.subject)
            point.condition = conditions(cells, {"when", "phase"} - {condition})
            point.wording["of" if "of" in cells else "head"] = head
            if "then" in cells:
                point.fields["then"] = parts_of(cells["then"].plain)
            if "action" in cells:
                point.fields["action"] = (lines_of(cells["action"].plain),)
            if not point.fields:
                continue
            answers.answered += 1
            if answers.carried and points and points[-1].key("") == point.key(""):
                _go_on(points[-1], point)
            else:
                points.append(point)
        return points, answers.said()

    def joins(self, first: Point, second: Point) -> Point | None:
        """Several effects of one condition are a set, unless one denies another or the actions differ."""
        one, two = first.fields, second.fields
        shown = (*self.headers["indication"], *self.headers["cause"])
        if "then" not in one or "then" not in two or told_apart(first, second, shown):
            return None
        if any(contradict(a, b) for a in one["then"] for b in two["then"]):
            return None
        actions = one.get("action", ()), two.get("action", ())
        if actions[0] and actions[1] and not same_words(actions[0][0], actions[1][0]):
            return None
        fields = {**two, **one, "then": union(one["then"], two["then"])}
        return joined(first, second, fields)

    def join_findings(self, first: Point, second: Point) -> list[Finding]:
        """A row that adds nothing is said twice."""
        return said_again(first, second)

    def drafts(self, point: Point) -> list[Draft]:
        """What follows, what it follows from, what is to be done."""
        drafts = []
        asked = _conditional(point)
        if then := point.fields.get("then"):
            gap = point.wording.get("then")
            effect = f"Complete: “{gap}”" if gap else f"{asked} what follows?"
            drafts.append(
                Draft(
                    "effect", effect, in_words(then, _MOST_TYPED, fewest=2 if any(map(has_verb, then)) else 1)
                )
            )
            if gap:
                drafts.append(
                    Draft("cause", f"Complete: “{point.wording['back']}”", ProseAnswer((point.subject,)))
                )
            elif point.wording.get("word") not in _TURNED_ROUND and not any(map(_NOT_ASKED_FROM.match, then)):
                wanted = "this" if len(then) == 1 else "all of this"
                effects = "; ".join(then).rstrip(".")
                drafts.append(
                    Draft("cause", f"What leads to {wanted}: {effects}?", ProseAnswer((point.subject,)))
                )
        if action := point.fields.get("action"):
            drafts.append(Draft("action", f"{asked} what is to be done?", ProseAnswer(action)))
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer.texts)]


def _subject(roles: Collection[str]) -> str | None:
    """The role that names what something follows from."""
    return next((role for role in ("if", "when", "cause") if role in roles), None)


def _singular(header: str) -> str:
    return header[:-1] if re.search(r"[^s]s$", header) and " " not in header else header


def _go_on(point: Point, more: Point) -> None:
    """A row of ditto marks: what else follows, and what is done next."""
    for role, parts in more.fields.items():
        known = point.fields.get(role, ())
        both = union(known, parts)
        point.fields[role] = both if role == "then" or not known else ("; ".join(both),)


def _conditional(point: Point) -> str:
    """The condition as the head of a question: `If the pump fails,`, `Pump failure:`, `Failure, pump A:`."""
    under = f" ({point.condition})" if point.condition else ""
    if "of" not in point.wording and ("word" in point.wording or has_verb(point.subject)):
        return f"{point.wording.get('word', 'If')} {_lower(point.subject)}{under},"
    head = point.wording.get("head", "")
    if _FAILS.search(head) and not _SAYS_SO.search(point.subject):
        return f"{head}, {point.subject}{under}:"
    first = point.subject.partition(" ")[0]
    upper = first.capitalize() if first.islower() and len(first) > 1 else first
    return f"{upper}{point.subject[len(first) :]}{under}:"


def _lower(phrase: str) -> str:
    """A clause for the middle of a sentence: the capital of a plain first word is taken back."""
    first, _, rest = phrase.partition(" ")
    plain = first.isalpha() and (first[1:].islower() or (first == "A" and rest.split(" ")[0] not in VERBS))
    return phrase[0].lower() + phrase[1:] if plain else phrase
