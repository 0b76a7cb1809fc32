"""A note while it is being read: its source, and what is gathered on the way."""

from typing import Any
from urllib.parse import unquote

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding, Place, finding
from recall.notes.model import Reference

_MARKS = re.compile(r"(?:[\s>]|[-+*:~](?=\s)|\d{1,9}[.)](?=\s))*")
_ELSEWHERE = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:|//|#|$")

_SEARCHED = 10_000
"""Characters of a line that is searched for a link's column; in a longer one that would take too long."""


@dataclass(slots=True)
class Page:
    """What the reading of one note shares. lines: the source; env: the parser's link references;
    hidden: whether hidden characters stand anywhere in it."""

    file: str
    lines: list[str]
    hidden: bool = False
    env: dict[str, Any] = field(default_factory=dict)
    references: list[Reference] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def find(self, text: str, line: int, start: int = 0) -> Place:
        """The place of a block's text whose first line stands in source line `line` (from 0), from `start` on."""
        source = self.lines[line] if line < len(self.lines) else ""
        first = text.partition("\n")[0]
        column = source.find(first, start)
        if column < 0:
            column = max(start, len(source) - len(source.lstrip()))
        return Place(self.file, line + 1, column + 1)

    def marks(self, line: int) -> int:
        """How many characters of source line `line` (from 0) are marks of quotations and lists, and blanks."""
        found = _MARKS.match(self.lines[line])
        return found.end() if found else 0

    def refer(self, target: str, line: int, words: str | None = None) -> None:
        """Keep a link or picture that points to a file beside the note. line: from 1; words: a picture's own."""
        if _ELSEWHERE.match(target):
            return
        source = self.lines[line - 1] if line <= len(self.lines) else ""
        at = 0
        if len(source) <= _SEARCHED:
            at = max(source.find(target), source.find(unquote(target)), 0)
        path = re.split("[?#]", target, maxsplit=1)[0]
        if path:
            self.references.append(Reference(unquote(path), Place(self.file, line, at + 1), words))

    def say(self, rule: str, line: int, message: str, help: str = "", column: int = 1) -> None:
        """Add a finding. line and column: from 1."""
        self.findings.append(finding(rule, Place(self.file, line, column), message, help))
