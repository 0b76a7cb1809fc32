"""The kind `indication`: what a caption, an alarm or a symptom means, and what is done about it. Tables, bullets, and
the heading of an alarm over the headings Meaning and Mitigation."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Place
from recall.base.text import key_form, one_line
from recall.kinds.aspect import TO_DO, Aspect, Part, names, to_do, typed
from recall.kinds.english import is_plural, lower, the, upper
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Point, Read, Scope, base_point
from recall.kinds.prose.form import Claim, SentenceForm, forms
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.messages import LOOK, MOST_NAME, is_message, message_in, numbered, says_messages
from recall.kinds.prose.sentence import is_clause
from recall.kinds.tables.cells import is_placeholder, orders, parts_of, phrase, without_stop
from recall.kinds.tables.headers import names_of, spellings
from recall.kinds.tables.joining import contradict, joined, union
from recall.notes.model import Definitions, Heading, List, Paragraph, Table, Text

_WEAK = frozenset(
    ("message", "code", "error code", "fault code", "flag", "signal", "sign", "display", "tone", "sound", "indicator",
     "cue", "status light", "advisory", "trouble code", "error", "exit code", "status code", "fault", "problem",
     "issue", "trouble", "malfunction")
)  # fmt: skip
"""Names that any program's tables have as well: an indication only where an action stands beside the meaning."""
_SIGNALS = frozenset(("signal", "sign", "cue", "status light", "advisory", "tone", "sound", "indicator"))
"""Those among them that beside a plain `Meaning` say enough."""
_PLAIN_MEANING = frozenset(
    ("description", "text", "explanation", "message text", "details", "fault", "reason")
)
"""Names of a meaning under a heading, or beside a header, that says faults, alarms or messages."""
_PARTS = {
    **dict.fromkeys(("meaning", "means"), "means"),
    **dict.fromkeys(("action", "mitigation", "fix", "remedy", "resolution", "crew action"), "action"),
    **dict.fromkeys(("impact", "effect"), "then"),
    **dict.fromkeys(("diagnosis", "cause"), ""),
}
"""Headings below an alarm's own, and what they tell of it; the others are shown with the answer."""
_LIKE = {
    "means": re.compile(
        r"\b(?:means?|meaning|causes?|reasons?|why|because|signifies|trigger(?:s|ed by)?|(?:triggered|on|lit) when|"
        r"comes on|(?:it|this|that)(?:'s| is| says| means| may be| could be| tells)|says|stands for|may be)\b"
    ),
    "action": re.compile(
        r"\b(?:actions?|fix(?:es)?|remed(?:y|ies)|cures?|solutions?|helps?|first aid|do|response|then|drill|crew|"
        r"operator|driver|pilot|watchkeeper|react\w*|reset|cleared by)\b"
    ),
    "indication": re.compile(
        r"\b(?:lights?|lamps?|leds?|captions?|alarms?|alerts?|warnings?|cautions?|annunciat\w+|messages?|symptoms?|"
        r"horns?|blasts?|beeps?|buzzers?|sirens?|bells?|whistles?|noises?|sounds?|smells?|signals?|shown|seen|heard|"
        r"observ\w+|(?:you|we) (?:see|hear|notice|feel|smell|find)|looks? like|faults?|errors?|troubles?|trips?)\b"
        r"(?! (?:at|levels?|limits?|thresholds?|points?|delays?|times?|types?|class|counts?|relays?)\b)"
    ),
}
"""Words in a header of what is seen or heard, what it means, and what is done."""
_CAUSE = re.compile(r"cause|reason|why|because")
_PATTERN = re.compile(r"(?:led |light |flash |blink )?(?:blinks?|blinking|flash(?:es|ing)?|pattern|code)")
_OF_A_THING = re.compile(r"(?:fault|alarm|warning|caution|trip|trouble)\b")
"""Names of a code that no program's answers have."""
_COUNT = re.compile(r"#|no|nr|number|id|pos|item|page|ref")
_KEPT = re.compile(
    r"(?:date|time|when|owner|priority|reported by|closed|open since|assignee|hours|ticket|version|url|method)"
)
"""Headers of a log or a list of tasks."""
_LIT = re.compile(r"\b(?:led|light|lamp|beacon|horn|buzzer|siren|bell|beep)\b")
_DENIED = re.any_case(r"\b(?:no|not|neither|nor|without)\b")
_QUOTES = '"“'
_MOST_MEANING = 40
_MOST_TYPED = 5
"""Words of a meaning that a person can be asked to type."""
_MOST_ACTION = 60


