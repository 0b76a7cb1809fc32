"""What a cell says beside its amount: brackets, `for …`, conditions behind it."""

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.quantity.agree import agrees
from recall.quantity.amount import ALONE, Column, is_time, read_amounts
from recall.quantity.model import NotReadError, Other, Shape, Span
from recall.quantity.scan import Token, scan
from recall.quantity.unit import Unit, find_unit, same_reference
from recall.quantity.words import has_digit

_BRACKET = re.compile(r"[()\[\]]")
_COMPARING = frozenset(("max", "min", "maximum", "minimum"))
_WHERE = frozenset(
    ("at", "when", "with", "without", "during", "while", "if", "in", "on", "after", "before", "per")
)
_NO_DIGIT = frozenset(("in", "on", "per"))  # `5 psi in 10 s` is a rate
_NUMBER = r"(?P<amount>[-+\u2212±]?\s?\d[\d.,]*(?: \d{3})*)"
_AHEAD = re.compile(_NUMBER + r" ?(?P<unit>[^\s\d,;:]*),?(?P<words>(?: .*)?)")
_BEHIND = re.compile(r"(?P<words>[^\W\d].*?)[:=]? " + _NUMBER + r" ?(?P<unit>[^\s\d,;:]*)")
_CONDITION = re.any_case(
    r"(?:at|on|in|with|without|when|while|during|if|after|before|below|above|under|over|for|from|until|up to|between|"
    r"near|only)\b"
)
_FOR_TIME = re.any_case(r"(?:for|max\.?|maximum|up to|for up to|during)\s+(?P<time>\d[\d.,]*\s?[^\W\d]+)")
_NO_CONDITION = re.any_case(
    r"\b(?:(?<!\d )min|typ|typical|typically|nominal|recommended|recommends?|usual|usually|average|mean|about|"
    r"approx|was|were|old|new|formerly|previous|previously|target|planned|each|per|total|both|usable|certified|"
    r"guaranteed|design|tested|measured|actual|indicated|rated|nett|net|gross|or|and|max|maximum|minimum|so|better|preferred|optional|plus|"
    r"minus|times|off|of|see|note|page|rev|issue|not|no|except|unless|other|than)\b"
)
"""Words by which another amount in brackets is no limit under a condition."""
_STATE = re.any_case(
    r"(?:wet|dry|icy|ice|cold|hot|snow|slush|grass|gravel|standby|emergency|night|day|contaminated|gusts?|"
    r"(?:one|single|two|twin) \w+|\w+ing)(?: (?:runway|surface|weather|fuel|oil|start|engine))?"
)
"""Words that are a condition without one of its prepositions."""
_SAME_STUFF = {"mass", "volume"}
_SIZE = 3
_REMARK = re.any_case(r"[A-Z]\d?$|(?:then|same|half|was|old|new)\b|\w{2,}ed\b(?! (?:flaps?|gear|power))")
"""Words that begin a remark, no condition, such as a state that would turn round what the amount is of."""
_BOUND = re.any_case(r"(?:max|min)(?:\.|imum)? \d")
_SECOND = re.compile(r";[^;]*\d|(?:,|\band)\s+(?:[<>≤≥~±+\-\u2212]\s?)?\d")
"""A second amount behind a condition: whose it is can't be told."""
_UNITED = re.compile(r"\d[\d.,]* ?(?P<unit>[^\s\d,;:()]+)")
_ENDS = frozenset(("num", "unit", "min", "over", "under", "close"))


@dataclass(slots=True)
class Asides:
    """duration: from `for …` or a bracket; conditions: words that are one; also: the amount in another unit; others:
    what holds instead under a condition; remarks: words that are no condition."""

    duration: Span | None = None
    conditions: list[str] = field(default_factory=list)
    also: Span | None = None
    others: list[Other] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def without_brackets(text: str) -> tuple[str, list[str]]:
    """The text with each bracket replaced by a lone `)`, and what stood in them. Raises NotReadError."""
    if _BRACKET.search(text) is None:
        return text, []
    main: list[str] = []
    notes: list[str] = []
    opened: int | None = None
    kept = 0
    for at, sign in enumerate(text):
        if sign in "([":
            if opened is not None or not text[:at].strip():
                raise NotReadError("the brackets don't fit", "close each bracket, behind the amount")
            opened = at
        elif sign in ")]":
            if opened is None:
                raise NotReadError("the brackets don't fit", "open each bracket, behind the amount")
            note = text[opened + 1 : at].strip()
            if not note:
                raise NotReadError("the brackets don't fit", "put something into the bracket")
            if note not in ("g", "a") or not text[opened - 1].isalpha():  # `psi(g)` is a unit
                main += [text[kept:opened], " ) "]
                notes.append(note)
                kept = at + 1
            opened = None
    if opened is not None:
        raise NotReadError("the brackets don't fit", "close each bracket")
    return "".join([*main, text[kept:]]).strip(), notes


