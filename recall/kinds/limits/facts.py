"""What one cell of a table of limits says: a value, a minimum, a maximum, or several of them."""

from collections.abc import Mapping
from functools import lru_cache

from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.finding import Place
from recall.kinds.limits.columns import Amount
from recall.kinds.limits.labels import is_time
from recall.kinds.limits.words import is_condition
from recall.kinds.tables.rows import MARK
from recall.quantity import Reading, Span, Unit, Unreadable, Words, read_cell, shown


@dataclass(slots=True)
class Fact:
    """One thing that one cell says. amount: None where the cell isn't read; apart: the dimension where the cell
    limits two quantities (`280 kt / M 0.67`); time: for how long; shown: what the cell says besides."""

    role: str
    amount: Reading | Words | None
    column: Amount
    place: Place
    condition: str = ""
    time: Reading | None = None
    apart: str = ""
    shown: tuple[str, ...] = ()

    @property
    def held(self) -> str:
        """For how long, in words."""
        return self.time.text if self.time else ""

    @property
    def units(self) -> tuple[Unit | None, ...]:
        """Those of its numbers, none for a duty cycle, which is asked for none."""
        read = self.amount if isinstance(self.amount, Reading) and self.amount.shape != "duty" else None
        return tuple(span.unit for span in read.spans) if read else ()

    @property
    def key(self) -> tuple[str, ...]:
        """Facts of one key are of one point."""
        return (self.column.subject, self.column.apart or self.apart, self.condition, self.held)


_LONGEST_NOTE = 60
_FOR = re.any_case(r"^for\s+(?=\d)")


def with_notes(plain: str, footnotes: Mapping[str, str]) -> str:
    """A cell with its footnotes put in their place, in brackets, where they are times or conditions; one that only
    remarks is left out; one that may change the amount keeps its mark, so that the cell isn't read."""

    def note(found: re.Match[str]) -> str:
        words = _FOR.sub("", footnotes.get(found[1] or found[2], ""))
        if not words or len(words) > _LONGEST_NOTE or set(words) & set("()[]"):
            return found[0] if words or found[1] else ""
        if is_time(read_cell(words)) or is_condition(words):
            return f" ({words})"
        return found[0] if re.search(r"\d", words) else ""

    return MARK.sub(note, plain) if plain[-1:] in "]*†‡§" or "[^" in plain else plain


_LETTER = re.compile(r"\d\s?(C|F|KV|K|G)(?![\w/²³])")
_OTHERS: dict[str, tuple[re.Pattern[str], bool, str]] = {
    "C": (re.any_case(r"^(?!.*(?:temp|ambient|\boat\b)).*(?:\b(?:dis)?charg|\bc[ -]?rate|\bburst\b)"),
          True, "a multiple of the capacity"),
    "F": (re.any_case(r"capacit"), True, "farads"),
    "K": (re.any_case(r"temp|superheat|sub-?cool|differen|delta|Δ|spread|lapse|rise|colou?r"), False,
          "thousands"),
    "KV": (re.any_case(r"\bmotors?\b|\bkv\b"), True, "turns a minute per volt"),
    "G": (re.any_case(r"\b(?:memory|ram|disk|heap|storage|swap|file|size|cache|data)\b"), True,
          "gigabytes"),
}  # fmt: skip
"""Letters that two trades use for two units: the words beside which they mean the other one (or, for kelvins, the
words beside which they don't), and what that is."""
_KELVINS = re.compile(r"\.\d+ K")


def doubtful(cell: Reading, name: str) -> Unreadable | None:
    """A cell whose one letter may not be the unit it was read as: `25C` of a battery, `10K` of requests; a fraction
    is of kelvins."""
    found = _LETTER.search(cell.text)
    words, beside, other = _OTHERS[found[1]] if found else (_LETTER, False, "")
    if found is None or _KELVINS.search(cell.text) or bool(words.search(name)) is not beside:
        return None
    said, help = (
        f"could be a unit or {other}",
        "write the unit out (`°C`, `K` beside a temperature), or the number in full",
    )
    return not_read(cell, said, help)


def not_read(cell: Reading, said: str, help: str) -> Unreadable:
    """An amount that is told instead of asked: why, and what to write."""
    return Unreadable(cell.text, "unread-amount", f"`{cell.text}` {said}", help)


