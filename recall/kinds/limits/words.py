"""Words of a limit's questions: each stands alone, names subject and condition, and says which unit is asked for."""

from functools import lru_cache

from recall.base import regex as re
from recall.base.text import one_line, word_set, words_of
from recall.kinds.english import BEHIND, is_plural, lower, the, upper
from recall.kinds.limits.headers import QUANTITY
from recall.kinds.prose.lexicon import ASIDE, MEASURES, NEGATING, QUANTITIES, VERBS
from recall.kinds.steps.telling import is_order
from recall.quantity import header_parts

_JOINS = re.any_case(
    r"(?:at|in|on|with|without|when|while|whilst|during|after|before|for|up to|until|till|under|over|below|above|"
    r"between|from|near|within|beyond|if|unless|inside|outside|through|throughout|prior to|less than|more than|"
    r"where|once|except|by (?:day|night|the))\b"
)
_PHASES = (
    (re.any_case(r"(?:take-?off|landing|touchdown|go-around|(?:(?:low|high|ground|flight) )?idle|sea level|rest|"
                r"(?:max(?:imum)? )?continuous(?: power)?|max(?:imum)? reverse|full power)"), "at"),
    (re.any_case(r"(?:cruise|climb|descent|flight|reverse)"), "in"),
    (re.any_case(r"(?:starting|taxiing|cranking|towing|refuell?ing|rigging)"), "during"),
    (re.any_case(r"\w{3,}(?<!e)ed"), "when"),
)  # fmt: skip
_ALWAYS = re.any_case(
    r"(?:(?:all|any) (?:flights?|operations?|heights|altitudes|phases|conditions|cases)|any|all|at all times|always)"
)
"""Conditions that leave nothing out."""
_SORTS = word_set("transient momentary instantaneous intermittent sustained temporary")
_BALANCE = re.any_case(r"cent(?:re|er)[ -]of[ -]gravity\b|c\.?g\b", holds=("cent", " cg", " c.g"))
_LATERAL = re.any_case(r"\blateral|\b(?:forward|aft|speed|limit)\b")
_BALANCED = {"minimum": "forward", "maximum": "aft"}
"""What the ends of a centre of gravity are called, which is given as a share of the chord or an arm behind the datum
(FAA-H-8083-1B, Weight and Balance Handbook, glossary: `CG limits`; from memory)."""
_LIMIT_SPEED = re.any_case(
    r"[VM] ?_?(?:A|FE|FO|LE|LO|MO|NE|NO|MC[AGL]?|S[01OWR]?|S[01]G)(?: ?/ ?M ?_?[MN][OE])?"
)
"""Speeds that a regulation's list of symbols calls maximum, minimum or never to be exceeded (14 CFR 1.2)."""
_LIMIT_WORD = re.any_case(r"(?:limit|limits|limitation|limitations|range|threshold|thresholds)$")
_MOST_QUANTITY = 3
_SMALL = word_set("a all an and any at by for in of on the to when while with")
_AMOUNT = re.exact(r" \w+(?:[st]ion|ment)$", holds=("sion", "tion", "ment"))
"""Ends a quantity's name, which has its article though it sounds like what is done: `leg extension`."""
_READS = re.compile(r" (?:is|are)(?: at)? [+\-\u2212]?\d")
"""A reading, before which its condition always stands."""
_EVENT = re.any_case(r"(?:the|an?|loss of|failure of|risk of)\b")
_POSITION = re.compile(r"\w .*\b[A-Z]{2,}\b")
_HELD = re.any_case(
    r"\b(?:avoid|prohibited|forbidden|required|inhibited|allowed|permitted|permissible|mandatory|needed|recommended|only|"
    r"on|off|up|down|in|out|inside|outside|aboard|open(?:s|ed)?|close[sd]?|shut|armed|engaged|disengaged|(?:un)?locked|"
    r"extended|retracted|stowed|secured|rigged|fitted|removed|running|stopped|illuminates?|lit|alarm|alert|warning|"
    r"caution|trip)s?$"
)