def _has_causes(point: Point) -> bool:
    """Whether its meaning is a cause: a symptom's, not a caption's."""
    return _CAUSE.search(point.wording["due"]) is not None


class Indication(Kind):
    """An indication with its meaning and the action."""

    name = "indication"
    rank = 50
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("What do {it} mean?", "{It}: what do they tell you?"),
        ("What does {it} mean?", "{It}: what does it tell you?"),
        ("{it}: what does it mean?", "{it}: what does it tell you?"),
        ("{it}: which colour?", "What colour is {it}?"),
        *TO_DO,
    )
    aspects = (
        Aspect("meaning", "means", "{what does it mean}?", form=typed(_MOST_TYPED), unless=_has_causes),
        Aspect(
            "meaning", "means", "{named}: what is the likely cause?", "{named}: what are the likely causes?",
            form=typed(_MOST_TYPED), unless=lambda point: not _has_causes(point),
        ),
        Aspect(
            "colour", "colour", "{named}: which colour?", form=names,
            unless=lambda point: key_form(point.condition) == key_form(point.fields.get("colour", ("",))[0]),
        ),
        Aspect("action", "action", "{named}: {what to do}?"),
        Aspect(
            "action", "action", "{named}, because of “{cause}”: {what to do}?",
            parts=lambda point: (
                Part(cause := "; ".join(rung.fields["means"]), rung, {"cause": cause}) for rung in point.parts
            ),
        ),
    )  # fmt: skip
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role(f"""
        indication: indication, caption, light, annunciator, annunciation, symptom, alarm, alert, aural| warning,
            caution, lamp, aural, voice, chime, led, horn, klaxon, blink, blink|flash code,
            hand|arm|light|sound|flag signal, led colour|color,
            {", ".join(sorted(_WEAK))}
        means: means, meaning, cause, likely|possible|probable|root|potential cause, signifies, indicates, it means,
            what it means, significance, triggered by, comes|lit|lights|on when, comes on when, illuminates when,
            trigger
        action: action, fix, crew|corrective|immediate action, remedy, solution, response, what| to do, do this|,
            procedure, mitigation, resolution, correction, rectification
        colour: colour, color, light colour|color
        pattern: pattern, flash|blink|light|flashing|blinking pattern
    """)
    required = (("indication",), ("means",))
    cells: ClassVar = {"means": parts_of, "action": orders, "colour": phrase}
    conditions = ("pattern",)
    shown = ("colour",)
    title = "Indications"
    sheet: ClassVar[Mapping[str, str]] = {"": "Indication", "means": "Means", "action": "Action"}
    by_item = True
    sentences: ClassVar[tuple[SentenceForm, ...]] = forms(
        "indication",
        ("means", r"(?P<x>.+?) (?:means?|indicates?|signals?) (?:that )?(?P<y>.+)"),
    )

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """An indication with its meaning; a name of any program's tables takes an action beside a plain meaning."""
        names = names_of(table)
        column = {role: names[at] for at, role in roles.items()}
        own = set(spellings(column["indication"]))
        if any(_KEPT.match(name) for at, name in enumerate(names) if at not in roles):
            return False
        if _WEAK.isdisjoint(own):
            return True
        thing = _OF_A_THING.match(column["indication"]) is not None
        signal = thing or own & _SIGNALS or says_messages(table.topic, table.lead)
        plain = column["means"] in ("meaning", "means") or (thing and column["means"] in _PLAIN_MEANING)
        at = next(at for at, role in roles.items() if role == "indication")
        if signal and plain and all(_is_seen(row.cells[at]) for row in table.rows):
            return True
        told = column["means"] in _PLAIN_MEANING or _LIKE["means"].search(column["means"])
        return bool(told) and "action" in column

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """Several causes of one symptom add up; two meanings of one caption don't."""
        own, names = {role: at for at, role in roles.items()}, names_of(table)
        if own.keys() >= {"colour", "indication"} and _PATTERN.fullmatch(names[own["indication"]]):
            roles = {**roles, own["colour"]: "indication", own["indication"]: "pattern"}
        roles = _with_likely(table, roles)
        lit = next((at for at, role in roles.items() if role == "colour"), -1)
        if lit >= 0 and len({key_form(row.cells[lit].plain) for row in table.rows}) < 2 <= len(table.rows):
            del roles[lit]  # one colour is the whole table's, and only shown
        match = super().match(table, roles)
        if match is not None:
            match.adds_up = _CAUSE.search(names[match.columns["means"]]) is not None
        return match

    def read_table(self, match: Match, scope: Scope) -> Read:
        """Clauses parted by `;` are one meaning of a caption; the causes of a symptom stay several."""
        points, findings = super().read_table(match, scope)
        for point in points:
            means = point.fields.get("means", ())
            if any(map(is_clause, means)) and not _has_causes(point):
                point.fields["means"] = ("; ".join(means),)
        return points, findings

    def words(self, point: Point) -> dict[str, str]:
        """What is indicated, as a sentence names it: `3 beeps`, `Error code 17`."""
        point = replace(point, subject=numbered(point.subject, point.wording.get("head", "")))
        if point.topic and LOOK.search(point.subject) and not LOOK.sub("", point.subject).strip(" ,/-"):
            head = point.wording.get("head", "")
            of = head if " " in head and _LIT.search(head.casefold()) else point.topic[-1]
            point = replace(point, subject=f"{point.subject} ({of})")
        return {
            **super().words(point),
            "named": upper(point.named()),
            "what does it mean": _meaning(point),
            "what to do": to_do(point),
        }

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """Bullets of messages, faults or lights: `**MESSAGE** – meaning. Action.`"""
        if not says_messages(scope.topic, block.lead):
            return None
        read = [None if item.below else _bullet(item.text, scope, block.lead) for item in block.items]
        points = [point for point in read if point is not None]
        enough = len(points) == len(read) if block.ordered else len(points) * 2 >= len(read)
        return (points, []) if enough and len(points) > 1 else None

    def read_definitions(self, block: Definitions, scope: Scope) -> Read | None:
        """Messages as terms, each with its meaning."""
        lines = [
            replace(entry.term, plain=f"{entry.term.plain}: {meaning.plain}", runs=())
            for entry in block.entries
            for meaning in entry.meanings
        ]
        points = [_bullet(line, scope, None) for line in lines] if says_messages(scope.topic, None) else []
        return ([point for point in points if point], []) if points and all(points) else None

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """A message with its meaning, as a paragraph of its own."""
        point = _bullet(block.text, scope, None) if says_messages(scope.topic, None) else None
        return ([point], []) if point is not None else None

    def read_claim(self, claim: Claim, text: Text, scope: Scope) -> Point | None:
        """`A steady red light means stop`, of what is surely seen or heard."""
        name = re.sub(r"^(?:the|an?) |[“”\"]", "", claim.subject, flags=re.IGNORECASE)
        bare = " " not in name and not name.isupper()
        if bare or not is_message(name) or len(name.split()) > MOST_NAME or _DENIED.search(name):
            return None
        return _said(replace(text, plain=name, runs=()), claim.said, "", scope)

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """An alarm's heading over the headings Meaning and Impact, Diagnosis or Mitigation, all of them short."""
        said = _parted(body)
        meaning = said.pop("meaning", "") or said.pop("means", "")
        if not said or not _is_short(meaning, _MOST_MEANING) or heading.text.plain.rstrip().endswith("?"):
            return None
        point = _said(heading.text, without_stop(meaning), "", scope, marks=True)
        point.id = heading.id
        points = [point]
        for name, words in said.items():
            role, short = _PARTS[name], _is_short(words, _MOST_ACTION)
            if role == "action" and "action" not in point.fields and short:
                point.fields["action"] = (without_stop(words),)
            elif role == "then" and len(points) == 1 and short:
                points.append(base_point("consequence", heading.text, scope))
                points[1].fields["then"] = (without_stop(words),)
            elif not is_placeholder(words):
                point.extra += ((name.capitalize(), one_line(words)),)
        return points, []

    def joins(self, first: Point, second: Point) -> Point | None:
        """Several causes of one symptom, each with its fix, are a set; two meanings of one caption are not."""
        one, two = first.fields, second.fields
        if not _has_causes(first) or "means" not in one or "means" not in two:
            return None
        if any(contradict(a, b) for a in one["means"] for b in two["means"]):
            return None
        again = {*map(key_form, one["means"])} & {*map(key_form, two["means"])}
        if again and one.get("action") != two.get("action"):
            return None
        whole = joined(first, second, {"means": union(one["means"], two["means"])})
        rungs = (*(first.parts or (first,)), *(second.parts or (second,)))
        actions = {rung.fields["action"][0] for rung in rungs if "action" in rung.fields}
        if len(actions) == 1 and all("action" in rung.fields for rung in rungs):
            whole.fields["action"] = (actions.pop(),)
            return replace(whole, parts=())
        return replace(whole, parts=rungs if actions else ())


