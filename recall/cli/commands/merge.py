"""`recall merge`: take in what was answered on other devices."""

from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import json_line, say

Others = Annotated[list[Path], typer.Argument(help="Stores, or events as `recall events` wrote them.")]
Same = Annotated[bool, typer.Option("--same-person", help="The other store is this person's too.")]


def merge(
    others: Others, same_person: Same = False, json: JsonOption = False, store: StoreOption = None
) -> None:
    """Take in the events of other stores; in any order, any number of times, one result.

    Example: recall merge tablet.db
    """
    from recall.base.errors import RecallError
    from recall.store import Store

    for other in others:
        if not other.exists():
            raise RecallError(f"there is no store `{other}`", "name the other device's store file")
    with Store.open(store_path(store), SystemClock()) as opened:
        for report in opened.merge(others, same_person=same_person):
            if json:
                json_line(
                    {
                        "store": report.path,
                        "events": report.events,
                        "reviews": report.reviews,
                        "cards": report.cards,
                    }
                )
            else:
                say(
                    f"{report.path}: {report.events} new events, {report.reviews} of them answers; "
                    f"{report.cards} cards brought up to date."
                )
