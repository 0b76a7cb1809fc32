"""`recall merge`: take in what was answered on other devices."""

from pathlib import Path
from typing import Annotated

from recall.base.text import count, fields_of
from recall.cli.options import JsonOption, StoreOption, argument, option, stored
from recall.cli.output import json_line, say


def merge(
    others: Annotated[
        list[Path], argument("Stores of your other devices, or what they handed over.", "STORE...")
    ],
    same_person: Annotated[bool, option("--same-person", "The other store is this person's too.")] = False,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Take in what other devices' stores know.

    In any order, any number of times, one result.

    Example: recall merge tablet.db
    """
    with stored(store, create=True) as opened:
        for other in others:
            (report,) = opened.merge([other], same_person=same_person)
            if json:
                json_line({"store": report.path, **fields_of(report, "events", "reviews", "cards")})
            else:
                say(
                    f"{report.path}: {count(report.events, 'new event')}, {report.reviews} of them answers; "
                    f"{count(report.cards, 'card')} brought up to date."
                )