def _with_likely(table: Table, roles: dict[int, str]) -> dict[int, str]:
    """Roles with columns whose header has a word of what is seen or heard, of what it means, or of what is done;
    under a heading that says messages, also with plain descriptions, and whatever names the row right below it."""
    roles, names, says = dict(roles), names_of(table), says_messages(table.topic, table.lead)
    near = says_messages(table.topic[-1:], table.lead)
    at = next((at for at, role in roles.items() if role == "indication"), -1)
    thing = at >= 0 and _OF_A_THING.match(names[at]) is not None
    says = says or (thing and at in roles)
    lit = any(role == "indication" and _LIT.search(names[at]) for at, role in roles.items())
    plain = (*(_PLAIN_MEANING if says else ()), *(("state", "status") if lit else ()))
    for role, pattern in _LIKE.items():
        if role in roles.values():
            continue
        free = [at for at, name in enumerate(names) if roles.get(at) in (None, "why")]
        free = [at for at in free if not _COUNT.fullmatch(names[at])]
        found = [at for at in free if pattern.search(names[at])]
        if role == "means" and not found:
            found = [at for at in free if names[at] in plain]
        if role == "indication" and not found and near:
            found = [at for at in free if names[at]] or [at for at, role in roles.items() if role == "colour"]
        if found:
            roles[found[0]] = role
    return roles


