"""A cell read: an amount, words on purpose, nothing, or not readable. Nothing is guessed."""

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from recall.quantity.agree import agrees
from recall.quantity.amount import is_time, read_amounts, settle_min
from recall.quantity.model import Blank, NotReadError, Reading, Span, Unreadable, Words, excerpt
from recall.quantity.scan import Token, scan
from recall.quantity.unit import Unit
from recall.quantity.words import has_digit, placeholder, words_or_not

MOST_SIGNS = 300  # a longer cell with a digit in it is a sentence, not an amount

_Cell = Reading | Words | Blank | Unreadable


@lru_cache(maxsize=16384)
def _read(text: str, header: Unit | None, comma_decimal: bool, strict: bool) -> _Cell:
    if not has_digit(text):
        return Blank(text) if placeholder(text) else words_or_not(text)
    if placeholder(text):
        return Blank(text)
    if len(text) > MOST_SIGNS:
        return Unreadable(
            text, "unreadable-quantity", f"{excerpt(text)} is too long for one amount", "Split it into rows."
        )
    try:
        return _reading(text, header, comma_decimal, strict)
    except NotReadError as why:
        return Unreadable(text, why.rule, f"{excerpt(text)}: {why.reason}", why.help)


def read_cell(
    text: str, *, header_unit: Unit | None = None, comma_decimal: bool = False, sense: str = ""
) -> _Cell:
    """What a limit's cell says. Never raises.

    header_unit: the unit of the column or row, used where the cell has none. comma_decimal: the file uses decimal
    commas (see `comma_decimals`). sense: what the column says (`minimum`, `maximum`, `duration`, …): under `duration`
    a `min` behind a number is minutes, whatever the header's unit is.
    """
    folded = " ".join(text.split())
    if sense == "duration" and not is_time(header_unit):
        header_unit = None
    return _read(folded, header_unit, comma_decimal, True)


def read_typed(text: str, hint: Unit | None) -> Reading | None:
    """What a person typed; hint: the unit of the right answer. The unit stays None where none was typed."""
    folded = " ".join(text.split())
    cell = _read(folded, None, False, False) if hint is None else _typed(folded, hint)
    return cell if isinstance(cell, Reading) else None


@lru_cache(maxsize=1024)
def _typed(text: str, hint: Unit) -> _Cell:
    try:
        tokens = scan(text, False)
        settle_min(tokens, None if is_time(hint) else hint)
        return _of_tokens(text, tokens, None, False, False)
    except NotReadError as why:
        return Unreadable(text, why.rule, why.reason, why.help)


def _reading(text: str, header: Unit | None, comma_decimal: bool, strict: bool) -> Reading:
    return _of_tokens(text, scan(text, comma_decimal), header, comma_decimal, strict)


def _of_tokens(
    text: str, tokens: list[Token], header: Unit | None, comma_decimal: bool, strict: bool
) -> Reading:
    kinds = {token.kind for token in tokens}
    if kinds <= _PLAIN:
        shape, spans = read_amounts(tokens, header, strict=strict)
        return Reading(spans, shape, None, "", None, text)
    if tokens and tokens[-1].kind == "other" and text.endswith(".") and tokens[-1].start == len(text) - 1:
        tokens = tokens[:-1]
    duty = _duty(tokens)
    if duty is not None:
        return Reading(duty, "duty", None, "", None, text)
    main, notes = _brackets(text, tokens)
    condition: list[str] = []
    if main and main[-1].kind == "state":
        condition.append(text[main[-1].start : main[-1].end])
        main = main[:-1]
        if main and main[-1].kind == "comma":
            main = main[:-1]
    main, duration = _for(main)
    for note in list(notes):
        if note.casefold().rstrip(".") in _COMPARING:
            main = [*main, *scan(note, False)]
            main[-1].back = True
            notes.remove(note)
    shape, spans = read_amounts(main, header, strict=strict)
    also: Span | None = None
    for note in notes:
        span = _amount_of(note, comma_decimal)
        if span is None:
            if not any(sign.isalpha() for sign in note):
                raise NotReadError(
                    f"`({note})` says neither a duration, nor a condition, nor another unit",
                    "Put footnotes into a column of their own.",
                )
            condition.append(note)
        elif is_time(span.unit) and not any(is_time(other.unit) for other in spans):
            if duration is not None:
                raise NotReadError("two durations in one cell", "Write a row for each.")
            duration = span
        elif any(other.unit is not None and _alike(other.unit, span.unit) for other in spans):
            also = _joined(also, span)
        elif span.value is not None and any(other.unit is None for other in spans):
            raise NotReadError(
                f"`({note})` could be another unit, but the first amount has none", "Write its unit."
            )
        else:
            condition.append(note)
    if also is not None and (len(spans) != 1 or not agrees(spans[0], also)):
        raise NotReadError(
            "the amount in brackets isn't the same in another unit", "Mend one of the two.", "unit-mismatch"
        )
    return Reading(spans, shape, duration, "; ".join(condition), also, text)


