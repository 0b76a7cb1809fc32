"""The kind `consequence`: what follows from what, and what is done about it. Tables, sentences, arrow chains."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.answers import ProseAnswer, in_words
from recall.base import regex as re
from recall.base.text import key_form, word_set, words_of
from recall.kinds.aspect import TO_DO, Aspect, to_do
from recall.kinds.english import has_happened, is_plural, lower, the
from recall.kinds.kind import Kind
from recall.kinds.model import Point
from recall.kinds.prose.form import SentenceForm, forms
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.sentence import has_verb
from recall.kinds.steps.telling import is_order
from recall.kinds.tables.cells import orders, parts_of, phrase
from recall.kinds.tables.headers import header_name, names_of, spellings
from recall.notes.model import Table

_WEAK = frozenset(
    ("event", "trigger", "interlock", "when", "case", "scenario", "change", "skipped step", "step skipped",
     "omission")
)  # fmt: skip
"""Names of a condition that make a consequence only beside a named effect: `Event | Action` may be any diary."""
_PROCEDURE = frozenset(("step", "steps", "#", "no", "no."))
_MOST_TYPED = 4
_SMALL = word_set("a an the is are of one for at by in to with")
_DONE = re.compile(
    r"\b(?:is|are|be|stays?) (?:on|off|cancelled|closed|keyed|left|opened|pressed|pulled|pushed|put|selected|set|"
    r"skipped|started|switched|turned|used)\b"
)
"""What a crew does itself."""
_POINTS_BACK = re.any_case(r"(?:its?|they|their|this|these|he|she|both|each)\b")
"""Effects that say nothing without their condition."""
_FAILS = re.any_case(r"\b(?:fail|fault|los[st]|malfunction|defect|skip|omi|break)")
_FAILING = re.any_case(r"(?:what|if (?:this|it)) (?:fails|failed)")
"""Headers over what fails, which are no names."""
_SAYS_SO = re.any_case(
    r"fail|fault|los[st]|malfunction|defect|leak|stuck|jam|broken|dead|out\b|inop|damage|skip|omit|crack|block|clog|seiz|"
    r"burst|freez|frozen|miss|short|over|under|low\b|high\b|hot\b|no\b"
)
"""Words by which a condition says itself that something is wrong."""


class Consequence(Kind):
    """A condition with its effects, its indication, and the action."""

    name = "consequence"
    rank = 40
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("{it} what follows?", "{it} what is the effect?"),
        *TO_DO,
        ("{it}: what has happened?", "{it}: what is the failure?"),
        ("{it}: what does that tell you?", "{it}: what do you conclude?"),
        *(
            (f"If {{it}}, {asks} {{x}}?", f"{{It}}: {asks} {{x}}?")
            for asks in ("how", "what", "where", "which", "who")
        ),
    )
    aspects = (
        Aspect(
            "effect", "then", "{if} {what follows}?", asks="{if} {asked}",
            form=lambda texts: in_words(texts, _MOST_TYPED, fewest=2 if any(map(has_verb, texts)) else 1),
        ),
        Aspect(
            "cause", "", "{signs}: {what is wrong}?",
            form=lambda texts: ProseAnswer(tuple(map(has_happened, texts)), tuple(map(key_form, texts))),
            unless=lambda point: not {"indication", "then"} <= point.fields.keys() or _known(point),
        ),
        Aspect("action", "action", "{if} {what to do}?", asks="{if} {asked}"),
    )  # fmt: skip
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role("""
        if: if, what if, interlock,
            failure mode|of|condition|case|scenario|, fault condition|, problem, failed item|component|system|,
            event, malfunction, trigger, issue, loss of|, lost, abnormality, abnormal condition, anomaly, defect,
            trouble, difficulty, if this fails|happens, what fails|failed, component|system failure, skipped step,
            step|action skipped, omission, if skipped|omitted, mistake, error, change, emergency condition|,
            initiating event
        then: then, failure|system|local|end|final| effect, effect on aircraft|system|flight, consequence, result,
            outcome, impact, what| follows, what| happens, leads to, results|resulting in, resulting condition,
            it| causes, implication, repercussion, aftermath, system|systems lost|affected, lost|affected systems,
            what is lost, what you lose, system|aircraft response, system| reaction, expected result,
            system| behaviour, behavior
        indication: indication, annunciation, cas| message, caption, light, alert, warning, caution, detection,
            detected by, sign, cue, display, annunciator, how it shows, symptom, shown by, recognition, what| you see
        action: action, crew|corrective|pilot|immediate|required|recommended|remedial action,
            action required|to_take|taken, remedy, crew|pilot| response, fix, solution, crew| procedure, mitigation,
            what| to do, do this|, resolution, recovery, correction, countermeasure, workaround, checklist,
            rectification, treatment, what| you do
        when: when, condition, situation, scenario, case, circumstance
        phase: phase, flight phase, phase of flight, mode, operating mode, configuration, state, regime
        of: system, component, item, part, equipment, subsystem, unit, element, device, function, assembly
        cause: cause, likely|possible|probable|root|potential|common|typical cause, causes, reason for failure
    """)
    required = (("if", "when", "cause"), ("then", "action"))
    title = "Consequences"
    sheet: ClassVar[Mapping[str, str]] = {"": "If", "then": "Then", "action": "Action"}
    cells: ClassVar = {"then": parts_of, "action": orders, "indication": phrase}
    conditions = ("when", "phase")
    said_heads = ("action",)
    shown = ("indication", "cause")
    rows_add_up = True
    sentences: ClassVar[tuple[SentenceForm, ...]] = forms(
        "consequence",
        ("then",
            r"(?P<word>if|when|whenever|should|unless|once|as soon as|in case of|in the event of|while|as long as|"
            r"until|without)\s+(?P<rest>.+)", "condition"),
        ("then", r"(?P<word>with) (?P<rest>[^,]+ {stands}, .+)", "condition"),
        ("then", r"(?P<x>.+?) (?P<lead>causes?|results? in|leads? to) (?P<y>.+)", "name"),
        ("then", r"(?P<x>\w{{3,}}ing (?!is\b|are\b).+?) (?P<y>(?:will|{effect}) (?!.*\b{while}\b).+)"),
        ("then", r"(?P<x>(?:loss|failure|lack|removal|release) of .+?) (?P<y>{effect} .+)"),
        ("then",
            r"(?P<y>.+? {must} .+?)(?<! stay)(?<! keep)(?<! remain)(?<! be) "
            r"(?P<x>(?:{while}|until|unless|(?!within ){bound}|at an? ).+)"),
        ("then",
            r"(?P<y>.+? {act}(?: by itself| automatically)?) (?P<word>when|if|as soon as|once|whenever) (?P<x>.+)",
            "condition"),
        ("then",
            r"(?P<y>.+? (?:stays?|remains?|keeps?|runs? on) .+?) (?P<word>while|as long as|until) (?P<x>.+)",
            "condition"),
        ("then", r"(?P<y>.+? {act}(?: by itself| automatically)?) "
            r"(?P<x>(?:at|{bound}) ?[+\-−]?\d[\d.,]*(?![\d.,:])(?! ?[ap]m\b) ?(?:[^\W\d]|[%°]).*)"),
    )  # fmt: skip

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """A condition with an effect; with an action alone only where nothing says that it is an alarm with its cause
        or a procedure with its steps."""
        column = {role: at for at, role in roles.items()}
        subject = next((role for role in self.required[0] if role in column), None)
        if "then" in column:
            if subject and header_name(table.headers[column[subject]].plain) == "interlock":
                from recall.kinds.prose.reading import has_state

                cells = [row.cells[column[subject]].plain for row in table.rows]
                return 2 * sum(has_verb(cell) or has_state(cell) for cell in cells) > len(
                    cells
                )  # no mere names
            return subject is not None and not (subject == "cause" and "indication" in column)
        if subject in (None, "cause") or "action" not in column or "cause" in column:
            return False
        header = header_name(table.headers[column[subject or ""]].plain)
        return not any(way in _WEAK for way in spellings(header)) and not _PROCEDURE & set(names_of(table))

    def words(self, point: Point) -> dict[str, str]:
        """The condition as the head of a question: `If the pump fails,`, `Pump failure:`, `Failure, pump A:`."""
        failed = _FAILS.search(f"{point.wording.get('head', '')} {point.subject}") is not None
        said, then = super().words(point), point.fields.get("then", ())
        told = "word" in point.wording or "head" in point.wording
        ordered = told and then and all(map(is_order, then))
        signs = [lower(text) for text in then if not _POINTS_BACK.match(text)]  # that say something alone
        if "then asked" in point.wording:
            signs = [text for text in signs if has_verb(text)]
        turned = {
            "what follows": "what do you do" if ordered else "what follows",
            "what to do": to_do(point),
            "if": _conditional(point),
            "what is wrong": "what has happened" if failed else "what does that tell you",
            "signs": "; ".join([*point.fields.get("indication", ()), *signs]),
        }
        return {**said, **turned}


def _known(point: Point) -> bool:
    """Whether nobody has to find out what happened: the crew did it, or its signs say half of it already."""
    signs = set(words_of(" ".join((*point.fields["indication"], *point.fields["then"]))))
    own = set(words_of(point.subject)) - _SMALL
    return _DONE.search(point.subject) is not None or own <= signs or len(own & signs) * 2 >= len(own) > 2


def _conditional(point: Point) -> str:
    """The condition as the head of a question: `If the pump fails,`, `Pump failure:`, `Failure, pump A:`."""
    under = f" ({point.condition})" if point.condition else ""
    if "of" not in point.wording and ("word" in point.wording or has_verb(point.subject)):
        return f"{point.wording.get('word', 'If')} {lower(point.subject)}{under},"
    head = point.wording.get("head", "")
    if _FAILING.match(head) and not _SAYS_SO.search(point.subject):
        return f"If {the(point.subject)} fail{'' if is_plural(point.subject.casefold()) else 's'}{under},"
    if _FAILS.search(head) and not _SAYS_SO.search(point.subject):
        joined = f"{head} {the(point.subject)}" if head.endswith(" of") else f"{head}, {point.subject}"
        return f"{joined}{under}:"
    first = point.subject.partition(" ")[0]
    upper = first.capitalize() if first.islower() and len(first) > 1 else first
    return f"{upper}{point.subject[len(first) :]}{under}:"