def _is_seen(name: Text) -> bool:
    """Whether a name is of what a person sees or hears, and no word that a program takes."""
    plain = " " in name.plain or not name.plain.islower() or LOOK.fullmatch(name.plain) is not None
    return plain and not any(run.code for run in name.runs)


def _meaning(point: Point) -> str:
    """The question what it means: of several things in small letters, of a caption in capitals, of a call with its
    article; of anything else behind its own words, as they stand."""
    named = point.named()
    if is_plural(point.subject):
        return f"What do {lower(named)} mean"
    if '"' in named or "“" in named:
        return f"What does {named if named[0] in _QUOTES else the(named)} mean"
    plain = " " in point.subject or point.subject == point.subject.capitalize()
    words = plain and re.search(r"[a-z]{2}", point.subject)
    return f"{upper(named)}: what does it mean" if words else f"What does {named} mean"


def _said(name: Text, means: str, action: str, scope: Scope, *, marks: bool = False) -> Point:
    """A message with its meaning, its action or both."""
    point = base_point("indication", name, scope, marks=marks)
    point.wording["due"] = "meaning"
    point.fields = {role: (words,) for role, words in (("means", means), ("action", action)) if words}
    return point


def _bullet(text: Text, scope: Scope, above: Text | None) -> Point | None:
    found = message_in(text, scope.topic, above)
    return found and _said(replace(text, plain=found[0], runs=()), found[1], found[2], scope)


def _parted(body: str) -> dict[str, str]:
    """What stands under each known heading of an alarm; nothing unless Meaning is the first and others follow."""
    said: dict[str, str] = {}
    name = ""
    for block in body.split("\n\n"):
        head, colon, words = block.strip().partition(":")
        head = head.casefold() if colon else block.strip().casefold()
        if head in _PARTS and head not in said:
            name, said[head] = head, words.strip()
        elif not name:
            return {}
        else:
            said[name] = f"{said[name]}\n{block}".strip()
    first = next(iter(said), "")
    return said if first in ("meaning", "means") and len(said) > 1 else {}


def _is_short(words: str, most: int) -> bool:
    return not is_placeholder(words) and len(words.split()) <= most and "|" not in words