def take_conditions(text: str, tokens: list[Token], asides: Asides) -> list[Token]:
    """The tokens before a condition: `830 °C continuous`, `94 % at 1500 rpm`, `250 kt below 10,000 ft`."""
    for at in range(1, len(tokens)):
        if _compares_another(tokens, at):
            asides.conditions.append(text[tokens[at].start :].strip(" ).,;"))
            tokens = tokens[:at]
            break
        word = text[tokens[at].start : tokens[at].end].casefold()
        if tokens[at].kind not in ("word", "on") or word not in _WHERE or tokens[at - 1].kind not in _ENDS:
            continue
        said = text[tokens[at].start :].replace(" ) ", " ").strip(" ).,;")
        follows = text[tokens[at + 1].start : tokens[at + 1].end] if at + 1 < len(tokens) else ""
        doubtful = (word in _NO_DIGIT and has_digit(said)) or (
            word == "per" and find_unit(follows) is not None
        )
        if not follows or doubtful or ")" in said:
            break
        if _SECOND.search(said):
            raise NotReadError("several amounts, each under its condition", "give each amount its own row")
        asides.conditions.append(said)
        tokens = tokens[:at]
        break
    while len(tokens) > 1 and tokens[-1].kind == "state":
        asides.conditions.insert(0, text[tokens[-1].start : tokens[-1].end].rstrip("."))
        tokens = tokens[:-2] if tokens[-2].kind == "comma" else tokens[:-1]
    return tokens


def _compares_another(tokens: list[Token], at: int) -> bool:
    """Whether a comparison with a quantity of another dimension follows: the amount holds below or above it."""
    unit, token = tokens[at - 1].unit, tokens[at]
    if token.kind not in ("over", "under") or token.back or tokens[at - 1].kind != "unit" or unit is None:
        return False
    if not unit.known or any(other.kind in ("for", "close", "min") for other in tokens[at:]):
        return False
    try:
        _, spans = read_amounts(tokens[at:], ALONE)
    except NotReadError:
        return False
    other = spans[0].unit if len(spans) == 1 else None
    return other is not None and other.known and other.dimension not in (unit.dimension, "time")


def take_for(tokens: list[Token], asides: Asides) -> list[Token]:
    """The tokens before `for`; the duration behind it goes aside."""
    at = next((at for at, token in enumerate(tokens) if token.kind == "for"), None)
    if at is None:
        return tokens
    behind = [token for token in tokens[at + 1 :] if token.kind != "close"]
    spans = read_amounts(behind, ALONE)[1] if behind else ()
    if len(spans) != 1 or not is_time(spans[0].unit):
        raise NotReadError("`for` isn't followed by one duration", "write `870 °C for 20 s`")
    asides.duration = spans[0]
    return tokens[:at]


def comparing(note: str) -> list[Token]:
    """The tokens of a bracket that only compares: `50 psi (max)`; none for any other."""
    if note.casefold().rstrip(".") not in _COMPARING:
        return []
    tokens = scan(note, False)
    tokens[0].back = True
    return tokens


def take_reference(note: str, spans: tuple[Span, ...]) -> tuple[Span, ...]:
    """The spans with the reference that a bracket names: `50 kt (IAS)`; none where it names something else."""
    if has_digit(note) and note.upper() not in ("N1", "N2", "N3"):
        return ()
    units = [find_unit(f"{span.unit.name} {note}") if span.unit is not None else None for span in spans]
    return tuple(
        replace(span, unit=unit)
        for span, unit in zip(spans, units, strict=True)
        if unit is not None and len(spans) == units.count(unit)
    )


def take_note(note: str, spans: tuple[Span, ...], column: Column, asides: Asides) -> tuple[Span, ...]:
    """Put a bracket's content where it belongs: duration, the same amount in another unit, or condition."""
    span = _amount_of(note, column.comma_decimal)
    dimensions = {other.unit.dimension for other in spans if other.unit}
    if span is None:
        if not any(sign.isalpha() for sign in note):
            raise NotReadError(
                f"`({note})` says neither a duration, nor a condition, nor another unit",
                "put footnotes into a column of their own",
            )
        other = other_amount(note, spans, column)
        if other is None and _BOUND.match(note):
            raise NotReadError(f"`({note})` is another limit", "give each limit its own row")
        if other is not None:
            asides.others.append(other)
        elif _REMARK.match(note):
            asides.remarks.append(note)
        elif any(
            _alike(find_unit(found["unit"]), own.unit) for found in _UNITED.finditer(note) for own in spans
        ):
            raise NotReadError(f"`({note})` holds another amount", "give each amount its own row")
        else:
            asides.conditions.append(note)
    elif is_time(span.unit) and not any(is_time(other.unit) for other in spans):
        if asides.duration is not None:
            raise NotReadError("two durations in one cell", "write a row for each")
        asides.duration = span
    elif any(_alike(other.unit, span.unit) for other in spans):
        if not any(_referred(other.unit, span.unit) for other in spans):
            asides.remarks.append(note)  # `125 KIAS (121 KCAS)`: both are true
            return spans
        asides.also = _joined(asides.also, span)
    elif span.value is not None and any(other.unit is None for other in spans):
        raise NotReadError(
            f"`({note})` could be another unit, but the first amount has none", "write its unit"
        )
    elif span.value is not None and {span.unit and span.unit.dimension, *dimensions} == _SAME_STUFF:
        asides.remarks.append(note)  # `2704 lb (402 US gal)`
    else:
        asides.conditions.append(note)
    return spans


