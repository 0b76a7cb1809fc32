"""Duty cycles: times on and off in turn, recited whole (`40 s on / 60 s off`)."""

from itertools import pairwise

from recall.quantity.amount import ON_AND_OFF, Column, is_time, read_amounts
from recall.quantity.model import NotReadError, Span
from recall.quantity.scan import Token

_BETWEEN = frozenset(("slash", "comma", "semi", "then", "and", "to", "times", "close"))
_TIME = frozenset(("num", "unit", "min", "over", "under", "about"))


def read_duty(tokens: list[Token], column: Column) -> tuple[Span, ...] | None:
    """The times of a duty cycle; None when the cell is none, NotReadError when it is one that isn't clear."""
    kinds = {token.kind for token in tokens}
    if "on" not in kinds or "off" not in kinds:
        return None
    around = column if is_time(column.unit) else Column(comma_decimal=column.comma_decimal)
    spans: list[Span] = []
    states: list[str] = []
    part: list[Token] = []
    for token in tokens:
        if token.kind in _TIME:
            part.append(token)
        elif token.kind in ("on", "off"):
            read = read_amounts(part, around)[1]
            if len(read) != 1 or not is_time(read[0].unit):
                raise NotReadError("a duty cycle needs a time before each `on` and `off`", ON_AND_OFF)
            spans.append(read[0])
            states.append(token.kind)
            part = []
        elif token.kind == "times" and len(part) <= 1:  # `3 times`
            part = []
        elif part or token.kind not in _BETWEEN:
            raise NotReadError("a duty cycle needs `on` or `off` behind each time", ON_AND_OFF)
    if part or any(state == after for state, after in pairwise(states)):
        raise NotReadError("a duty cycle goes on and off in turn", ON_AND_OFF)
    return tuple(spans)
