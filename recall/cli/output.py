"""How results are written: JSON Lines, or plain text that wraps to the terminal and never carries an escape."""

import shutil
import sys
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from itertools import zip_longest
from typing import Any

from recall.base import regex as re
from recall.base.text import one_line, shown

NO_CARDS = "There are no cards yet: `recall review PATH` loads notes and asks."
LEAST = 12
"""Columns that a text keeps in a table, however narrow the terminal is."""
_AMOUNT = re.compile(r"(?<=\d) (?=%|°|[^\W\d_]{1,4}\b)")
_QUOTED = re.compile(r"`[^`]*`")
_STAYS = "\u00a0"
"""A blank at which no line is broken."""


def put(line: str = "") -> None:
    """Write a line to standard output as it is, hidden characters escaped."""
    try:
        sys.stdout.write(shown(line) + "\n")
    except UnicodeEncodeError:
        encoding = sys.stdout.encoding or "ascii"
        sys.stdout.write(shown(line).encode(encoding, "replace").decode(encoding) + "\n")


def say(text: str = "", indent: str = "", first: str | None = None) -> None:
    """Write sentences to standard output, wrapped to its width. indent: before each line; first: before the first."""
    put("\n".join(wrapped(text, max(width(), 30), indent, first)))


def table(rows: Iterable[Sequence[str]], heads: Sequence[str], right: Sequence[int] = ()) -> None:
    """Write rows to standard output as `columns` has them; nothing without any."""
    if told := list(rows):
        for line in columns(told, heads, right):
            put(line)


def json_line(row: Mapping[str, Any]) -> None:
    """Write one JSON object on a line of its own."""
    import json

    sys.stdout.write(json.dumps(row, ensure_ascii=True, default=str) + "\n")


def width() -> int:
    """Columns to write in, at most 100: the terminal's but its last, behind which some begin a line; 80 where
    there is none."""
    return min(shutil.get_terminal_size((80, 24)).columns - sys.stdout.isatty(), 100)


def wrapped(text: str, wide: int, indent: str = "", first: str | None = None) -> list[str]:
    """Text as lines of at most so many columns, but for a longer word: an amount stays with its unit, and a command
    whole. indent, first: as for `say`."""
    lines: list[str] = []
    for part in text.splitlines() or [""]:
        part = _QUOTED.sub(lambda found: found[0].replace(" ", _STAYS), _AMOUNT.sub(_STAYS, part))
        lines += textwrap.wrap(
            part,
            width=max(wide, 1),
            initial_indent=(first if first is not None and not lines else indent),
            subsequent_indent=indent,
            break_on_hyphens=False,
            break_long_words=False,
        ) or [indent.rstrip()]
    return [line.replace(_STAYS, " ") for line in lines]


def columns(rows: Iterable[Sequence[str]], heads: Sequence[str], right: Sequence[int] = ()) -> list[str]:
    """Rows as aligned text under their heads. right: columns set flush right. Where there is no room, the widest
    texts are wrapped."""
    table = [list(heads), *rows]
    wide = [max(len(shown(row[at])) for row in table) for at in range(len(heads))]
    texts = [at for at in range(len(heads)) if at not in right]
    while sum(wide) + 2 * (len(wide) - 1) > width():
        most = max(texts, key=lambda at: wide[at], default=0)
        if wide[most] <= LEAST:
            break
        wide[most] -= 1
    lines = []
    for row in table:
        cells = [_cell(text, wide[at]) for at, text in enumerate(row)]
        for parts in zip_longest(*cells, fillvalue=""):
            told = [
                part.rjust(wide[at]) if at in right else part.ljust(wide[at]) for at, part in enumerate(parts)
            ]
            lines.append("  ".join(told).rstrip())
    return lines


def _cell(text: str, wide: int) -> list[str]:
    """Its lines, each with the indent that it has."""
    own = text[: len(text) - len(text.lstrip(" "))]
    lines = wrapped(shown(one_line(text)), wide, own)
    step = max(wide, 1)
    return [line[at : at + step] for line in lines for at in range(0, max(len(line), 1), step)]
