"""`recall load`: take decks into the store."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.text import count, fields_of
from recall.cli.options import JsonOption, PathArgument, StoreOption, option, store_path
from recall.cli.output import json_line, say


def load(
    path: PathArgument,
    replace: Annotated[
        bool, option("--replace", "Allow over half of a deck's cards to be withdrawn.")
    ] = False,
    carry: Annotated[bool, option("--carry", "Accept the renamings that were proposed.")] = False,
    new_key: Annotated[
        str,
        option(
            "--new-key DIGITS", "The instructor's new key where the old one was lost, as you were told it."
        ),
    ] = "",
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Take notes into the store, and show what changed.

    A published revision, a .zip file, is checked and taken in the same way. Exit code 1 where the notes have errors;
    what is good is loaded all the same.

    Example: recall load decks/skerry
    """
    from recall.cli.loading import load_reports, open_store

    def quiet(_: str) -> None:
        return

    with open_store(store_path(store), SystemClock()) as opened:
        reports, errors = load_reports(
            opened, path, quiet if json else say, replace=replace, carry=carry, new_key=new_key
        )
        for report in reports:
            along = report.moved + report.renamed
            if json:
                told = ("deck", "revision", "points", "cards", "new", "changed", "withdrawn")
                json_line({**fields_of(report, *told), "moved": along})
            elif not report.recorded:
                points, cards = count(report.points, "point"), count(report.cards, "card")
                carried = f" The history of {count(along, 'point')} goes along." if along else ""
                say(f"{report.deck} is unchanged: {points}, {cards}.{carried}")
    if errors:
        raise typer.Exit(1)
