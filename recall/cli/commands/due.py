"""`recall due`: the load of today and the next days."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import columns, json_line, say

Days = Annotated[int, typer.Option("--days", min=1, max=366, help="How many days, today counted.")]


def due(days: Days = 7, json: JsonOption = False, store: StoreOption = None) -> None:
    """Say how much is due today and on the next days.

    Example: recall due --days 14
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock()) as opened:
        ahead = opened.due_by_day(days)
        if not json and not opened.decks():
            say("There are no cards yet: recall review PATH loads notes and asks.")
            return
    if json:
        for day in ahead:
            json_line(
                {
                    "date": day.date.isoformat(),
                    "overdue": day.overdue,
                    "due": day.due,
                    "unasked": day.unasked,
                    "minutes": day.minutes,
                }
            )
        return
    rows = [
        (
            f"{day.date:%a} {day.date.isoformat()}",
            str(day.overdue + day.due),
            str(day.unasked),
            f"{day.minutes:.0f}",
        )
        for day in ahead
    ]
    for line in columns(rows, ("day", "to review", "to begin", "minutes"), right=(1, 2, 3)):
        say(line)
    if ahead[0].overdue:
        say(f"{ahead[0].overdue} of today's were due earlier.")
