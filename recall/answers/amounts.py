"""An amount as it is typed, held against the one that is right."""

from collections.abc import Iterator

from recall.answers.framing import without_question
from recall.answers.match import Match, matches, matches_whole, read_answer, read_whole_answer
from recall.answers.model import Lore, Verdict, again
from recall.answers.number import NumberAnswer
from recall.answers.rewriting import rewriting
from recall.answers.spelt import with_digits
from recall.answers.synonyms import one_phrase
from recall.answers.vocabulary import SMALL
from recall.answers.words import compare
from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.text import one_line, words_of
from recall.quantity import Reading, Span, Unit, find_unit
from recall.quantity.things import TWO_UNITS
from recall.quantity.unit import COUNT

_DOUBT = re.any_case(
    r"\b(?:maybe|perhaps|probably|possibly|roughly|i (?:think|guess|believe)|(?:or|and) so|give or take|more or less|"
    r"somewhere|thereabouts|a (?:bit|little)|in the \w+ of)\b|\b(?:near(?:ly)?|almost|close to|some)\b(?= -?\.?\d)|"
    r"\d.*\b(?:approx\w*|ca)\b|\d ?ish\b",
)
_EITHER = re.any_case(r"\d.*\bor\s+[-+]?\.?\d")
_tidy = rewriting(r"""
    \bflight level (?=\d) => FL~
    ,?\s*\bplus ?(?:[/-]|or)? ?minus\b => ~±
    ^(.+?),? (?:is|as|being) (?:the |an? |its )?(max|min)(?:imum)?(?: limit| value)?$ => \2 \1
    \b(max|min)(?:imum)?(?: limit| value)? (?:is|of|=|:) *(?=\S) => \1~
    \b(?:fast|hott|warm|heavi|old|farth|furth|deep|lat|larg|bigg)er than\b => more than
    \b(?:slow|cold|cool|light|earli|near|clos|young|small)er than\b => less than
    \b(?:do(?:es)?|must|may|should|shall)(?: not|n['’]?t)\b|\bnever\b => not
    \bnot (?:to )?(?:(?:go|be|get|rise|fall|drop|run|fly)\w* )?(above|over|below|under|exceed)(?:ing)?\b => not \1
    (?<=\d) *(?:thru|through|until|till) *(?=[-+]?\.?\d) => ~to~
    \bcal[ae]nd[ae]r\b => calendar
    \bcalendar (?=days?\b) =>
    \bmin(?:imum)?\.? +(?=[-−]\d) => >=~
    \bdeg(?:ree)?s?\.? +(?=[cfk]\w{4,}) =>
    (?:^|(?<=[a-z>=<] ))[-−–—‐‑‒―] *(?=\.?\d) => -
    ^\(([^()]+)\)$ => \1
    [\s.!;,]+$ =>
    ^(\d[\d.]*)(\D*?) below 0$ => -\1\2
    (\d)\s*h(?:(?:ou)?rs?)?\s*(\d\d?)$ => \1 h \2 min
""")
_FREEZING = re.any_case(r"^(\d[\d.]*)\s*(?:°|deg\w*)?\s*(c\w*)? below freezing$")
_THOUSANDS = re.any_case(r"(?<![\d.,])(\d{1,3}) ?k(?= |$)")
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)(?::([0-5]\d))?")
_CUT = re.any_case(r"\s*[/,:(@]\s*|\s+(?:for|at)\s+|\s+")
_STATES = re.any_case(
    r"(?P<on>\b(?:on|running|runs?|operat(?:e|es|ing)|crank(?:s|ing)?|start(?:ing)?|energi[sz]ed?|active)\b)"
    r"|(?P<off>\b(?:off|rest(?:s|ing)?|cool(?:s|ing)?(?:[ -]down)?|wait|pause|de-?energi[sz]ed?)\b)",
)
_JOINTS = re.any_case(
    r"(?:[\s,;:/&]|\.(?!\d))+|\b(?:it|is|for|then|and|after|followed by|with|of|period|time)\b"
)