def is_condition(words: str) -> bool:
    """Whether words begin as a condition does: `in climb`, `below 10,000 ft`."""
    return _JOINS.match(words) is not None


def under(phrase: str, condition: str, held: str = "") -> str:
    """A phrase with its condition, put where English puts it. held: the time in brackets, or empty."""
    brackets = f" ({held})" if held else ""
    if _says(phrase, condition):
        return upper(phrase) + brackets
    if placed := _placed(condition):
        return f"{upper(phrase)} {placed}{brackets}"
    return f"{upper(one_line(condition))}{brackets}: {lower(phrase)}"


@lru_cache(maxsize=1024)
def sort_of(condition: str) -> str:
    """A condition that says which sort of limit it is, as an adjective does: `transient`; else nothing."""
    word = one_line(condition).casefold()
    return word if word in _SORTS else ""


def label(condition: str) -> str:
    """A condition of one word that says which limit it is, no when: `Transient`; else nothing."""
    word = one_line(condition)
    return "" if " " in word or _placed(word) or not word.isalpha() or word.isupper() else lower(word)


def when(clause: str, condition: str, held: str = "") -> str:
    """A clause under its condition, which stands before it: `In flight, the voltage is low`. held: as in `under`."""
    brackets = f" ({held})" if held else ""
    if _says(clause, condition):
        return upper(clause) + brackets
    if placed := _placed(condition):
        purpose = placed.startswith("for ") and not _READS.search(clause)
        return under(clause, condition, held) if purpose else f"{upper(placed)}{brackets}, {lower(clause)}"
    return f"{upper(one_line(condition))}{brackets}: {lower(clause)}"


def _says(phrase: str, condition: str) -> bool:
    """Whether a phrase says its condition itself: `On the step` of a step taxi speed; or a condition leaves nothing
    out."""
    own = _own_stems(condition)
    if own is None:
        return True
    if phrase.isascii() and not all(map(phrase.casefold().__contains__, own)):
        return False
    return bool(own) and own <= _stems(phrase)


def _stems(text: str) -> frozenset[str]:
    return frozenset(word.rstrip("s") for word in words_of(text))


@lru_cache(maxsize=1024)
def _own_stems(condition: str) -> frozenset[str] | None:
    """The telling words of a condition; None where it leaves nothing out."""
    return _stems(condition) - _SMALL if condition and not _ALWAYS.fullmatch(condition) else None


@lru_cache(maxsize=1024)
def _placed(condition: str) -> str:
    """A condition as it stands within a sentence: `in flight`, `before takeoff`. Empty for one that is a label."""
    condition = one_line(condition)
    if (other := condition.removeprefix("other than ")) != condition and _JOINS.match(other):
        return f"except {other}"
    if _JOINS.match(condition):
        return f"{condition[0].lower()}{condition[1:]}"
    for phases, preposition in _PHASES:
        if phases.fullmatch(condition):
            said = lower(condition)
            return f"{preposition} {said}{' power' if said.endswith('continuous') else ''}"
    return ""


def named(lead: str, subject: str, *, both: bool = False) -> str:
    """`Maximum` and a subject; where the subject says it itself, or is a speed that is a limit by its name, it isn't
    said twice. The ends of a centre of gravity have names of their own. both: the subject has two."""
    if not both and subject[:1] in "VMvm" and _LIMIT_SPEED.fullmatch(subject):
        return subject
    if side := balanced(subject, lead):
        return f"{upper(side)} limit of {the(subject)}"
    word, _, rest = subject.partition(" ")
    first = word.casefold().rstrip(".")
    if first == lead or (len(first) >= 3 and lead.startswith(first)):
        return f"{lead.capitalize()} {rest}" if rest else subject
    return f"{lead.capitalize()} {lower(subject)}"


def balanced(subject: str, end: str) -> str:
    """Forward or aft, where an end is one of a centre of gravity; else nothing."""
    known = _BALANCE.match(subject) and not _LATERAL.search(subject)
    return _BALANCED.get(end, "") if known else ""


