"""`recall events`: all events written out, and read back."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.text import count
from recall.cli.options import StoreOption, store_path
from recall.cli.output import say

Read = Annotated[
    Path | None,
    typer.Option("--read", metavar="FILE", help="Take in events from this file instead.", show_default=False),
]
Json = Annotated[bool, typer.Option("--json", help="Write JSON Lines (it always does).")]
Same = Annotated[bool, typer.Option("--same-person", help="The events are this person's too.")]

_HELP = "name a file that `recall events` wrote"


def events(
    read: Read = None, json: Json = False, same_person: Same = False, store: StoreOption = None
) -> None:
    """Write all events as JSON Lines, or read them into a store.

    Example: recall events > events.jsonl
    """
    from recall.store import Store

    del json
    if read is not None and not read.is_file():
        raise RecallError(f"there is no file `{read}`", _HELP)
    with Store.open(store_path(store), SystemClock(), create=read is not None) as opened:
        if read is None:
            for line in opened.events_json():
                sys.stdout.write(line + "\n")
            return
        try:
            with read.open(encoding="utf-8") as lines:
                report = opened.read_json(lines, str(read), same_person=same_person)
        except UnicodeDecodeError:
            raise RecallError(f"`{read}` is no text", _HELP) from None
    say(f"{count(report.events, 'new event')}, {report.reviews} of them answers.")