def judged(answer: NumberAnswer, given: str, lore: Lore) -> Verdict:
    """The number in its own unit or in none must equal, in another it must be what the right one comes to."""
    typed = with_digits(one_phrase(one_line(given)) if answer.time else one_line(given))
    exact = not answer.reading.spans[0].approximate
    if not re.search(r"\d", typed):
        return again("there is no number in that")
    if exact and (_EITHER.search(typed) or _DOUBT.search(typed)):
        return Verdict(False, "one exact answer is asked")
    if answer.time:
        words, most = typed.rstrip(" .)").split(" "), len(answer.time.split(" "))
        ends = ((words[:-most], words[-most:]), (words[most:], words[:most]))
        amounts = [amount for amount, held in ends if amount and _holds(answer, " ".join(held).strip("(:,"))]
        if not amounts:
            return Verdict(False, "the time is missing")
        typed = " ".join(amounts[0]).strip(" ,:(/")
    if answer.reading.shape == "duty":
        verdicts = [_duty(answer, text) for text in (typed, *without_question(typed, lore))]
        return next((verdict for verdict in verdicts if verdict.right), verdicts[0])
    readings = list(_readings(answer, typed, lore))
    if not readings:
        return again("no amount could be read from that")
    read = next((one for one in readings if _mark(answer, one, lore).right), readings[0])
    unit, match = read.spans[0].unit, _mark(answer, read, lore)
    if match.right and unit is None and not _named_in(answer, lore.prompt):
        return again("say the unit too")
    due = answer.reading.spans[0].unit
    if match.right:
        other = unit is not None and due is not None and _size(unit) != _size(due)
        return Verdict(
            True, note=f"{one_line(given)} is {answer.texts[0]}, to its last digit" if other else ""
        )
    if unit is not None and unit.reference in _CURRENTS and due is not None and not due.reference:
        return again(f"the notes don't say {unit.reference}: leave it out")
    if unit is not None and unit.name.casefold() in TWO_UNITS:
        return again(f"`{unit.name}` could be one of two units")
    value, bounds = read.spans[0].value, (answer.reading.spans[0].low, answer.reading.spans[0].high)
    apart = read.shape == "values" or (value is not None and " " in value.written and unit is None)
    if apart and answer.reading.shape == "single" and all(bounds):
        return again("say how the numbers belong together: `10 to 20`")
    return Verdict(False, match.why)


def _holds(answer: NumberAnswer, said: str) -> bool:
    return any(compare(one, answer.time) is not None for one in (said, said.removesuffix("ly")))


def _named_in(answer: NumberAnswer, prompt: str) -> bool:
    """Whether the question says in which unit the answer is, so that a number is enough; so it is without one."""
    due = answer.reading.spans[0].unit
    if not prompt or due is None or _ASKED_IN.search(prompt):
        return True
    if any(len(word) > 1 and find_unit(word) == due for word in words_of(prompt)):
        return True
    return not {due.name.casefold(), due.reference.casefold()}.isdisjoint(words_of(prompt))


def _readings(answer: NumberAnswer, typed: str, lore: Lore) -> Iterator[Reading]:
    """What was typed may say, the likeliest first: as it stands, as times of a clock, without the words of the
    question before it, and with a time behind it."""
    due = answer.reading.spans[0].unit
    typed = _tidy(typed)
    if due is not None and due.dimension == "length":
        typed = re.sub(r"(?<=\d)\s*['′]$", " ft", typed)
    if due is not None and due.name == "°C":
        typed = _FREEZING.sub(r"-\1", typed)
    elif due is not None and not due.dimension.startswith("temperature"):
        typed = _THOUSANDS.sub(r"\g<1>000", typed)
    if answer.reading.shape in ("values", "limits"):
        typed = re.sub(r"\s+and\s+", " / ", typed, flags=re.I)
    for text in dict.fromkeys((typed, *without_question(typed, lore))):
        for read in (read_whole_answer(text, unit_hint=due), *_clocks(text, due)):
            if read is not None and not read.others:
                yield read
        for cut in reversed(list(_CUT.finditer(text))):
            sides = text[: cut.start()], text[cut.end() :].rstrip(" )")
            for amount, held in (sides, sides[::-1]):  # `3 s at 940`
                time = read_answer(held, unit_hint=None)
                head = read_whole_answer(amount, unit_hint=due) if _is_time(time) else None
                if head is not None and head.duration is None and not head.others:
                    yield replace(head, duration=time)


def _mark(answer: NumberAnswer, read: Reading, lore: Lore) -> Match:
    """The amount and its time; a time that the question says itself may be said again."""
    due = answer.reading.duration
    if read.duration is not None:  # `for up to 30 s`
        read = replace(read, duration=_at_most(read.duration))
    if read.duration is not None and due is None and (asked := _times_of(lore.prompt)):
        match = next((match for time in asked if (match := matches(read.duration, time)).right), None)
        if match is None:
            return Match(False, "the duration is wrong")
        read = replace(read, duration=None)
    elif read.duration is not None and due is not None and read.duration.unit is None:
        return Match(False, "the unit of the duration is missing")
    own = answer.reading.spans[0]
    if _EVEN.search(lore.prompt) and not (own.low and own.high):
        read = replace(read, spans=tuple(map(_one_side, read.spans)))
    said = words_of(f"{read.condition} {read.remark}")
    if lore.prompt and not {*said} - SMALL <= {*words_of(lore.prompt)}:
        return Match(False, f"`{' '.join(said)}` isn't what is asked")
    read = replace(read, spans=tuple(_as_asked(answer, span, lore.prompt) for span in read.spans))
    if answer.reading.spans[0].value is not None and _MAY.search(lore.prompt):  # `within 30 days`
        read = replace(read, spans=(_at_most(read.spans[0]), *read.spans[1:]))
    right, asked_in = answer.reading, _ASKED_IN.search(lore.prompt)
    if asked_in and all(span.unit is None for span in right.spans):
        unit = find_unit(asked_in[1])
        right = replace(right, spans=tuple(replace(span, unit=unit) for span in right.spans))
    return matches_whole(read, right)


