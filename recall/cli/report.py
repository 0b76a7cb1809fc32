"""Findings as text, JSON Lines, SARIF 2.1.0 (OASIS standard) and workflow annotations."""

import json
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path, PurePosixPath
from urllib.parse import quote

from recall import __version__
from recall.base.finding import RULES, Finding
from recall.base.text import count, shown
from recall.cli.output import json_line, say, width, wrapped

MOST_SHOWN = 400
"""Characters of a source line that are looked at for its caret."""


def text(findings: Sequence[Finding]) -> None:
    """A finding with its source line, a caret under the column, and the help under it; the count at the end."""
    lines = _Lines()
    for said in findings:
        place = said.place
        say(f"{place.file}:{place.line}:{place.column}: {said.severity}: {said.message} ({said.rule})")
        unread = said.rule == "unreadable-file" and Path(place.file).is_symlink()
        source = "" if unread else lines.of(place.file, place.line)  # a link that isn't followed isn't shown
        if source.strip():
            before, line = _window(source, place.column)
            say(f"    {line}")
            say(f"    {' ' * len(before)}^")
        say(wrapped(said.help, indent="    ", first="    help: "))
    number = Counter(said.severity for said in findings)
    if findings:
        say(", ".join(count(number[one], one) for one in ("error", "warning", "note") if number[one]))
    else:
        say("No findings.")


class _Lines:
    """Source lines, each file read once."""

    def __init__(self) -> None:
        self.files: dict[str, list[str]] = {}

    def of(self, file: str, line: int) -> str:
        if file not in self.files:
            try:
                with Path(file).open(encoding="utf-8-sig", errors="backslashreplace", newline="") as opened:
                    self.files[file] = opened.read(16 * 1024 * 1024).replace("\r\n", "\n").split("\n")
            except OSError:
                self.files[file] = []
        lines = self.files[file]
        return lines[line - 1] if 0 < line <= len(lines) else ""


def _window(source: str, column: int) -> tuple[str, str]:
    """What stands before the column as shown, and the line as shown, moved so that the column is in sight."""
    room = max(width() - 8, 30)
    at = min(column - 1, len(source))
    start = 0 if at < room - 10 else at - room // 2
    lead = "…" if start else ""
    before = lead + shown(source[start:at].replace("\t", " "))
    line = lead + shown(source[start : start + MOST_SHOWN].replace("\t", " "))
    return before, line if len(line) <= room else line[: room - 1] + "…"


def json_lines(findings: Sequence[Finding]) -> None:
    """One object a line."""
    for said in findings:
        json_line(
            {
                "rule": said.rule,
                "severity": said.severity,
                "file": said.place.file,
                "line": said.place.line,
                "column": said.place.column,
                "message": said.message,
                "help": said.help,
            }
        )


def sarif(findings: Sequence[Finding]) -> None:
    """One run, with the rules that it may name."""
    from recall.deck.pages import page

    rules = [
        {
            "id": rule,
            "shortDescription": {"text": page(rule).split("\n", 1)[0]},
            "help": {"text": page(rule), "markdown": page(rule)},
            "defaultConfiguration": {"level": severity},
        }
        for rule, severity in RULES.items()
    ]
    results = [
        {
            "ruleId": said.rule,
            "ruleIndex": list(RULES).index(said.rule),
            "level": said.severity,
            "message": {"text": shown(_sentences(said))},
            "locations": [
                {
                    "physicalLocation": {
                        "artifactLocation": {
                            "uri": quote(PurePosixPath(said.place.file).as_posix(), errors="replace")
                        },
                        "region": {
                            "startLine": max(1, said.place.line),
                            "startColumn": max(1, said.place.column),
                        },
                    }
                }
            ],
        }
        for said in findings
    ]
    log = {
        "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
        "version": "2.1.0",
        "runs": [
            {
                "tool": {"driver": {"name": "recall", "version": __version__, "rules": rules}},
                "columnKind": "unicodeCodePoints",
                "results": results,
            }
        ],
    }
    print(json.dumps(log, indent=2))


def _sentences(said: Finding) -> str:
    """Message and help as sentences."""
    parts = [part for part in (said.message, said.help) if part]
    return " ".join(part[0].upper() + part[1:].rstrip(".") + "." for part in parts)


def github(findings: Sequence[Finding]) -> None:
    """Workflow commands, an annotation a line."""
    for line in _annotations(findings):
        print(line)


def _annotations(findings: Sequence[Finding]) -> Iterator[str]:
    levels = {"error": "error", "warning": "warning", "note": "notice"}
    for said in findings:
        place = said.place
        message = _escaped(shown(f"{said.message}\nhelp: {said.help}" if said.help else said.message))
        where = (
            f"file={_property(place.file)},line={place.line},col={place.column},title={_property(said.rule)}"
        )
        yield f"::{levels[said.severity]} {where}::{message}"


def _escaped(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _escaped(shown(text)).replace(":", "%3A").replace(",", "%2C")


FORMATS: dict[str, Callable[[Sequence[Finding]], None]] = {
    "text": text,
    "json": json_lines,
    "sarif": sarif,
    "github": github,
}