def check_behind(tokens: list[Token], notes: list[str], asides: Asides) -> None:
    """A condition in brackets behind amounts that each say their unit may be of the last one alone: `19.5 % / 18 %
    (evacuate)`, `2.1 m max, 1.6 m min (light)`. Raises NotReadError."""
    kinds = [token.kind for token in tokens]
    parted = kinds.count("slash") + kinds.count("comma")
    behind = [note for note in notes if note in asides.conditions and note.count("/") < parted]
    if behind and asides.also is None and kinds.count("unit") > 1:
        raise NotReadError("a bracket that may be of the last amount alone", "write a row for each amount")


def check_also(spans: tuple[Span, ...], also: Span | None) -> None:
    """Raise where the amount in brackets isn't the same as the one before it."""
    if also is not None and (len(spans) != 1 or not agrees(spans[0], also)):
        raise NotReadError(
            "the amount in brackets isn't the same in another unit", "mend one of the two", "unit-mismatch"
        )


def other_amount(note: str, spans: tuple[Span, ...], column: Column) -> Other | None:
    """What holds instead under the words of a bracket (`15 wet`, `104 for 15 s`, `JP-4: 29`); None where no amount of
    the same quantity begins or ends it. Raises NotReadError where the words aren't surely a condition."""
    ahead = _AHEAD.fullmatch(note)
    found = ahead or _BEHIND.fullmatch(note)
    if found is None or len(spans) != 1:
        return None
    unit = spans[0].unit or column.unit
    spelt, words = found["unit"], found["words"].strip(" ,;:–—-")
    own = None if words and spelt in _WHERE else find_unit(spelt)
    if own is None:
        words = f"{spelt} {words}".strip()
    elif unit is None or own.dimension != unit.dimension:
        return None
    amount = found["amount"] + (f" {spelt}" if own is not None else "")
    try:
        span = read_amounts(scan(amount, column.comma_decimal), replace(column, unit=unit, fills=True))[1][0]
    except NotReadError:
        return None  # `Note 12.5.3`
    time = _FOR_TIME.fullmatch(words)
    lasts = read_amounts(scan(time["time"], False), ALONE)[1] if time else ()
    if len(lasts) == 1 and is_time(lasts[0].unit) and not is_time(unit):
        return Other(span, "", lasts[0])
    colon = not ahead and note[: found.start("amount")].rstrip().endswith((":", "="))
    sure = colon or (_CONDITION.match(words) if ahead else None) or _STATE.fullmatch(words)
    if _NO_CONDITION.search(words) or not sure:
        if own is None and not _near(span, spans[0]):
            return None  # `flaps 15`, `2 engines`
        raise NotReadError(
            f"`({note})` is another amount, and its words aren't surely a condition",
            "give each amount its own row, with its condition under When and its time under For",
        )
    return Other(span, words)


def _near(span: Span, main: Span) -> bool:
    """Whether two amounts are of one size, as two limits of one thing are."""
    ends = [abs(number.value) for number in (main.low, main.high, main.value) if number is not None]
    own = abs(span.value.value) if span.value is not None else 0
    return any(end <= _SIZE * own and own <= _SIZE * end for end in ends)


def one_of_two(spans: tuple[Span, ...]) -> tuple[Shape, tuple[Span, ...], Span | None]:
    """Two amounts in two units of one dimension (`79 400 kg / 175 047 lb`) as one, said twice."""
    if len(spans) == 2 and spans[0].unit != spans[1].unit and _alike(spans[0].unit, spans[1].unit):
        return "single", spans[:1], spans[1]
    return "values", spans, None


def _alike(unit: Unit | None, other: Unit | None) -> bool:
    return unit is not None and other is not None and unit.dimension == other.dimension and unit.known


def _referred(unit: Unit | None, other: Unit | None) -> bool:
    """Whether two units may say one amount: measured against the same, as far as both say."""
    return not (unit and other and unit.reference and other.reference) or same_reference(unit, other)


def _joined(also: Span | None, span: Span) -> Span:
    """Two single values in brackets (one behind each end of a range) as one range."""
    if also is None:
        return span
    if also.value is None or span.value is None or also.unit != span.unit:
        raise NotReadError("too many amounts in brackets", "write one amount a cell")
    return Span(also.value, span.value, None, False, False, also.unit)


def _amount_of(note: str, comma_decimal: bool) -> Span | None:
    """The one amount in a bracket, with its unit; None for any other words."""
    if not has_digit(note):
        return None
    try:
        spans = read_amounts(scan(note, comma_decimal), ALONE)[1]
    except NotReadError as why:
        if why.rule == "minimum-above-maximum":
            raise
        return None
    return spans[0] if len(spans) == 1 and spans[0].unit is not None else None