def _as_asked(answer: NumberAnswer, span: Span, prompt: str) -> Span:
    """A typed amount without what it is measured against, where the question says that and the answer doesn't:
    `3.55 V per cell` of a cell voltage."""
    due, unit = answer.reading.spans[0].unit, span.unit
    if unit is None or not unit.reference or due is None or due.reference or unit.dimension == COUNT:
        return span
    said, asked = set(words_of(unit.reference)) - {"per"}, set(words_of(prompt))
    if said <= asked or not asked.isdisjoint(_SAID_BY.get(unit.reference, ())):
        return replace(span, unit=replace(unit, reference=""))
    return span


def _duty(answer: NumberAnswer, typed: str) -> Verdict:
    """States with their times: two in any order, more in turn."""
    due, given = _cycle(answer.texts[0]), _cycle(typed)
    if given is None or due is None:
        reading = read_whole_answer(typed, unit_hint=answer.reading.spans[0].unit)
        if reading is None or len(reading.spans) > 1:
            return again("say each time with its state: `20 s on / 40 s off`")
        match = matches_whole(reading, answer.reading)
        return Verdict(match.right, match.why)
    if len(given) != len(due):
        return Verdict(False, f"{len(due)} times with their states are asked")
    if len(due) == 2:
        given, due = sorted(given, key=lambda one: one[0]), sorted(due, key=lambda one: one[0])
    if [state for state, _ in given] != [state for state, _ in due]:
        return Verdict(False, "the states differ")
    if all(matches(time, right).right for (_, time), (_, right) in zip(given, due, strict=True)):
        said = {time.unit for _, time in given}
        once = len(said) > 1 and len({right.unit for _, right in due}) == 1  # `15 s on, 45 off`
        return Verdict(True) if once or None not in said else again("say the unit too")
    return Verdict(False, "the times differ")


def _size(unit: Unit) -> tuple[object, object]:
    return unit.factor, unit.offset


def _one_side(span: Span) -> Span:
    """An amount that was typed for both sides as that of one."""
    low, high = span.low, span.high
    if span.value is None and low is not None and high is not None and low.value == -high.value:
        return replace(span, low=None, high=None, value=high)
    return span


def _at_most(span: Span) -> Span:
    """What is the most that is allowed, as the amount that it is."""
    bounded = span.value is None and span.low is None and not span.high_open
    return replace(span, value=span.high, high=None) if bounded else span


def _is_time(span: Span | None) -> bool:
    return span is not None and span.unit is not None and span.unit.dimension == "time"


def _clocks(text: str, due: Unit | None) -> Iterator[Reading | None]:
    """`3:00` where a time is due: hours and minutes, or minutes and seconds where it isn't due in hours."""
    found = _CLOCK.fullmatch(text)
    if found is not None and due is not None and due.dimension == "time":
        first, second, third = (int(part or 0) for part in found.groups())
        if not found[3] and due.name != "h":
            yield read_whole_answer(f"{first * 60 + second} s", unit_hint=None)
        yield read_whole_answer(f"{first * 3600 + second * 60 + third} s", unit_hint=None)


_SAID_BY = {
    "MAC": ("cg", "gravity"),
    "above ground": ("height",),
    "above sea level": ("altitude",),
    "pressure altitude": ("altitude",),
}
"""What it is measured against, by words of a question that say so."""
_EVEN = re.any_case(r"\b(?:error|deviation|tolerance|angle|deflection|travel)\b")
"""What is as large on either side."""
_CURRENTS = ("DC", "AC")
_MAY = re.any_case(r"\bmay\b|\bfor how long\b|\bat most\?")
"""What a question says whose amount is the most that is allowed."""
_ASKED_IN = re.compile(r", in ([^,?:.]+)[?:.]")


def _times_of(prompt: str) -> list[Span]:
    """The times that a question says in brackets."""
    said = re.findall(r"\(([^()]*)\)", prompt)
    read = [read_answer(with_digits(part.strip())) for each in said for part in each.split(",")]
    return [span for span in read if span is not None and _is_time(span)]


_TIMES = re.compile(r"[\d.,:]+ ?[^\d\s]*(?: [^\d]+)?")


def _cycle(text: str) -> list[tuple[str, Span]] | None:
    """The states of a duty cycle, each with its time; None where anything else is said."""
    parts: list[tuple[str, Span | str]] = []
    at = 0
    for found in (*_STATES.finditer(text), None):
        between = _JOINTS.sub(" ", text[at : found.start() if found else len(text)]).strip()
        if between:
            times = [read_answer(time) for time in _TIMES.findall(between)]
            if (
                _TIMES.sub("", between).strip()
                or not times
                or len(times) > 2
                or not all(time is not None and (time.unit is None or _is_time(time)) for time in times)
            ):
                return None
            parts += [("time", time) for time in times if time is not None]
        if found:
            parts.append(("state", found.lastgroup or ""))
            at = found.end()
    if len(parts) % 2:
        return None
    pairs = [dict(parts[at : at + 2]) for at in range(0, len(parts), 2)]
    if not all(pair.keys() == {"time", "state"} for pair in pairs):
        return None
    return [(str(pair["state"]), pair["time"]) for pair in pairs if isinstance(pair["time"], Span)]
