"""The kind `indication`: what a caption, an alarm or a symptom means, and what is done about it. Tables, bullets, and
the heading of an alarm over the headings Meaning and Mitigation."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import ClassVar

from recall.base import regex as re
from recall.base.finding import Place
from recall.base.text import key_form, one_line
from recall.kinds.aspect import Aspect, Part, names, typed
from recall.kinds.english import is_plural, lower
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Point, Read, Scope, base_point
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.sentence import sentences_of
from recall.kinds.prose.shortform import split_head
from recall.kinds.steps.telling import is_order
from recall.kinds.tables.cells import is_placeholder, orders, parts_of, phrase, without_stop
from recall.kinds.tables.headers import header_name, names_of, spellings
from recall.kinds.tables.joining import contradict, joined, same_words, union
from recall.notes.model import Heading, Item, List, Table, Text

_WEAK = frozenset(
    ("message", "code", "error code", "fault code", "flag", "signal", "sign", "display", "tone", "sound", "indicator",
     "cue", "status light", "advisory", "trouble code", "error", "exit code", "status code", "fault", "problem",
     "issue", "trouble", "malfunction")
)  # fmt: skip
"""Names that any program's tables have as well: an indication only where an action stands beside the meaning."""
_SIGNALS = frozenset(("signal", "sign", "cue", "status light", "advisory", "tone", "sound", "indicator"))
"""Those among them that beside a plain `Meaning` say enough."""
_SURE = frozenset(("means", "meaning", "cause", "likely cause", "possible cause", "probable cause"))
_PLAIN_MEANING = frozenset(
    ("description", "text", "explanation", "message text", "details", "fault", "reason")
)
"""Names of a meaning under a heading that says faults, alarms or messages."""
_PARTS = {
    **dict.fromkeys(("meaning", "means"), "means"),
    **dict.fromkeys(("action", "mitigation", "fix", "remedy", "resolution", "crew action"), "action"),
    **dict.fromkeys(("impact", "effect", "diagnosis", "cause"), ""),
}
"""Headings below an alarm's own, and what they tell of it; the others are shown with the answer."""
_LIGHTS = (
    r"(?:panel|warning|caution|indicat(?:or|ing)|status|signal|pilot|master|console|cockpit|bridge|advisory|fault|"
    r"alarm|cue|stack|signal) (?:lights?|lamps?)|\bLEDs?\b|^(?:lights?|lamps?)\W*$"
)
_MESSAGES = re.compile(
    r"\b(?:faults?|alarms?|errors?|warnings?|cautions?|messages?|captions?|annunciat(?:or|ion)s?|alerts?)\b|"
    + _LIGHTS,
    re.IGNORECASE,
)
_ANY_NAME = re.compile(
    r"\b(?:faults?|alarms?|errors?|messages?|captions?|annunciat(?:or|ion)s?)\b|" + _LIGHTS, re.IGNORECASE
)
"""Words of a heading under which any name in bold is a message; under `Warnings` it may be any advice."""
_LAMP = re.compile(r"\b(?:light|lamp|LED|caption|message|alarm|horn|tone|chime|flag)s?\b", re.IGNORECASE)
_LIT = re.compile(r"\b(?:led|light|lamp|beacon|horn|buzzer|siren|bell|beep)\b")
_LOOK = re.compile(
    r"\b(?:red|amber|yellow|green|blue|white|purple|orange|flash(?:es|ing)?|"
    r"blink(?:s|ing)?|steady|solid|dark|both (?:on|off)|long|short|beeps?|blasts?)\b",
    re.IGNORECASE,
)
"""How a light looks, or a horn sounds."""
_MOST_NAME = 6
_MOST_MEANING = 40
_MOST_TYPED = 5
"""Words of a meaning that a person can be asked to type."""
_MOST_ACTION = 60


def _has_causes(point: Point) -> bool:
    """Whether its meaning is a cause: a symptom's, not a caption's."""
    return "cause" in point.wording["due"]


def _rung(rung: Point) -> Part:
    """One cause of a symptom, with its own fix."""
    cause = "; ".join(rung.fields["means"])
    return Part(cause, rung, {"cause": cause})


