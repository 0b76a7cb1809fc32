"""`recall lint`: what is wrong with notes."""

from pathlib import Path
from typing import Annotated

import typer

from recall.base import regex as re
from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.finding import RULES
from recall.cli.options import JsonOption, format_of, option, place
from recall.cli.output import say

SEVERITIES = ("note", "warning", "error")


def lint(
    path: Annotated[Path | None, place("A folder of notes, or one note.")] = None,
    format: Annotated[str, option("--format FORMAT", "text, json, sarif or github.")] = "text",
    json: JsonOption = False,
    rule: Annotated[list[str] | None, option("--rule RULE", "Only this rule; may be given again.")] = None,
    severity: Annotated[
        str, option("--severity SEVERITY", "This severe or more: note, warning or error.")
    ] = "note",
    explain: Annotated[
        str | None, option("--explain [RULE]", "Show a rule's page; without a rule, list them all.")
    ] = None,
) -> None:
    """Check notes, and show what is wrong with them.

    Exit code 1 where an error stands.

    Example: recall lint decks/skerry --severity warning
    """
    from recall.cli.report import FORMATS
    from recall.deck.pages import page

    if explain == "list":
        widest = max(map(len, RULES)) + 11
        for name, severe in RULES.items():
            when = re.split(r"[.:] |[.]$", page(name).split("\n", 1)[0])[0]
            say(when, " " * widest, f"{name:<{widest - 11}}  {severe:<7}  ")
        return
    if explain is not None:
        text = page(explain)
        say(f"{explain} ({RULES[explain]})\n\n{text}")
        return
    if path is None:
        raise RecallError("no notes were named", "name a folder of notes, or one note: recall lint PATH")
    format = format_of(format, json, FORMATS)
    if severity not in SEVERITIES:
        raise RecallError(f"there is no severity `{severity}`", f"severities are: {', '.join(SEVERITIES)}")
    for wanted in rule or []:
        page(wanted)
    from recall.publish.places import read_all

    floor = SEVERITIES.index(severity)
    found = [
        said
        for _, findings in read_all(path, SystemClock().now().date())
        for said in findings
        if SEVERITIES.index(said.severity) >= floor and (not rule or said.rule in rule)
    ]
    FORMATS[format](found)
    if any(said.severity == "error" for said in found):
        raise typer.Exit(1)
