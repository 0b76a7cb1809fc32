"""Amounts as a person reads them, and the normal form in which two are compared."""

from recall.base import regex as re
from recall.quantity.aside import without_brackets
from recall.quantity.cell import read_cell
from recall.quantity.model import Reading, Span, Words
from recall.quantity.number import Number, exact_number
from recall.quantity.scan import scan
from recall.quantity.unit import COUNT, Unit, in_si

_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—―−", "-"))
_GROUPS = re.compile(r"(?<=[0-9])[, ](?=[0-9]{3}(?![0-9]))")
_COMPARED = ("at least ", "at most ", "more than ", "less than ")
_SPELT = frozenset(("day", "week", "month", "year"))
"""Units whose name is a word."""
_TIGHT = frozenset(("°", "°/s"))


def shown(amount: Reading | Span) -> str:
    """The amount in words and numbers as written: `10 to 110 °C`, `at most 50 psi`, `24 ± 2 V`, `870 °C for 20 s`."""
    if isinstance(amount, Span):
        return _span(amount)
    if amount.shape == "duty":
        return amount.text
    if amount.shape == "values":
        units = {span.unit for span in amount.spans}
        parts = [_span(span, bare=len(units) == 1 and not _before(span.unit)) for span in amount.spans]
        unit = amount.spans[-1].unit
        text = "/".join(parts)
        if len(units) == 1 and unit is not None and not unit.before:
            text += _behind(unit, text)
    else:
        text = " / ".join(_span(span) for span in amount.spans)
    if amount.duration is not None:
        text += f" for {_span(amount.duration)}"
    return text + (f" ({amount.condition})" if amount.condition else "")


def _before(unit: Unit | None) -> str:
    return unit.before if unit is not None else ""


def _behind(unit: Unit | None, amount: str) -> str:
    """The unit behind an amount as it is shown, in the number that English puts it in."""
    if unit is None or unit.before:
        return ""
    name = unit.name
    if amount.rpartition(" ")[2] == "1" and " to " not in amount:
        name = unit.reference if unit.dimension == COUNT else name
    elif name in _SPELT:
        name += "s"
    return name if name in _TIGHT else f" {name}"


def _one(number: Number, unit: Unit | None) -> str:
    before = _before(unit)
    return f"{before} {number.written}" if before else number.written


def _span(span: Span, *, bare: bool = False) -> str:
    unit, low, high, value = span.unit, span.low, span.high, span.value
    over = f"{'more than' if span.low_open else 'at least'} {_one(low, unit)}" if low is not None else ""
    under = f"{'less than' if span.high_open else 'at most'} {_one(high, unit)}" if high is not None else ""
    if value is not None:
        text = _one(value, unit)
        if high is not None and low is not None:
            size = exact_number(high.fraction - value.fraction)
            text += f" ± {size.written if size is not None else f'to {high.written}'}"
    elif low is not None and high is not None and not (span.low_open or span.high_open):
        text = f"{_one(low, unit)} to {_one(high, unit)}"
    else:
        text = ", ".join(filter(None, (over, under)))
    if span.approximate:
        at = next((len(word) for word in _COMPARED if text.startswith(word)), 0)
        text = f"{text[:at]}about {text[at:]}"
    return text if bare else text + _behind(unit, text)


def canonical(amount: Reading | Span | Words) -> str:
    """A normal form, equal for one amount in whatever unit, grouping, dash or wording, different for any real change.

    Units of one dimension agree only where the conversion is exact; 22.50 and 22.5 are one value.
    """
    if isinstance(amount, Words):
        return f"words {_words(amount.text)}"
    if isinstance(amount, Span):
        return _form(amount)
    if amount.shape == "duty":
        forms = _duty(amount)
    else:
        forms = [_form(span) for span in amount.spans]
        if amount.shape == "limits":
            forms.sort()
    text = f"{amount.shape} " + " / ".join(forms)
    if amount.duration is not None:
        text += f" for {_form(amount.duration)}"
    if amount.condition:
        said = read_cell(amount.condition)
        text += " if " + (canonical(said) if isinstance(said, Reading) else _words(amount.condition))
    return text


def _words(text: str) -> str:
    return _GROUPS.sub("", " ".join(text.translate(_DASHES).casefold().split())).rstrip(".!")


def _form(span: Span) -> str:
    unit = span.unit
    if unit is None:
        kind = ""
    elif unit.reference and unit.known:
        kind = f"{unit.dimension}, {unit.reference}"
    else:
        kind = unit.dimension if unit.known else f"{unit.dimension} {unit.reference}"
    parts = [f"[{kind}]"]
    if span.approximate:
        parts.append("about")
    if span.value is not None:
        parts.append(f"= {in_si(span.value.fraction, unit)}")
    if span.low is not None:
        parts.append(f"{'>' if span.low_open else '>='} {in_si(span.low.fraction, unit)}")
    if span.high is not None:
        parts.append(f"{'<' if span.high_open else '<='} {in_si(span.high.fraction, unit)}")
    return " ".join(parts)


_DUTY_WORDS = frozenset(("on", "off", "times", "word"))


def _duty(reading: Reading) -> list[str]:
    """The amounts of a duty cycle with the words between them (on, off, twice)."""
    forms: list[str] = []
    spans = iter(reading.spans)
    inside = False
    text, _ = without_brackets(reading.text)
    tokens = scan(text, False)
    for at, token in enumerate(tokens):
        said = text[token.start : token.end].casefold()
        if token.kind == "num" and not inside:
            if at + 1 < len(tokens) and tokens[at + 1].kind == "times":
                forms.append(said)
            else:
                inside = True
                forms.append(_form(next(spans)))
        elif token.kind in _DUTY_WORDS:
            inside = False
            forms.append(said)
    return forms
