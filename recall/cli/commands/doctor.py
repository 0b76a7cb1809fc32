"""`recall doctor`: whether the store is sound."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import json_line, say, wrapped

Clock = Annotated[
    str | None,
    typer.Option("--correct", metavar="WRITER", help="Accept the proposed correction of this run's clock."),
]


def doctor(correct: Clock = None, json: JsonOption = False, store: StoreOption = None) -> None:
    """Check the store, derive all anew from its events, mend what differs. Exit code 1 where something is left.

    Example: recall doctor
    """
    from recall.base.errors import RecallError
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        seen = opened.doctor()
        if correct is not None:
            wrong = next((clock for clock in seen.clocks if clock.writer == correct), None)
            if wrong is None:
                raise RecallError(f"no correction is proposed for `{correct}`", "`recall doctor` lists them")
            opened.correct_clock(wrong.writer, wrong.seconds)
            seen = opened.doctor()
    if json:
        json_line(
            {
                "well": seen.well,
                "events": seen.events,
                "cards": seen.cards,
                "found": list(seen.found),
                "mended": list(seen.mended),
                "clocks": [
                    {"writer": clock.writer, "seconds": clock.seconds, "events": clock.events}
                    for clock in seen.clocks
                ],
                "backup": seen.backup,
            }
        )
    else:
        say(f"{seen.events} events, {seen.cards} cards.")
        for text in seen.found:
            say(wrapped(text, "  ", "found: "))
        for text in seen.mended:
            say(wrapped(text, "  ", "mended: "))
        for clock in seen.clocks:
            say(
                wrapped(
                    f"the clock of run {clock.writer} was {-clock.seconds:.0f} s ahead ({clock.events} events)",
                    "  ",
                    "found: ",
                )
            )
            say(f"  help: recall doctor --correct {clock.writer}")
        say(f"Newest backup: {seen.backup or 'none'}.")
        say("All is well." if seen.well else "Something is left to do.")
    if not seen.well:
        raise typer.Exit(1)