class Indication(Kind):
    """An indication with its meaning and the action."""

    name = "indication"
    rank = 50
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("What does {it} mean?", "{it}: what does it tell you?", "{it}: say what it means."),
        ("{it}: what is to be done?", "{it}: what do you do?", "{it}: say what you do."),
    )
    aspects = (
        Aspect("meaning", "means", "What {does} {caption} mean?", form=typed(_MOST_TYPED), unless=_has_causes),
        Aspect(
            "meaning", "means", "{named}: what is the likely cause?", "{named}: what are the likely causes?",
            form=typed(_MOST_TYPED), unless=lambda point: not _has_causes(point),
        ),
        Aspect(
            "colour", "colour", "{named}: which colour?", form=names,
            unless=lambda point: key_form(point.condition) == key_form(point.fields.get("colour", ("",))[0]),
        ),
        Aspect("action", "action", "{named}: what is to be done?"),
        Aspect(
            "action", "action", "{named}, because of “{cause}”: what is to be done?",
            parts=lambda point: map(_rung, point.parts),
        ),
    )  # fmt: skip
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role(
        f"""
        indication: indication, caption, light, annunciator, annunciation, symptom, alarm, alert, warning,
            caution, cas message, eicas message, ecam message, warning light, caution light, lamp, warning
            caption, caution caption, indicator light, pilot light, aural, aural warning, voice, chime, led,
            horn, buzzer, siren, bell, klaxon, whistle, beep, beep code, blink, blink code, flash code, led colour,
            led color, light signal, sound signal, hand signal, arm signal, flag signal, cue light,
            alarm name, alert name, {", ".join(sorted(_WEAK))}
        means: means, meaning, cause, likely cause, possible cause, probable cause, root cause, potential
            cause, signifies, indicates, it means, what it means, significance, typical cause, common cause,
            most likely cause, triggered by, comes on when, lit when, lights when, on when, illuminates when,
            trigger
        action: action, fix, crew action, corrective action, pilot action, remedy, solution, response, what to
            do, do, immediate action, required action, procedure, mitigation, resolution, recommended action,
            action required, correction, rectification, do this, remedial action, action to take, crew
            response, what you do, you do, to do
        colour: colour, color, light colour, light color
        """
    )
    required = (("indication",), ("means",))
    cells: ClassVar = {"means": parts_of, "action": orders, "colour": phrase}
    shown = ("colour",)
    title = "Indications"
    sheet: ClassVar[Mapping[str, str]] = {"": "Indication", "means": "Means", "action": "Action"}
    by_item = True

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """An indication with its meaning; a name of any program's tables takes an action beside a plain meaning."""
        names = names_of(table)
        column = {role: names[at] for at, role in roles.items()}
        own = set(spellings(column["indication"]))
        if _WEAK.isdisjoint(own):
            return True
        at = next(at for at, role in roles.items() if role == "indication")
        if (own & _SIGNALS or _says(table)) and column["means"] in ("meaning", "means") and _seen(table, at):
            return True
        told = column["means"] in _PLAIN_MEANING or not _SURE.isdisjoint(spellings(column["means"]))
        return told and "action" in column

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """Several causes of one symptom add up; two meanings of one caption don't."""
        if "means" not in roles.values() and _says(table):
            names = names_of(table)
            roles |= {
                at: "means" for at, name in enumerate(names) if name in _PLAIN_MEANING and at not in roles
            }
        lights = [
            at for at, role in roles.items() if role == "indication" and _LIT.search(names_of(table)[at])
        ]
        if "means" not in roles.values() and lights:
            roles |= {at: "means" for at, name in enumerate(names_of(table)) if name in ("state", "status")}
        roles = {at: role for at, role in roles.items() if role != "colour" or _colours(table, at)}
        match = super().match(table, roles)
        if match is not None:
            match.adds_up = "cause" in header_name(table.headers[match.columns["means"]].plain)
        return match

    def words(self, point: Point) -> dict[str, str]:
        """What is indicated, as a sentence names it."""
        does = "do" if is_plural(point.subject) else "does"
        if point.topic and _LOOK.search(point.subject) and not _LOOK.sub("", point.subject).strip(" ,/-"):
            point = replace(point, subject=f"{point.subject} ({point.topic[-1]})")
        return {**super().words(point), "does": does, "caption": _caption(point)}

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """Bullets of messages, faults or lights: `**MESSAGE** – meaning. Action.`"""
        if block.ordered or not says_messages(scope, block.lead):
            return None
        named = (
            one_line(block.lead.plain)
            if block.lead and block.lead.plain.strip()
            else " / ".join(scope.topic[-2:])
        )
        read = [_bullet(item, _ANY_NAME.search(named) is not None) for item in block.items]
        found = [bullet for bullet in read if bullet is not None]
        if len(found) < 2 or len(found) * 2 < len(read):
            return None
        points = []
        for item, name, means, action in found:
            point = base_point("indication", replace(item.text, plain=name, runs=()), scope, marks=False)
            point.wording["due"] = "meaning"
            point.fields = {"means": (means,)} if means else {}
            if action:
                point.fields["action"] = (action,)
            points.append(point)
        return points, []

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """An alarm's heading over the headings Meaning and Impact, Diagnosis or Mitigation, all of them short."""
        said = _parted(body)
        meaning = said.pop("meaning", "") or said.pop("means", "")
        if not said or not _is_short(meaning, _MOST_MEANING) or heading.text.plain.rstrip().endswith("?"):
            return None
        point = base_point("indication", heading.text, scope)
        point.id = heading.id
        point.wording["due"] = "meaning"
        point.fields["means"] = (without_stop(meaning),)
        shown: list[tuple[str, str]] = []
        for name, words in said.items():
            if _PARTS[name] == "action" and "action" not in point.fields and _is_short(words, _MOST_ACTION):
                point.fields["action"] = (without_stop(words),)
            elif not is_placeholder(words):
                shown.append((name.capitalize(), one_line(words)))
        point.extra = tuple(shown)
        return [point], []

    def joins(self, first: Point, second: Point) -> Point | None:
        """Several causes of one symptom, each with its fix, are a set; two meanings of one caption are not."""
        one, two = first.fields, second.fields
        if not _has_causes(first) or "means" not in one or "means" not in two:
            return None
        if any(contradict(a, b) for a in one["means"] for b in two["means"]):
            return None
        again = {cause for cause in one["means"] if any(same_words(cause, other) for other in two["means"])}
        if again and one.get("action") != two.get("action"):
            return None
        whole = joined(first, second, {"means": union(one["means"], two["means"])})
        rungs = (*_rungs(first), *_rungs(second))
        actions = {rung.fields["action"][0] for rung in rungs if "action" in rung.fields}
        if len(actions) == 1 and all("action" in rung.fields for rung in rungs):
            whole.fields["action"] = (actions.pop(),)
            return replace(whole, parts=())
        return replace(whole, parts=rungs if actions else ())


