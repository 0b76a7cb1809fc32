"""The questions of a limit: one for each thing that its row says."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from recall.answers import (
    MembersAnswer,
    NumberAnswer,
    ProseAnswer,
    ReadingAnswer,
    WordsAnswer,
    unit_named,
    with_name,
)
from recall.answers.reading import FEWEST, NORMAL
from recall.base import regex as re
from recall.base.text import key_form
from recall.kinds.limits.checks import span_of
from recall.kinds.limits.columns import AMOUNTS
from recall.kinds.limits.facts import alone
from recall.kinds.limits.words import (
    alert_of,
    beyond,
    happens,
    limit_of,
    lower,
    measured,
    named,
    threshold_of,
    under,
    upper,
)
from recall.kinds.model import Draft, Point
from recall.quantity import Number, Reading, Span, Unit, Words, canonical, find_unit, shown, step_of

BEYOND = {"below": "minimum", "above": "maximum", "action": ""}
"""What is done, or follows, beyond an end: aspect and field → the end, where it says which."""
ALERTS = ("shutdown", "warning", "caution")
_NO_INSTRUMENT = frozenset(("count", "data", "data rate", "calendar time", "currency"))
_LIMIT = re.compile(r"limit(?:ation)?s?", re.IGNORECASE)
_FREE = re.compile(
    r"(?:none|not limited|no limits?|no limitations?|unlimited|unrestricted)\.?", re.IGNORECASE
)
_SIGNED = frozenset(("temperature", "temperature difference", "angle"))

_REPEATED = re.compile(r"\b(?:once|twice|times)\b|[×x] ?\d|\d ?[×x]", re.IGNORECASE)
"""A count in a duty cycle, which its times don't hold."""
_SPOKEN = {
    "in": "inches",
    "day": "days",
    "week": "weeks",
    "month": "months",
    "year": "years",
    "gram": "grams",
}
"""Units whose shown name doesn't go into a sentence."""
_ENDS = {"limits": ("minimum", "maximum"), "tolerance": ("value",), "normal range": ("normal",)}


def drafts_of(point: Point) -> list[Draft]:
    """The questions of a point, in the order of the kind's aspects."""
    if not point.parts:
        drafts = [_amount(point, role) for role in AMOUNTS if role in point.amounts]
        said = {draft.aspect: draft.answer.same_as for draft in drafts}
        return [*drafts, *_duration(point), *_reading(point, said), *_beyond(point)]
    drafts = []
    for role in AMOUNTS:
        rungs = [rung for rung in point.parts if role in rung.amounts]
        if len(rungs) > 1:
            drafts.append(_ladder(point, role, rungs))
        elif rungs:
            drafts.append(_amount(rungs[0], role))
    return [*drafts, *_beyond(point)]


@lru_cache(maxsize=8192)
def _normal_form(span: Span) -> str:
    """`canonical` of a span: the same few amounts stand in many rows."""
    return canonical(alone(span))


def plain(amount: Reading | Words) -> str:
    """An answer as it is shown: a minimum or maximum as its number, `less than` where the number is left out."""
    if isinstance(amount, Words):
        return amount.text
    if amount.shape == "single":
        span = amount.spans[0]
        unit = plain_unit(span.unit)
        end = span.low or span.high
        if end and (span.low is None or span.high is None) and not (span.low_open or span.high_open):
            return shown(Span(value=end, unit=unit, approximate=span.approximate))
        return shown(span if unit is span.unit else replace(span, unit=unit))
    return shown(
        replace(amount, spans=tuple(replace(span, unit=plain_unit(span.unit)) for span in amount.spans))
    )


def plain_unit(unit: Unit | None) -> Unit | None:
    """The unit as it is asked for: `%`, whatever it is a percentage of."""
    return unit_named("%") if unit is not None and unit.name.startswith("% ") else unit


def _in(amount: Reading | Words, subject: str = "") -> str:
    """`, in °C`, where the answer has one unit that the subject doesn't name itself (`passengers`)."""
    if isinstance(amount, Words) or amount.shape == "duty":
        return ""
    units = {unit.name for span in amount.spans if (unit := plain_unit(span.unit))}
    name = units.pop() if len(units) == 1 else ""
    counted = name in subject.casefold().split() and name.isalpha() and find_unit(name) is None
    return f", in {_SPOKEN.get(name, name)}" if name and not counted else ""


def _ranges(amount: Reading | Words) -> bool:
    return (
        isinstance(amount, Reading) and amount.spans[0].low is not None and amount.spans[0].high is not None
    )