def measured(subject: str) -> str:
    """A subject without its `Maximum`: the quantity itself."""
    first, _, rest = subject.partition(" ")
    return rest if rest and first.casefold().rstrip(".") in ("maximum", "max", "minimum", "min") else subject


def says_quantity(subject: str) -> bool:
    """Whether a name says of which quantity it is (`Flap speed`, `Vne`), and isn't that of a thing, which may have
    amounts of several (`Bow winch`)."""
    said = QUANTITY.search(subject) or _LIMIT_SPEED.fullmatch(subject)
    return said is not None or not QUANTITIES.isdisjoint(words_of(subject))


def is_held(name: str) -> bool:
    """Whether a name is an order, a state or an alarm, so that `above 60 kt` says when it holds (`Winch prohibited`)
    and is no end of it."""
    return _HELD.search(name) is not None or not NEGATING.isdisjoint(name.casefold().split())


@lru_cache(maxsize=1024)
def quantity_above(topic: tuple[str, ...], dimension: str = "") -> str:
    """The quantity that the nearest heading, line or bullet above names, and nothing else (`Charge time`); empty
    where it names none, or none of a dimension."""
    name = header_parts(topic[-1]).name if topic else ""
    words = words_of(name)
    if not 0 < len(words) <= _MOST_QUANTITY or words[-1] not in MEASURES or not ASIDE.isdisjoint(words):
        return ""
    of = MEASURES[words[-1]]
    return lower(name) if dimension in ("", of) or not of else ""


def limit_of(subject: str) -> str:
    """A subject whose limit is asked for."""
    return subject if _LIMIT_WORD.search(subject) else f"{subject} limit"


def threshold_of(wording: str, subject: str, *, band: bool) -> str:
    """A threshold by the note's own header (`Caution`, `Red line`, `Shutdown threshold`). band: it has two ends."""
    name = alert_of(wording)
    if not band and name.casefold() in ("red line", "redline"):
        return f"Red line of {lower(subject)}"
    if wording in ("Threshold", "Setpoint"):
        return f"{wording} of {lower(subject)}"
    return f"{upper(lower(name))} {'range' if band else 'threshold'} of {lower(subject)}"


def alert_of(wording: str) -> str:
    """What a threshold's header calls it."""
    name = _LIMIT_WORD.sub("", one_line(wording)).strip().removesuffix(" at") or "Caution"
    return name.capitalize() if name.isupper() and len(name) > 3 else name


def beyond(subject: str, side: str, end: str) -> str:
    """The sentence that a subject is beyond an end: `N1 is below its minimum`, `chip burns exceed their limit`.
    side: minimum, maximum, or empty where that can't be told; end: what it is called."""
    subject, purpose, use = subject.partition(" for ")
    use = purpose + use
    counted = subject.removeprefix("Number of ")
    if counted != subject and side:
        return f"there are {'fewer' if side == 'minimum' else 'more'} {counted} than allowed{use}"
    many, name = is_plural(subject.casefold()), measure(subject)
    be, its = ("are", "their") if many else ("is", "its")
    if way := balanced(subject, side):
        return f"{name} {be} {way} of {its} {way} limit{use}"
    if side == "maximum":
        return f"{name} exceed{'' if many else 's'} {its} {end}{use}"
    return f"{name} {be} {'below' if side else 'beyond' if end == 'limit' else 'outside'} {its} {end}{use}"


def measure(subject: str) -> str:
    """A subject in a sentence: a plain name has its article (`the oil pressure`), a symbol none (`ITT`)."""
    if lower(subject) == subject or is_plural(subject.casefold()):
        return subject
    return f"the {lower(subject)}" if _AMOUNT.search(BEHIND.split(subject)[0]) else the(subject)


def happens(words: str) -> bool:
    """Whether words tell what follows by itself (`The flaps stop`) and not what to do (`Flaps UP`, `Land`)."""
    if is_order(words) or _POSITION.search(words):
        return False
    clause = BEHIND.split(words.casefold(), maxsplit=1)[0].split()
    return _EVENT.match(words) is not None or any(word in VERBS for word in clause[1:])
