"""Findings as text, JSON Lines, SARIF 2.1.0 (OASIS standard) and workflow annotations."""

import sys
from collections import Counter
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path, PurePosixPath
from urllib.parse import quote

from recall import __version__
from recall.base.finding import RULES, Finding, Place
from recall.base.text import count, fields_of, shown
from recall.cli.output import json_line, put, say, width

MOST_SHOWN = 400
"""Characters of a source line that are looked at for its caret."""


def text(findings: Sequence[Finding]) -> None:
    """A finding with its source line, a caret under the column, and the help under it; the count at the end."""
    lines_of = cache(_lines)
    for said in findings:
        place = said.place
        told = f"{place.file}:{place.line}:{place.column}: {said.severity}: {said.message} ({said.rule})"
        say(told, "    ", "") if sys.stdout.isatty() else put(told)  # a program reads a line each
        unread = said.rule == "unreadable-file" and Path(place.file).is_symlink()
        lines = [] if unread else lines_of(place.file)  # a link that isn't followed isn't shown
        source = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
        if source.strip():
            before, line = _window(source, place.column)
            put(f"    {line}")
            put(f"    {' ' * len(before)}^")
        say(said.help, indent="    ", first="    help: ")
    number = Counter(said.severity for said in findings)
    if findings:
        say(", ".join(count(number[one], one) for one in ("error", "warning", "note") if number[one]))
    else:
        say("No findings.")


def _lines(file: str) -> list[str]:
    """The lines of a file; none where it can't be read."""
    try:
        with Path(file).open(encoding="utf-8-sig", errors="backslashreplace", newline="") as opened:
            return opened.read(16 * 1024 * 1024).replace("\r\n", "\n").split("\n")
    except OSError:
        return []


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
        what, place = fields_of(said, "rule", "severity"), fields_of(said.place, "file", "line", "column")
        json_line({**what, **place, **fields_of(said, "message", "help")})


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
            "locations": [{"physicalLocation": _located(said.place)}],
        }
        for said in findings
    ]
    driver = {"name": "recall", "version": __version__, "rules": rules}
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    schema = "https://json.schemastore.org/sarif-2.1.0.json"
    import json

    print(json.dumps({"$schema": schema, "version": "2.1.0", "runs": [run]}, indent=2))


def _located(place: Place) -> dict[str, object]:
    uri = quote(PurePosixPath(place.file).as_posix(), errors="replace")
    region = {"startLine": max(1, place.line), "startColumn": max(1, place.column)}
    return {"artifactLocation": {"uri": uri}, "region": region}


def _sentences(said: Finding) -> str:
    """Message and help as sentences."""
    parts = [part for part in (said.message, said.help) if part]
    return " ".join(part[0].upper() + part[1:].rstrip(".") + "." for part in parts)


def github(findings: Sequence[Finding]) -> None:
    """Workflow commands, an annotation a line."""
    for said in findings:
        place, level = said.place, "notice" if said.severity == "note" else said.severity
        message = _escaped(shown(f"{said.message}\nhelp: {said.help}" if said.help else said.message))
        where = f"file={_property(place.file)},line={place.line},col={place.column}"
        print(f"::{level} {where},title={_property(said.rule)}::{message}")


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
