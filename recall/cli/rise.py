"""A small picture of recall on its way to a date: lines of block characters, or of plain ones."""

import sys
from collections.abc import Callable, Sequence
from math import ceil, floor

from recall.base.dataclass import dataclass
from recall.base.text import percent

ROWS = 9
LABEL = 20
"""Columns for the names at the right."""
AXIS = 7


@dataclass(frozen=True, slots=True)
class Strokes:
    """Characters to draw with, the most important line first."""

    lines: tuple[str, str, str]
    side: str
    corner: str
    floor: str

    @classmethod
    def for_output(cls) -> "Strokes":
        """Blocks where the output can show them."""
        return (
            BLOCKS if can_show("".join((*BLOCKS.lines, BLOCKS.side, BLOCKS.corner, BLOCKS.floor))) else PLAIN
        )


BLOCKS = Strokes(("█", "▒", "░"), "│", "└", "─")
PLAIN = Strokes(("#", "o", "."), "|", "+", "-")


def can_show(text: str) -> bool:
    """Whether standard output's encoding has these characters."""
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def picture(
    lines: Sequence[tuple[str, Sequence[float]]], ends: tuple[str, str], width: int, strokes: Strokes
) -> list[str]:
    """Lines over time as rows of text. lines: up to three, the most important first, each a name with values 0 to 1
    at equal steps; ends: what stands below the first and the last."""
    across = max(20, min(width - AXIS - LABEL, 64))
    values = [value for _, own in lines for value in own]
    low, high = floor(min(values) * 10) / 10, min(1.0, ceil(max(values) * 10 + 1e-9) / 10)
    low = min(low, high - 0.1)

    def row(value: float) -> int:
        return round((high - value) / (high - low) * (ROWS - 1))

    grid = [[" "] * across for _ in range(ROWS)]
    for (_, own), stroke in reversed(list(zip(lines, strokes.lines, strict=False))):
        rows = [row(_at(own, column / (across - 1))) for column in range(across)]
        for column, here in enumerate(rows):
            before = rows[max(column - 1, 0)]
            step = 1 if here >= before else -1
            for filled in range(before + step if here != before else here, here + step, step):
                grid[filled][column] = stroke
    names = _names(lines, strokes, row)
    text = []
    for at, cells in enumerate(grid):
        share = high - (high - low) * at / (ROWS - 1)
        scale = f"{percent(share):>5}" if at % 4 == 0 else ""
        text.append(f"{scale:>{AXIS - 2}} {strokes.side}{''.join(cells)} {names.get(at, '')}".rstrip())
    text.append(" " * (AXIS - 1) + strokes.corner + strokes.floor * across)
    left, right = ends
    text.append(" " * AXIS + left + right.rjust(across - len(left)))
    return text


def _at(values: Sequence[float], share: float) -> float:
    """The value at a share of the way, between two steps in proportion."""
    place = share * (len(values) - 1)
    low = min(floor(place), len(values) - 1)
    high = min(low + 1, len(values) - 1)
    return values[low] + (values[high] - values[low]) * (place - low)


def _names(
    lines: Sequence[tuple[str, Sequence[float]]], strokes: Strokes, row: Callable[[float], int]
) -> dict[int, str]:
    """A name beside the end of each line, moved to a free row where two end together."""
    names: dict[int, str] = {}
    for (name, own), stroke in zip(lines, strokes.lines, strict=False):
        wish = row(own[-1])
        free = min((at for at in range(ROWS) if at not in names), key=lambda at: (abs(at - wish), at < wish))
        names[free] = f"{stroke} {name} {percent(own[-1])}"
    return names