def _brackets(point: Point, *, timed: bool = True) -> str:
    """What stands in brackets behind a condition: the time that holds, and the aircraft that the row names."""
    parts = [point.wording.get("held", "") if timed else "", point.wording.get("applies", "")]
    return ", ".join(part for part in parts if part)


def _under(phrase: str, point: Point, *, timed: bool = True) -> str:
    return under(phrase, point.condition, _brackets(point, timed=timed))


def _phrase(point: Point, role: str, amount: Reading | Words) -> str:
    """What is asked, without condition and unit."""
    subject, wording = point.subject, point.wording.get(role, "")
    if role in ("minimum", "maximum"):
        return named(role.capitalize(), subject)
    if role == "normal":
        return f"Normal range of {lower(subject)}" if _ranges(amount) else named("Normal", subject)
    if role == "value":
        return limit_of(subject) if _LIMIT.fullmatch(wording) else subject
    return threshold_of(wording, subject, band=_ranges(amount))


def _amount(point: Point, role: str) -> Draft:
    amount = point.amounts[role]
    more = ""
    if isinstance(amount, Reading):
        if amount.shape == "values":
            more = f", {len(amount.spans)} values in order"
        elif amount.shape == "duty":
            more = ", the duty cycle in full"
        elif amount.spans[0].value and amount.spans[0].high:
            more = ", with its tolerance"
    if "arc" in point.wording:
        side = {"minimum": ": lower end", "maximum": ": upper end"}.get(role, "")
        prompt = f"{upper(point.subject)}, {lower(point.condition)}{side}{more}{_in(amount, point.subject)}?"
    else:
        phrase = _phrase(point, role, amount)
        prompt = f"{_under(phrase, point)}{more}{_in(amount, point.subject)}?"
    return _draft(point, role, prompt, amount)


def _draft(point: Point, aspect: str, prompt: str, amount: Reading | Words) -> Draft:
    line = int(point.wording.get(f"{aspect} line", 0))
    if isinstance(amount, Words) or (amount.shape == "duty" and _REPEATED.search(amount.text)):
        return Draft(aspect, prompt, WordsAnswer((plain(amount),), (canonical(amount),)), line=line)
    by_name = with_name(amount, point.subject)
    form = _normal_form(by_name.spans[0]) if by_name.shape == "single" else canonical(by_name)
    return Draft(aspect, prompt, NumberAnswer((plain(amount),), (form,), reading=by_name), line=line)


def time_of(point: Point) -> str:
    """The normal form of the time for which a point holds, empty where none is said."""
    time = point.amounts.get("duration")
    return canonical(time) if time is not None else point.wording.get("held", "").casefold()


def _ladder(point: Point, role: str, rungs: list[Point]) -> Draft:
    """All values of one parameter and condition with their times, asked as a set."""
    same_as: list[str] = []
    texts: dict[str, NumberAnswer | str] = {}
    for rung in rungs:
        amount, time = with_name(rung.amounts[role], point.subject), rung.amounts.get("duration")
        held = rung.wording.get("held", "")
        timed = isinstance(time, Reading) and len(time.spans) == 1
        joint = f" for {held}" if timed else f" {held}" if held else ""
        text = plain(rung.amounts[role]) + joint
        if isinstance(amount, Words):
            texts[text] = amount.text + joint
        else:
            of = replace(amount, duration=time.spans[0]) if isinstance(time, Reading) and timed else amount
            texts[text] = NumberAnswer((text,), reading=of, time="" if timed else held)
        same_as.append(f"{canonical(amount)} | {time_of(rung)}")
    first = rungs[0].amounts[role]
    phrase = _under(_phrase(rungs[0], role, first), point, timed=False)
    prompt = f"{phrase}, all {len(rungs)} limits with their times{_in(first)}?"
    answer = MembersAnswer(tuple(texts), tuple(sorted(same_as)), rungs=tuple(texts.values()))
    return Draft(role, prompt, answer)


def _duration(point: Point) -> list[Draft]:
    time = point.amounts.get("duration")
    if time is None:
        return []
    if row := point.wording.get("row"):
        prompt = f"{upper(row)} limits: for how long do they hold{_in(time)}?"
    else:
        asked = f"for how long does the {lower(limit_of(point.subject))} hold"
        prompt = f"{_under(asked, point, timed=False)}{_in(time)}?"
    return [_draft(replace(point, subject=""), "duration", prompt, time)]


