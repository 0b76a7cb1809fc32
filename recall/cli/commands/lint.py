"""`recall lint`: what is wrong with notes."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, PathArgument
from recall.cli.output import json_line, say

FormatOption = Annotated[str, typer.Option("--format", help="text or json.")]


def lint(path: PathArgument, format: FormatOption = "text", json: JsonOption = False) -> None:
    """Check notes and say what is wrong with them. Exit code 1 where an error stands.

    Example: recall lint decks/skerry
    """
    from recall.cli.decks import read_all

    errors = count = 0
    for _, findings in read_all(path, SystemClock().now().date()):
        for said in findings:
            count += 1
            errors += said.severity == "error"
            place = said.place
            if json or format == "json":
                json_line(
                    {
                        "rule": said.rule,
                        "severity": said.severity,
                        "file": place.file,
                        "line": place.line,
                        "column": place.column,
                        "message": said.message,
                        "help": said.help,
                    }
                )
            else:
                say(f"{place.file}:{place.line}:{place.column}: {said.severity} [{said.rule}] {said.message}")
                say(f"  help: {said.help}")
    if not json and format == "text":
        say(f"{count} findings, {errors} errors")
    raise typer.Exit(1 if errors else 0)