def _seen(table: Table, column: int) -> bool:
    """Whether names are of what a person sees or hears, not words that a program takes."""
    cells = [row.cells[column] for row in table.rows if row.cells[column]]
    words = [cell.plain for cell in cells if not any(run.code for run in cell.runs)]
    return len(words) == len(cells) and all(" " in word or not word.islower() for word in words)


def _colours(table: Table, column: int) -> bool:
    """Whether a column of colours tells the rows apart; one colour is the whole table's, and only shown."""
    return len({key_form(row.cells[column].plain) for row in table.rows}) > 1 or len(table.rows) < 2


def _caption(point: Point) -> str:
    """What is indicated, in the middle of a sentence: several things in small letters, one in its own words unless
    it is a caption in capitals."""
    named = point.named()
    if is_plural(point.subject):
        return lower(named)
    return f"“{named}”" if re.search(r"[a-z]{2}", point.subject) and " " in point.subject else named


def _says(table: Table) -> bool:
    return any(
        _MESSAGES.search(words) for words in (*table.topic[-2:], table.lead.plain if table.lead else "")
    )


def says_messages(scope: Scope, lead: Text | None) -> bool:
    """Whether heading or lead says that messages, faults, alarms or lights follow."""
    return any(_MESSAGES.search(words) for words in (*scope.topic[-2:], lead.plain if lead else ""))


def _bullet(item: Item, any_name: bool) -> tuple[Item, str, str, str] | None:
    """A bullet's item, name, meaning and action; None where it is no message with its meaning. any_name: what stands
    in bold or code names a message; else it must be in capitals, or name a light."""
    pair = split_head(item.text)
    if pair is None or item.below:
        return None
    name, rest = pair
    lead = item.text.lead
    marked = any_name and lead is not None and (lead.bold or lead.code)
    if len(name.split()) > _MOST_NAME or not (marked or _is_message(name)) or is_placeholder(rest):
        return None
    sentences = sentences_of(replace(item.text, plain=rest, runs=()))
    if len(sentences) == 1 and is_order((parts := rest.rstrip(".").split("; "))[-1]):
        sentences = parts
    orders = 0
    while orders < len(sentences) and is_order(sentences[-1 - orders]):
        orders += 1
    means, action = sentences[: len(sentences) - orders], sentences[len(sentences) - orders :]
    if len(rest.split()) > _MOST_MEANING + _MOST_ACTION:
        return None
    return item, name, ". ".join(means), ". ".join(action)


def _is_message(name: str) -> bool:
    words = re.findall(r"[^\W\d_]{2,}", name)
    if not words:
        return False
    return all(word.isupper() for word in words) or any(look.search(name) for look in (_LAMP, _LOOK))


def _rungs(point: Point) -> tuple[Point, ...]:
    """A symptom's causes, each with its fix."""
    return point.parts or (point,)


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
