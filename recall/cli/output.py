"""How results are written: JSON Lines, or plain text that wraps to the terminal and never carries an escape."""

import json
import shutil
import sys
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from recall.base.text import one_line, shown

NO_CARDS = "There are no cards yet: `recall review PATH` loads notes and asks."


def say(text: str = "") -> None:
    """Write one line or more to standard output, hidden characters escaped."""
    try:
        sys.stdout.write(shown(text) + "\n")
    except UnicodeEncodeError:
        encoding = sys.stdout.encoding or "ascii"
        sys.stdout.write(shown(text).encode(encoding, "replace").decode(encoding) + "\n")


def json_line(row: Mapping[str, Any]) -> None:
    """Write one JSON object on a line of its own."""
    sys.stdout.write(json.dumps(row, ensure_ascii=True, default=str) + "\n")


def width() -> int:
    """Columns to write in, at most 100: the terminal's but its last, behind which some begin a line; 80 where
    there is none."""
    return min(shutil.get_terminal_size((80, 24)).columns - sys.stdout.isatty(), 100)


def wrapped(text: str, indent: str = "", first: str | None = None) -> str:
    """Text wrapped to the width. indent: before each line; first: before the first one."""
    lines: list[str] = []
    for part in text.splitlines() or [""]:
        lines += textwrap.wrap(
            part,
            width=max(width(), 30),
            initial_indent=(first if first is not None and not lines else indent),
            subsequent_indent=indent,
            break_long_words=True,
            break_on_hyphens=False,
        ) or [indent.rstrip()]
    return "\n".join(lines)


LEAST_HEAD = 12
"""Of a long first heading at least so many letters are shown."""


def columns(
    rows: Iterable[Sequence[str]], heads: Sequence[str], right: Sequence[int] = (), path: int | None = None
) -> list[str]:
    """Rows as aligned text under their heads. right: columns set flush right; path: a column of headings (`A / B`),
    of which those in the middle give way. The widest text column gives way."""
    table = [list(heads), *[[_on_one_line(cell) for cell in row] for row in rows]]
    wide = [max(len(row[at]) for row in table) for at in range(len(heads))]
    spare = sum(wide) + 2 * (len(wide) - 1) - width()
    if spare > 0:
        most = max((at for at in range(len(wide)) if at not in right), key=lambda at: wide[at], default=0)
        wide[most] = max(12, wide[most] - spare)
    lines = []
    for row in table:
        cells = [
            cut.rjust(wide[at]) if at in right else cut.ljust(wide[at])
            for at, cut in enumerate(
                _cut_path(cell, wide[at]) if at == path else _cut(cell, wide[at])
                for at, cell in enumerate(row)
            )
        ]
        lines.append("  ".join(cells).rstrip())
    return lines


def _on_one_line(cell: str) -> str:
    """With the indent that it has."""
    return " " * (len(cell) - len(cell.lstrip(" "))) + shown(one_line(cell))


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _cut_path(text: str, most: int) -> str:
    """The first and the last heading with as many before the last as there is room for; else both shortened."""
    first, *rest = text.split(" / ")
    shorter = (text, *(" / ".join((first, "…", *rest[at:])) for at in range(1, len(rest))))
    fits = next((one for one in shorter if len(one) <= most), None)
    if fits is not None or not rest:
        return fits or _cut(text, most)
    joint = " / … / " if len(rest) > 1 else " / "
    last = _cut(rest[-1], max(most - len(joint) - min(len(first), LEAST_HEAD), LEAST_HEAD))
    return _cut(f"{_cut(first, max(most - len(joint) - len(last), LEAST_HEAD))}{joint}{last}", most)