def _ends_of(point: Point) -> tuple[str, Span | None, Span | None] | None:
    """What a reading is compared with: its limits, its tolerance or its normal range."""
    low, high = span_of(point, "minimum"), span_of(point, "maximum")
    for role, span in (("minimum", low), ("maximum", high)):
        amount = point.amounts.get(role)
        if (
            amount is not None
            and span is None
            and not (isinstance(amount, Words) and _FREE.fullmatch(amount.text))
        ):
            return None
    if low or high:
        return "limits", low, high
    for role, what in (("value", "tolerance"), ("normal", "normal range")):
        span = span_of(point, role)
        if span is not None and (span.low or span.high):
            return what, span if span.low else None, span if span.high else None
    return None


def _scale(span: Span) -> object:
    """What two amounts share that can be compared number by number."""
    unit = span.unit
    return unit and (unit.dimension, unit.reference, unit.factor, unit.offset)


def _bands(point: Point, low: Number | None, high: Number | None, scale: object) -> Iterator[list[object]]:
    """The stretches of the scale inside the limits that have a name of their own, the gravest first. A bare
    threshold reaches to the end that it is nearest to."""
    for role in (*ALERTS, "normal"):
        span = span_of(point, role)
        if span is None or span.approximate or _scale(span) != scale:
            continue
        ends = [span.low and span.low.value, span.high and span.high.value]
        if span.value and not any(ends):
            if role == "normal":
                continue
            far = [abs(span.value.value - end.value) if end else None for end in (low, high)]
            upward = far[0] is None or (far[1] is not None and far[1] <= far[0])
            ends[0 if upward else 1] = span.value.value
        says = NORMAL if role == "normal" else lower(alert_of(point.wording[role]))
        yield [says, *(end if end is None else str(end) for end in ends), span.low_open, span.high_open]


def _reading(point: Point, said: dict[str, tuple[str, ...]]) -> list[Draft]:
    """A reading to be drawn afresh, where an instrument shows it and there are several things to say of it: with one
    end alone it would only be tossed for. said: aspect → what its answer is compared by."""
    ends = _ends_of(point)
    if ends is None or "arc" in point.wording:
        return []
    what, low, high = ends
    spans = [span for span in (low, high) if span]
    unit = plain_unit(spans[-1].unit)
    scale = _scale(spans[0])
    if scale != _scale(spans[-1]) or any(span.approximate for span in spans):
        return []
    if unit is None or not unit.known or unit.dimension in _NO_INSTRUMENT:
        return []
    least, most = low.low if low else None, high.high if high else None
    numbers = [number for number in (least, most) if number]
    bands = list(_bands(point, least, most, scale)) if what == "limits" else []
    answer = ReadingAnswer(
        (),
        (what, *(each for aspect in _ENDS[what] for each in said.get(aspect, ()))),
        facts={
            "what": what,
            "low": str(least.value) if least else None,
            "low_open": bool(low and low.low_open),
            "high": str(most.value) if most else None,
            "high_open": bool(high and high.high_open),
            "bands": bands,
            "unit": unit.name,
            "step": str(min(step_of(number) for number in numbers)),
            "signed": unit.dimension in _SIGNED or any(number.value < 0 for number in numbers),
            "held": point.wording.get("applies", ""),
        },
    )
    if len(answer.outcomes()) < FEWEST:
        return []
    prompt = under(
        f"a reading of {lower(measured(point.subject))}", point.condition, _brackets(point, timed=False)
    )
    return [Draft("reading", f"{prompt}, {answer.asks()}", answer)]


def _beyond(point: Point) -> Iterator[Draft]:
    """What to do beyond an end, or what follows there; the same at both ends is asked once."""
    rungs = point.parts or (point,)
    found = {aspect: rung for aspect in BEYOND for rung in reversed(rungs) if aspect in rung.fields}
    said = [key_form(rung.fields[aspect][0]) for aspect, rung in found.items()]
    both = len(said) > 1 and len(set(said)) == 1
    for aspect, rung in list(found.items())[: 1 if both else None]:
        words = rung.fields[aspect]
        side = "" if both else BEYOND[aspect] or rung.wording.get("beyond", "")
        end = side if side in rung.amounts else "normal range" if "normal" in rung.amounts else "limit"
        sentence = _under(beyond(point.subject, side, "limits" if both else end), point, timed=False)
        ask = "What follows" if happens(words[0]) else "What do you do"
        yield Draft("action" if both else aspect, f"{sentence}. {ask}?", ProseAnswer(words))
