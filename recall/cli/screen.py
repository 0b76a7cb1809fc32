"""What a sitting looks like: questions, what is told of answers, the end. The same words on a terminal and in a pipe.

Colour follows the alerting convention (14 CFR 25.1322): red only for a wrong answer on a critical point, amber for
other wrong answers and for cautions; never colour alone.
"""

import os
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, TextIO

from recall.base.dataclass import dataclass
from recall.base.text import CAUTION, count, one_line, shown
from recall.cli.output import width, wrapped
from recall.session.view import Line, Role, View

if TYPE_CHECKING:
    from rich.console import Console

WARNING, CAUTIONARY, QUIET, STRONG = "bold red", "color(130)", "dim", "bold"
STYLES: dict[Role, tuple[str, int]] = {
    "right": (STRONG, 0),
    "wrong": (CAUTIONARY, 0),
    "warning": (WARNING, 0),
    "answer": (STRONG, 2),
    "left out": (CAUTIONARY, 2),
    "typed": ("", 2),
    "caution": (CAUTIONARY, 2),
    "about": ("", 2),
    "place": (QUIET, 2),
    "line": ("", 2),
    "mark": (QUIET, 0),
    "note": (QUIET, 0),
    "head": (STRONG, 0),
}
"""Each role's style and indent."""
MOST_TYPED = 2


@dataclass(slots=True)
class Screen:
    """Writes a sitting. out: where to; wide: columns; console: what gives style there, None in a pipe."""

    out: TextIO
    wide: int
    console: "Console | None" = None
    usual: frozenset[str] = frozenset()
    """What whole decks apply to: not said at each question."""

    @classmethod
    def on(cls, usual: frozenset[str] = frozenset(), *, errors: bool = False) -> "Screen":
        """A screen on standard output, as wide as is pleasant to read. errors: on standard error."""
        out, wide = sys.stderr if errors else sys.stdout, width()
        if not (out.isatty() or os.environ.get("FORCE_COLOR")):
            return cls(out, wide, usual=usual)
        from rich.console import Console

        return cls(
            out, wide, Console(stderr=errors, width=wide, highlight=False, markup=False, emoji=False), usual
        )

    def line(self, text: str = "", style: str = "", indent: int = 0) -> None:
        """One paragraph, wrapped, hidden characters escaped."""
        for row in wrapped(shown(text), max(20, self.wide), " " * indent):
            if self.console is None:
                self.out.write(f"{row}\n")
                continue
            from rich.text import Text

            self.console.print(Text(row, style=style), soft_wrap=True)

    def apart(self, left: str, right: str, style: str = QUIET) -> None:
        """Two texts at the two ends of a line; the left one gives way at its front."""
        left, right = shown(one_line(left)), shown(one_line(right))
        room = self.wide - len(right) - 2
        if len(left) > room:
            parts = left.split(" / ")
            while len(parts) > 1 and len("… / " + " / ".join(parts)) > room:
                parts = parts[1:]
            left = "… / " + " / ".join(parts)
            left = left if len(left) <= room else left[: max(room - 1, 0)] + "…"
        self.line(left.ljust(room) + "  " + right, style)

    def caution(self) -> None:
        """Said once, at first use."""
        self.line(
            "recall is a study aid. It never replaces the approved flight manual, the operator's procedures or an "
            "instructor: they decide."
        )
        self.line(CAUTION, STRONG)
        self.line()

    def tell(self, lines: Iterable[Line]) -> None:
        """Sentences, each in the style of its role."""
        for said in lines:
            style, indent = STYLES[said.role]
            first, *more = said.text.split("\n")
            if said.role == "typed" and len(more) > MOST_TYPED:  # it stands above, where it was typed
                more[MOST_TYPED:] = [f"and {count(len(more) - MOST_TYPED, 'line')} more"]
            self.line("\n".join([first, *more]), style, indent)

    def question(self, view: View) -> None:
        """The topic, how far it is, and the question."""
        put, standing = view.question, view.standing
        if put is None:
            return
        self.line()
        self.apart(" / ".join(put.topic), standing.here)
        if standing.so_far:
            self.line(standing.so_far, QUIET)
        self.line()
        if put.critical:
            self.line("Critical: to be known without fail.", STRONG)
        self.line(put.prompt, STRONG)
        if put.applies and put.applies not in self.usual:
            self.line(f"(applies to {put.applies})", QUIET)
