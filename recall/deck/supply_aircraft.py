"""For which aircraft a supply graph holds: the texts of `Applies to`, cut into pieces that are alike within."""

from collections.abc import Iterable
from itertools import pairwise
from typing import TypeVar

from recall.base.dataclass import dataclass
from recall.kinds.effectivity import overlap, parts_of

_MOST = 60
_NO_END = 10**12
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Aircraft:
    """Some aircraft, alike in their supplies. text: as `Applies to` would say it; other: all that no text names."""

    text: str
    other: bool = False

    def applies(self, applies: str) -> bool:
        """Whether something with this `Applies to` holds for them."""
        return overlap(applies, self.text) if not self.other else not parts_of(applies)


def aircraft_of(texts: Iterable[str]) -> tuple[Aircraft, ...]:
    """The pieces, in the order of serials, named variants after them; one piece where all texts are the same.

    None where nothing can be told: serials beside named variants, or too many pieces.
    """
    distinct = tuple(dict.fromkeys(texts))
    if len(distinct) < 2:
        return tuple(Aircraft(text) for text in distinct)
    parts = [part for text in distinct for part in parts_of(text)]
    names = dict.fromkeys(name for name, first, _ in parts if first < 0)
    series: dict[str, list[tuple[int, int]]] = {}
    for name, first, last in parts:
        if first >= 0:
            series.setdefault(name, []).append((first, last))
    if (names and series) or len(parts) > _MOST:
        return ()
    pieces = [Aircraft(name) for name in names]
    for name, spans in sorted(series.items()):
        cuts = sorted({cut for first, last in spans for cut in (first, last + 1)})
        for low, high in pairwise(cuts):
            if any(first <= low and high - 1 <= last for first, last in spans):
                pieces.append(Aircraft(_span(name, low, high - 1)))
    if any(not parts_of(text) for text in distinct):
        pieces.append(Aircraft("", other=True))
    return tuple(pieces)


def _span(name: str, low: int, high: int) -> str:
    lead = f"{name} " if name else ""
    if high >= _NO_END:
        return f"{lead}{low} and on"
    return f"{lead}{low}" if low == high else f"{lead}{low}–{high}"


def alike(found: Iterable[tuple[Aircraft, Value]]) -> list[tuple[tuple[Aircraft, ...], Value]]:
    """Pieces of aircraft with equal values, put together; values need only compare."""
    groups: list[tuple[tuple[Aircraft, ...], Value]] = []
    for aircraft, value in found:
        for at, (known, other) in enumerate(groups):
            if other == value:
                groups[at] = ((*known, aircraft), other)
                break
        else:
            groups.append(((aircraft,), value))
    return groups
