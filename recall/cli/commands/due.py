"""`recall due`: the load of today and the next days."""

from typing import Annotated

from recall.base.text import fields_of
from recall.cli.options import JsonOption, StoreOption, no_store_yet, option, stored, whole
from recall.cli.output import NO_CARDS, json_line, say, table


def due(
    days: Annotated[
        int, option("--days DAYS", "How many days, today counted, at most 366.", whole("days", 1, 366))
    ] = 7,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Show how much is due today and on the next days.

    Example: recall due --days 14
    """

    if no_store_yet(store, json):
        return
    with stored(store) as opened:
        ahead = opened.due_by_day(days)
        if not json and not opened.decks():
            say(NO_CARDS)
            return
    if json:
        for day in ahead:
            json_line(fields_of(day, "date", "overdue", "due", "unasked", "minutes"))
        return
    rows = [
        (f"{day.date:%a %Y-%m-%d}", str(day.overdue + day.due), str(day.unasked), f"{day.minutes:.0f}")
        for day in ahead
    ]
    table(rows, ("day", "to review", "to begin", "minutes"), right=(1, 2, 3))
    if ahead[0].overdue:
        say(f"{ahead[0].overdue} of today's were due earlier.")
    if any(day.unasked for day in ahead):
        say("Cards to begin come back on later days once they are begun; that isn't counted yet.")
