"""A cell read: an amount, words on purpose, nothing, or not readable. Nothing is guessed."""

from functools import lru_cache

from recall.base.text import shown as safe
from recall.quantity import aside
from recall.quantity.amount import Column, is_time, read_amounts
from recall.quantity.duty import read_duty
from recall.quantity.model import SLIP, Blank, NotReadError, Reading, Unreadable, Words, excerpt
from recall.quantity.parse import not_one
from recall.quantity.scan import scan
from recall.quantity.unit import Unit
from recall.quantity.words import has_digit, is_name, placeholder, words_or_not

MOST_SIGNS = 300  # a longer cell with a digit in it is a sentence, not an amount

_Cell = Reading | Words | Blank | Unreadable


def read_cell(
    text: str, *, header_unit: Unit | None = None, comma_decimal: bool = False, duration: bool = False
) -> _Cell:
    """What a limit's cell says. Never raises.

    header_unit: the unit of the column or row, used where the cell has none. comma_decimal: the file uses decimal
    commas (see `comma_decimals`). duration: the column says for how long: a `min` behind a number is minutes,
    whatever the header's unit is.
    """
    folded = " ".join(text.split())
    if len(folded) > MOST_SIGNS:
        return _wordless(folded) or Unreadable(
            folded,
            "unread-amount",
            safe(f"{excerpt(folded)} is too long for one amount"),
            "split it into rows",
        )
    unit = None if duration and not is_time(header_unit) else header_unit
    return _read(folded, unit, comma_decimal, duration)


@lru_cache(maxsize=16384)
def _read(text: str, unit: Unit | None, comma_decimal: bool, minutes: bool) -> _Cell:
    return _wordless(text) or _amount(text, Column(unit, True, minutes, comma_decimal))


def _wordless(text: str) -> Words | Blank | Unreadable | None:
    """What a cell without an amount is; None where an amount may stand."""
    if placeholder(text):
        return Blank(text)
    return None if has_digit(text) else words_or_not(text)


def _amount(text: str, column: Column) -> Reading | Words | Unreadable:
    try:
        return _reading(text, column)
    except NotReadError as why:
        if is_name(text):
            return Words(text)
        return Unreadable(text, why.rule, safe(f"{excerpt(text)}: {why.reason}"), why.help)


@lru_cache(maxsize=1024)
def read_typed(text: str, hint: Unit | None) -> Reading | None:
    """What a person typed; hint: the unit of the right answer. The unit stays None where none was typed."""
    folded = " ".join(text.split())
    if not folded or len(folded) > MOST_SIGNS:
        return None
    read = _amount(folded, Column(hint, fills=False, minutes=is_time(hint)))
    return read if isinstance(read, Reading) else None


def _reading(text: str, column: Column) -> Reading:
    main, notes = aside.without_brackets(text)
    if main.endswith(".") and main[-2:-1].isdigit():
        main = main[:-1]
    tokens = scan(main, column.comma_decimal)
    asides = aside.Asides()
    duty = read_duty(tokens, column)
    if duty is not None:
        for note in notes:
            duty = aside.take_note(note, duty, column, asides)
        return Reading(duty, "duty", asides.duration, "; ".join(asides.conditions), None, text)
    tokens = aside.take_for(aside.take_conditions(main, tokens, asides), asides)
    if notes:
        tokens = [token for token in tokens if token.kind != "close"]
        for note in list(notes):
            said = aside.comparing(note)
            if said:
                tokens += said
                notes.remove(note)
    strange = next((token for token in tokens if token.kind in ("word", "other")), None)
    if strange is not None:
        word = main[strange.start : strange.end]
        if strange.kind == "other" and has_digit(word):
            raise NotReadError(f"`{word}` is no plain digit", "write the number in plain digits", SLIP)
        raise not_one(word)
    shape, spans = read_amounts(tokens, column)
    for note in notes:
        spans = aside.take_reference(note, spans) or aside.take_note(note, spans, column, asides)
    if shape == "values" and asides.also is None:
        shape, spans, asides.also = aside.one_of_two(spans)
    aside.check_also(spans, asides.also)
    aside.check_behind(tokens, notes, asides)
    if asides.others and (len(spans) != 1 or shape != "single"):
        raise NotReadError("brackets with another amount behind several", "write a row for each amount")
    conditions, remark = "; ".join(asides.conditions), "; ".join(asides.remarks)
    return Reading(spans, shape, asides.duration, conditions, asides.also, text, tuple(asides.others), remark)
