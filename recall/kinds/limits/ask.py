"""The questions of a limit: one for each thing that its row says."""

from collections.abc import Iterator
from functools import lru_cache

from recall.answers import MembersAnswer, NumberAnswer, ProseAnswer, WordsAnswer, with_name
from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.text import key_form
from recall.kinds.english import is_plural, lower, upper
from recall.kinds.limits import words as say
from recall.kinds.limits.columns import AMOUNTS
from recall.kinds.limits.facts import alone
from recall.kinds.limits.readings import is_even, plain_unit, reading_of
from recall.kinds.model import Draft, Point
from recall.quantity import Reading, Span, Words, canonical, shown
from recall.quantity.unit import COUNT, UNKNOWN

BEYOND = {"below": "minimum", "above": "maximum", "action": ""}
"""What is done, or follows, beyond an end: aspect and field → the end, where it says which."""
_LIMIT = re.any_case(r"limit(?:ation)?s?")
_NUMBER = re.any_case(r"(?:max|min)(?:imum)?\b|.*\bnumber\b")
_REPEATED = re.any_case(r"\b(?:once|twice|times)\b|[×x] ?\d|\d ?[×x]")
"""A count in a duty cycle, which its times don't hold."""
_SPOKEN = {"in": "inches"} | {unit: f"{unit}s" for unit in ("day", "week", "month", "year", "gram")}
"""Units whose shown name doesn't go into a sentence."""
_MORE = {"duty": ": how long on, and how long off", "tolerance": ", with its tolerance"}
_ARC_SIDES = {"minimum": ": lower end", "maximum": ": upper end"}


def drafts_of(point: Point) -> list[Draft]:
    """The questions of a point, in the order of the kind's aspects."""
    drafts: list[Draft] = []
    point = _with_quantity(_counted(point))
    parts = point.parts or (point,)
    for role in AMOUNTS:
        rungs = [rung for rung in parts if role in rung.amounts]
        if len(rungs) > 1:
            drafts.append(_ladder(point, role, rungs))
        elif rungs:
            drafts.append(_amount(rungs[0], role))
    if not point.parts:
        said = {draft.aspect: draft.answer.same_as for draft in drafts}
        drafts += [*_duration(point), *reading_of(point, said)]
    return [*drafts, *_beyond(point)]


def plain(amount: Reading | Words, role: str = "minimum") -> str:
    """An answer as it is shown: a minimum or maximum as its number, `less than` where the number is left out; what is
    normal with its `at least`."""
    if isinstance(amount, Words):
        return amount.text
    spans = [
        replace(span, unit=plain_unit(span.unit)) if span.unit and span.unit.name.startswith("% ") else span
        for span in amount.spans
    ]
    if amount.shape != "single":
        return shown(replace(amount, spans=tuple(spans)))
    span, end = spans[0], spans[0].low or spans[0].high
    compared = span.low_open or span.high_open or role == "normal"
    if not end or (span.low and span.high) or compared:
        return shown(span)
    return shown(Span(value=end, unit=span.unit, approximate=span.approximate))


@lru_cache(maxsize=8192)
def _answer(amount: Reading, meant: Reading, role: str) -> NumberAnswer:
    """An amount as an answer; the same few stand in many rows. meant: with what its subject says of its unit."""
    form = canonical(alone(meant.spans[0]) if meant.shape == "single" else meant)
    return NumberAnswer((plain(amount, role),), (form,), reading=meant)


@lru_cache(maxsize=8192)
def _unit_asked(amount: Reading | Words) -> tuple[str, bool]:
    """The one unit in which an amount is asked, empty where there is none or times are recited; whether things are
    counted in it."""
    if isinstance(amount, Words) or amount.shape == "duty":
        return "", False
    numbers = (number for span in amount.spans for number in (span.low, span.high, span.value) if number)
    if any(" h " in number.written for number in numbers):
        return "h and min", False  # `5 h 30 min`
    units = {unit.name: unit for span in amount.spans if (unit := plain_unit(span.unit))}
    if len(units) != 1:
        return "", False
    ((name, unit),) = units.items()
    return name, unit.dimension in (COUNT, UNKNOWN) and name.isalpha()


def _in(amount: Reading | Words, subject: str = "") -> str:
    """`, in °C`, where the answer has one unit that the subject doesn't name itself (`passengers`)."""
    name, _ = _unit_asked(amount)
    if not name or _counts(amount, subject):
        return ""
    of = " of the mean aerodynamic chord" if name == "%" and say.balanced(subject, "minimum") else ""
    return f", in {_SPOKEN.get(name, name)}{of}"


def _counts(amount: Reading | Words, subject: str) -> bool:
    """Whether an amount is how many there are of its subject (`flooded compartments`)."""
    name, counted = _unit_asked(amount)
    return counted and name in subject.casefold().split()


def _counted(point: Point) -> Point:
    """A point whose subject says that it is counted: `number of flooded compartments`."""
    subject = point.subject
    counted = any(role in AMOUNTS and _counts(amount, subject) for role, amount in point.amounts.items())
    if not counted or not is_plural(subject) or _NUMBER.match(subject):
        return point
    if _LIMIT.fullmatch(point.wording.get("value", "")):
        return point
    return replace(point, subject=f"Number of {lower(subject)}")


