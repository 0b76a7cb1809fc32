"""Running commands in this process, as a person would type them."""

import io
import json
import sys
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from recall.cli.app import run

TOP = Path(__file__).parent.parent
DECKS = TOP / "decks"

NOTE = """\
# Fuel

Source: Handbook 28-1

| Parameter | Minimum | Maximum | Unit |
|---|---|---|---|
| **Feeder quantity** | 150 | 700 | lb |
| Fuel temperature | -30 | 50 | °C |

| Abbreviation | Meaning |
|---|---|
| TRU | transformer rectifier unit |
| EDP | engine-driven pump |
"""
"""A small deck: 4 points, of which one is critical."""


@dataclass(frozen=True)
class Ran:
    """What a command did."""

    code: int
    out: str
    err: str

    def rows(self) -> list[dict[str, Any]]:
        """Its JSON Lines."""
        return [json.loads(line) for line in self.out.splitlines()]


def recall(*words: str | Path, store: Path | None = None, answers: Sequence[str] = ()) -> Ran:
    """Run one command; `answers` are the lines of its standard input."""
    out, err = io.StringIO(), io.StringIO()
    before = sys.stdin
    sys.stdin = io.StringIO("".join(f"{line}\n" for line in answers))
    arguments = [*(["--store", str(store)] if store else []), *map(str, words)]
    try:
        with redirect_stdout(out), redirect_stderr(err):
            code = run(arguments)
    finally:
        sys.stdin = before
    return Ran(code, out.getvalue(), err.getvalue())


def refused(ran: Ran) -> bool:
    """Whether a request was refused as it should be: exit 2, nothing on standard output, two lines on the other."""
    lines = ran.err.splitlines()
    told = len(lines) == 2 and lines[0].startswith("recall: ") and lines[1].startswith("help: ")
    return (ran.code, ran.out, told) == (2, "", True)
