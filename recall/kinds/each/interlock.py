"""The kind `interlock`: what inhibits a function, what it requires, how it is overridden. Tables and sentences."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.base import regex as re
from recall.kinds.aspect import Aspect, typed
from recall.kinds.english import BEHIND, is_plural, lower, the
from recall.kinds.kind import Kind
from recall.kinds.model import Point
from recall.kinds.prose.form import SentenceForm, forms
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.sentence import has_verb
from recall.kinds.tables.cells import parts_of, phrase

_RULE = re.compile(r"forbidden|prohibited|not (?:allowed|permitted)")
_EVENT = re.compile(r" (?:release|reset|start|stop|test|transfer)$")
"""Ends a name that is no clause."""
_NAMED = re.compile(r" (?:is|are|stays?|remains?|needs|requires) ")
"""Behind a name that a heading goes on from: `The laser | Inhibited when`."""
_DENIED = (
    r"(?P<x>.+?(?<! be)) (?:(?:{be} )?{blocked}|{barred})",
    r"(?P<x>(?:{order}|.+? {not}) .+?)",
    r"{none} (?P<x>.+?)",
)
"""Sentences that deny something, up to the words that say when."""
_LINKS = (
    ("requires", r"(?P<lead>{unless}|before(?! \S+$)) (?P<y>.+)"),
    ("inhibited", r"(?P<lead>{while}) (?P<y>.+)"),
    ("inhibited", r"(?P<y>{bound}.+)"),
)
_WORDS = typed(4, fewest=2)
"""A condition of several; one alone can be put in many words, and is revealed."""


INHIBITS = Aspect(
    "inhibits", "inhibits", "{condition}: which function does that inhibit?",
    "{condition}: which {n} functions in all does that inhibit?", typed(6), parts=lambda _: (),
)  # fmt: skip
"""Asked where one condition inhibits several functions of a deck (`recall.deck.once`)."""


def _forbids(point: Point) -> bool:
    """Whether a rule forbids it, where else a device inhibits it."""
    return _RULE.match(point.wording.get("inhibited head", "")) is not None


class Interlock(Kind):
    """A function with what inhibits it, what it requires, and how it is overridden."""

    name = "interlock"
    rank = 30
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("What inhibits {it}?", "What blocks {it}?"),
        ("Which condition inhibits {it}?", "Which condition blocks {it}?"),
        ("When {is} {it} forbidden?", "In which case {is} {it} forbidden?"),
        ("What {does} {it} require?", "What is required for {it}?"),
        ("Which {n} conditions {does} {it} require?", "Which {n} conditions are required for {it}?"),
        (
            "Which {override}, if any, does the interlock on {it} have?",
            "Which {override}, if any, is there for the interlock on {it}?",
        ),
    )
    aspects = (
        Aspect(
            "inhibited-by", "inhibited", "{when inhibited}?", "Which {n} conditions inhibit {name}?", _WORDS,
            unless=_forbids,
        ),
        Aspect(
            "inhibited-by", "inhibited", "When {is} {name} forbidden?",
            "When {is} {name} forbidden? Name {n} cases.", _WORDS, unless=lambda point: not _forbids(point),
        ),
        Aspect(
            "requires", "requires", "What {does} {name} require?",
            "Which {n} conditions {does} {name} require?", _WORDS,
        ),
        INHIBITS,
        Aspect(
            "override", "override", "Which {way out}, if any, does the interlock on {name} have?", form=_WORDS,
        ),
    )  # fmt: skip
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role("""
        function: function, operation, feature, inhibited function|item|system, what is inhibited, system function,
            system|function or function|system, system/function, function/system, interlock, alert, warning,
            message, protection, service, selection, command, action
        of: system, item, control, equipment, component, device, subsystem, actuator, unit, operating| mode
        phase: phase, flight phase, phase of flight, configuration, regime
        inhibited: inhibited when, inhibited|blocked|locked_out|disabled|prevented|prohibited|forbidden|suppressed
            when|by|if|while, inhibited during|, inhibit|inhibiting|inhibition|lockout condition, inhibit,
            inhibition, when inhibited, inhibit logic, lockout, unavailable|not_available|not_allowed when,
            cut_out|inoperative|does_not_work when
        requires: requires, required|permissive|interlock|necessary condition, prerequisite, precondition,
            pre-condition, needs, enabled|available|permitted|allowed|operates|works|active|engages|possible only|
            when, enabled|available|permitted|allowed if, enabled by, only when|if, permissive, not| unless,
            condition|conditions required, must be met
        override: override, overridden|override|bypassed|defeated|reset|released|cleared by, manual override, bypass,
            can be overridden by, override method|procedure, overriding, how to override|reset|release, defeat,
            reset, release
    """)
    sure = frozenset(
        by_role("""
            sure: inhibited|blocked|locked_out|disabled|prevented|prohibited|forbidden|suppressed when|by|if|while,
                only if|when, allowed|permitted|works only when
        """)["sure"]
    )
    required = (("function", "of"), ("inhibited", "requires"))
    cells: ClassVar = {"inhibited": parts_of, "requires": parts_of, "override": phrase}
    conditions = ("phase",)
    said_heads = ("inhibited", "override")
    either = True
    due = "condition"
    title = "Interlocks"
    sheet: ClassVar[Mapping[str, str]] = {
        "": "Function",
        "rule": "Condition",
        "inhibited": "Inhibited when",
        "requires": "Requires",
        "override": "Override",
    }
    rows_add_up = True
    sentences: ClassVar[tuple[SentenceForm, ...]] = forms(
        "interlock",
        *((role, f"{denied} {link}") for denied in _DENIED for role, link in _LINKS),
        ("inhibited", r"(?P<x>.+?) (?:{be} {blocked}|{barred}) (?P<y>{at} .+)"),
        ("inhibited", r"(?P<x>[^:]+?) {blocked}: (?P<y>.+)"),
        ("requires", r"(?P<x>.+?) (?P<lead>only {once}) (?P<y>.+)"),
        ("requires", r"(?P<x>.+? only (?!{once}\b)\w+(?: \w+){{0,5}}?) (?P<lead>{once}) (?P<y>.+)"),
        ("requires", r"(?P<x>.+? only (?:{usable}|be \w+|\w+s)) (?P<y>{at} .+)"),
        ("requires", r"(?P<x>.+? (?:{usable}|be \w+)) (?P<lead>only) (?P<y>{at} .+)"),
        ("inhibited", r"(?P<x>.+? never \w+s\b.*?) (?P<lead>{while}) (?P<y>.+)"),
        ("requires", r"(?P<x>.+?) (?P<lead>needs|requires) (?P<y>{given}|.+ {stands})"),
        ("requires", r"(?P<y>.+? {must} .+?) (?P<lead>before) (?P<x>.+)"),
        ("inhibited", r"(?P<y>.+?) (?P<lead>prevents) (?P<x>.+? from .+)"),
        ("inhibited", r"(?P<y>.+?) (?P<lead>inhibits|locks out|disables) (?P<x>.+)"),
    )

    def said(self, part: Point, role: str) -> str:
        """Behind half a sentence (`The gear cannot be raised`) its other half, as a rule."""
        halves = {}
        for asked in ("inhibited", "requires"):
            head, name, rest = part.wording.get(asked, "").partition(part.subject)
            if name and not head and not _NAMED.match(rest):
                halves[asked] = rest.replace("…", super().said(part, asked)).strip()
        if role == "rule":
            return "; ".join(halves.values())
        return "" if role in halves else super().said(part, role)

    def words(self, point: Point) -> dict[str, str]:
        """Its name as a sentence has it, with its condition; in quotes where it is no plain name. A thing inhibits, a
        condition says when."""
        clause = has_verb(_EVENT.sub("", point.subject))
        name = f"“{point.subject}”" if "," in point.subject or clause else lower(the(point.subject))
        name += f" ({point.condition})" if point.condition else ""
        number = {"is": "are", "does": "do"} if is_plural(point.subject) else {"is": "is", "does": "does"}
        head = point.wording.get("override head", "")
        way = next((word for word in ("reset", "release", "bypass") if word in head), "override")
        inhibited = point.fields.get("inhibited", ("",))[0]
        thing = not (has_verb(inhibited) or BEHIND.search(inhibited))
        when = f"What inhibits {name}" if thing else f"Which condition inhibits {name}"
        return {**super().words(point), "name": name, "way out": way, "when inhibited": when, **number}