def _with_quantity(point: Point) -> Point:
    """A point, and its rungs, whose thing has a quantity that is named above it: `Main charge time`."""
    quantity = say.quantity_above(point.topic) and say.quantity_above(point.topic, _dimension(point))
    said = say.says_quantity(point.subject) or say.is_condition(point.subject) if quantity else True
    if said or not point.subject[-1:].isalnum():
        return point
    parts = tuple(map(_with_quantity, point.parts))
    return replace(point, subject=f"{point.subject} {quantity}", parts=parts)


def _dimension(point: Point) -> str:
    """That of its amounts; a mark that fits no quantity where they have none, or several."""
    amounts = (
        amount for role, amount in point.amounts.items() if role in AMOUNTS and isinstance(amount, Reading)
    )
    found = {span.unit.dimension if span.unit else "" for amount in amounts for span in amount.spans}
    return found.pop() or "-" if len(found) == 1 else "-"


def _under(phrase: str, point: Point, *, timed: bool = False) -> str:
    """A phrase under its condition. timed: the time that holds goes into the brackets, before the aircraft that the
    row names."""
    parts = [point.wording[part] for part in ("held", "applies")[not timed :] if point.wording.get(part)]
    return say.under(phrase, point.condition, ", ".join(parts))


def _phrase(point: Point, role: str) -> str:
    """What is asked, without condition and unit."""
    subject, wording, amount = point.subject, point.wording.get(role, ""), point.amounts[role]
    span = amount.spans[0] if isinstance(amount, Reading) else None
    band = span is not None and span.value is None and bool(span.low and span.high)
    if role == "value":
        return say.limit_of(subject) if _LIMIT.fullmatch(wording) else subject
    if role == "normal" and band:
        return f"Normal range of {lower(subject)}"
    if role in ("minimum", "maximum", "normal"):
        low, high = point.amounts.get("minimum"), point.amounts.get("maximum")
        even = role != "normal" and is_even(low, high)
        lead = f"{'lower' if role == 'minimum' else 'upper'} limit of" if even else role
        return say.named(lead, subject, both=bool(low and high))
    return say.threshold_of(wording, subject, band=band)


def _amount(point: Point, role: str) -> Draft:
    amount, more = point.amounts[role], ""
    if isinstance(amount, Reading):
        tolerance = amount.shape == "single" and amount.spans[0].value and amount.spans[0].high
        values = f", {len(amount.spans)} values in order" if amount.shape == "values" else ""
        more = values or _MORE.get("tolerance" if tolerance else amount.shape, "")
    sort = say.sort_of(point.condition)
    of = replace(point, subject=f"{sort} {lower(point.subject)}", condition="") if sort else point
    phrase = _under(_phrase(of, role), of, timed=True)
    if "arc" in point.wording:
        phrase = f"{upper(point.subject)}, {lower(point.condition)}{_ARC_SIDES.get(role, '')}"
    return _draft(point, role, f"{phrase}{more}{_in(amount, point.subject)}?", amount)


def _draft(point: Point, aspect: str, prompt: str, amount: Reading | Words) -> Draft:
    line = int(point.wording.get(f"{aspect} line", 0))
    if isinstance(amount, Words) or (amount.shape == "duty" and _REPEATED.search(amount.text)):
        return Draft(aspect, prompt, WordsAnswer((plain(amount),), (canonical(amount),)), line=line)
    return Draft(aspect, prompt, _answer(amount, with_name(amount, point.subject), aspect), line=line)


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
        text = plain(rung.amounts[role], role) + joint
        if isinstance(amount, Words):
            texts[text] = amount.text + joint
        else:
            of = replace(amount, duration=time.spans[0]) if isinstance(time, Reading) and timed else amount
            texts[text] = NumberAnswer((text,), reading=of, time="" if timed else held)
        same_as.append(f"{canonical(amount)} | {time_of(rung)}")
    asked = f"what are the {len(rungs)} limits, and for how long is each allowed"
    which = say.label(point.condition)
    first = replace(rungs[0], subject=f"{which} {lower(point.subject)}") if which else rungs[0]
    said = _under(_phrase(first, role), replace(point, condition="") if which else point)
    answer = MembersAnswer(tuple(texts), tuple(sorted(same_as)), rungs=tuple(texts.values()))
    return Draft(role, f"{said}{_in(rungs[0].amounts[role])}: {asked}?", answer)


def _duration(point: Point) -> Iterator[Draft]:
    if time := point.amounts.get("duration"):
        row = point.wording.get("row")
        said = lower(say.measure(point.subject))
        of_it = point.condition and "," not in point.condition and not say.is_condition(point.condition)
        of = f"{lower(point.condition)} " if of_it else ""
        asked = f"for how long may {said} be at {'their' if is_plural(said) else 'its'} {of}limit"
        asked = f"For how long do the {lower(row)} limits apply" if row else _under(asked, point)
        yield _draft(replace(point, subject=""), "duration", f"{asked}{_in(time)}?", time)


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
        of = say.label(point.condition)
        clause = say.beyond(point.subject, side, f"{of} {'limits' if both else end}".lstrip())
        sentence = say.when(clause, "" if of else point.condition, point.wording.get("applies", ""))
        ask = "What follows" if say.happens(words[0]) else "What do you do"
        yield Draft("action" if both else aspect, f"{sentence}. {ask}?", ProseAnswer(words))