_PLAIN = frozenset(
    ("num", "unit", "before", "over", "under", "min", "to", "pm", "about", "slash", "between", "from")
)
_COMPARING = frozenset(("max", "min", "maximum", "minimum"))


def _alike(unit: Unit, other: Unit | None) -> bool:
    return other is not None and unit.dimension == other.dimension and unit.known


def _joined(also: Span | None, span: Span) -> Span:
    """Two single values in brackets (behind each end of a range) as one range."""
    if also is None:
        return span
    if also.value is None or span.value is None or also.unit != span.unit:
        raise NotReadError("too many amounts in brackets", "Write one amount a cell.")
    return Span(also.value, span.value, None, False, False, also.unit)


def _brackets(text: str, tokens: list[Token]) -> tuple[list[Token], list[str]]:
    """Tokens outside brackets, and the texts inside. Raises NotReadError for nested, empty or open ones."""
    main: list[Token] = []
    notes: list[str] = []
    opened: int | None = None
    for token in tokens:
        if token.kind == "open":
            if opened is not None or not main:
                raise NotReadError("the brackets don't fit", "Close each bracket, behind the amount.")
            opened = token.end
        elif token.kind == "close":
            note = text[opened : token.start].strip() if opened is not None else ""
            if not note:
                raise NotReadError("the brackets don't fit", "Close each bracket, and put something in it.")
            notes.append(note)
            opened = None
        elif opened is None:
            main.append(token)
    if opened is not None:
        raise NotReadError("the brackets don't fit", "Close each bracket.")
    return main, notes


def _for(tokens: list[Token]) -> tuple[list[Token], Span | None]:
    """Tokens before `for`, and the duration behind it."""
    at = next((at for at, token in enumerate(tokens) if token.kind == "for"), None)
    if at is None:
        return tokens, None
    _, spans = read_amounts(tokens[at + 1 :], None, strict=True) if tokens[at + 1 :] else ("single", ())
    if len(spans) != 1 or not is_time(spans[0].unit):
        raise NotReadError("`for` isn't followed by one duration", "Write `870 °C for 20 s`.")
    return tokens[:at], spans[0]


def _amount_of(note: str, comma_decimal: bool) -> Span | None:
    """The one amount in a bracket, with its unit; None for any other words."""
    if not has_digit(note):
        return None
    try:
        _, spans = read_amounts(scan(note, comma_decimal), None, strict=True)
    except NotReadError as why:
        if why.rule == "minimum-above-maximum":
            raise
        return None
    return spans[0] if len(spans) == 1 and spans[0].unit is not None else None


_BETWEEN = frozenset(("slash", "comma", "semi", "then", "and", "to"))


def _duty(tokens: list[Token]) -> tuple[Span, ...] | None:
    """The times of a duty cycle (`40 s on / 60 s off`); None when the cell is none."""
    if not any(token.kind == "on" for token in tokens) or not any(token.kind == "off" for token in tokens):
        return None
    spans: list[Span] = []
    states: list[str] = []
    part: list[Token] = []
    for token in [*tokens, None]:
        if token is not None and token.kind in ("num", "unit", "min", "over", "under", "about"):
            part.append(token)
            continue
        if part and (token is None or token.kind not in ("on", "off")):
            if len(part) == 1 and token is not None and token.kind == "times":
                part = []
                continue
            raise NotReadError(
                "a duty cycle needs `on` or `off` behind each time", "Write `40 s on / 60 s off`."
            )
        if token is None or token.kind in _BETWEEN or token.kind == "times":
            continue
        if token.kind not in ("on", "off") or not part:
            raise NotReadError(
                "a duty cycle needs a time before each `on` and `off`", "Write `40 s on / 60 s off`."
            )
        _, read = read_amounts(part, None, strict=True)
        if len(read) != 1 or not is_time(read[0].unit):
            raise NotReadError("a duty cycle needs times", "Write `40 s on / 60 s off`.")
        spans.append(replace(read[0]))
        states.append(token.kind)
        part = []
    if len(spans) < 2 or any(state == after for state, after in pairwise(states)):
        raise NotReadError("a duty cycle goes on and off in turn", "Write `40 s on / 60 s off`.")
    return tuple(spans)