def alone(span: Span, text: str = "", also: Span | None = None) -> Reading:
    """A reading of one span."""
    return Reading((span,), "single", None, "", also, text or shown(span))


def facts_of(cell: Reading | Words, column: Amount, place: Place) -> list[Fact] | Unreadable:
    """The facts of a cell. Under Minimum and Maximum stands one number; elsewhere a range or a comparison makes
    a minimum, a maximum or both. Unreadable where the cell contradicts its column."""
    duration = column.time if isinstance(cell, Words) else cell.duration or column.time
    if duration and duration.low_open and isinstance(cell, Reading):
        help = "write for how long it is allowed (`950 °C for 5 s`), and the limit for all the time in its own row"
        return not_read(cell, "is said of more than a time, and not for how long it holds", help)
    time = alone(duration) if duration else None
    condition = column.condition
    if isinstance(cell, Words):
        return [Fact(column.role, cell, column, place, condition, time)]
    parts = _parts(cell, column.role)
    if parts is None:
        help = f"write the one number under {column.role.capitalize()}, a range under Normal or Range"
        return not_read(cell, f"isn't one {column.role}", help)
    others = [f"other than {other.condition}" for other in cell.others if other.condition]
    condition = "; ".join(part for part in (condition, cell.condition, *others) if part)
    also = tuple(part for part in (shown(cell.also) if cell.also else "", cell.remark) if part)
    found = [Fact(role, part, column, place, condition, time, apart, also) for role, part, apart in parts]
    for other in cell.others:
        instead = _instead(other.span, found)
        if instead is None:
            help = "give each amount its own row, with its condition under When and its time under For"
            return not_read(cell, "has an amount in brackets that could stand for either end", help)
        lasts = alone(other.duration) if other.duration else time
        condition = "; ".join(part for part in (column.condition, cell.condition, other.condition) if part)
        role, span = instead
        found.append(Fact(role, alone(span), column, place, condition, lasts, "", (cell.text,)))
    return found


@lru_cache(maxsize=8192)
def _parts(cell: Reading, role: str) -> list[tuple[str, Reading, str]] | None:
    """What a cell gives under a role: the role of each end, the end, and the dimension that tells two limits in one
    cell apart; None where it contradicts its column. The same few amounts stand in many rows."""
    if cell.shape in ("values", "duty"):
        return [(role, replace(cell, duration=None, condition="", remark=""), "")]
    found: list[tuple[str, Reading, str]] = []
    for span in cell.spans:
        apart = span.unit.dimension if cell.shape == "limits" and span.unit else ""
        ends = _ends(span, role)
        if ends is None:
            return None
        found += [(end, alone(part, cell.text, cell.also), apart) for end, part in ends]
    return found


def _instead(span: Span, found: list[Fact]) -> tuple[str, Span] | None:
    """Which end another amount in brackets stands for, and that end; None where it could be either."""
    role = found[0].role
    if len(found) > 1:
        low, high = (fact.amount.spans[0] for fact in found[:2] if isinstance(fact.amount, Reading))
        if span.value is None or low.low is None or high.high is None:
            return None
        value, least, most = span.value.value, low.low.value, high.high.value
        near = (most - least) / 4
        if least + near <= value <= most - near:
            return None
        role = "maximum" if value > most - near else "minimum"
    ends = _ends(span, role)
    return ends[0] if ends and len(ends) == 1 else None


def _ends(span: Span, role: str) -> list[tuple[str, Span]] | None:
    """Role and span of each end; a minimum always has `low` alone, a maximum `high` alone."""
    sides = [side for side, end in (("minimum", span.low), ("maximum", span.high)) if end]
    if role in ("minimum", "maximum"):
        low, high = span.low, span.high
        either = role == "maximum" and low and high and low.value in (0, -high.value)  # `0 to 45`, `±25`
        return [(role, _end(span, role))] if either or sides in ([], [role]) else None
    ends = [(side, _end(span, side)) for side in sides]
    return ends if role == "value" and not span.value else [(role, span)]


def _end(span: Span, side: str) -> Span:
    """One end of a span, or its value as one."""
    about = span.approximate
    if side == "minimum":
        return Span(low=span.low or span.value, low_open=span.low_open, unit=span.unit, approximate=about)
    return Span(high=span.high or span.value, high_open=span.high_open, unit=span.unit, approximate=about)
