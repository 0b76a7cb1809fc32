"""`recall doctor`: whether the store is sound."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from recall.base.text import count, fields_of
from recall.cli.options import JsonOption, StoreOption, option, stored
from recall.cli.output import json_line, say

if TYPE_CHECKING:
    from recall.store.reports import WrongClock


def doctor(
    correct: Annotated[
        str | None, option("--correct WRITER", "Accept the proposed correction of this run's clock.")
    ] = None,
    take_back: Annotated[
        str | None, option("--take-back WRITER", "Take the correction of this run's clock back.")
    ] = None,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Check the store, and mend what differs.

    All is derived anew from its events. Exit code 1 where something is left.

    Example: recall doctor
    """
    from recall.base.errors import RecallError
    from recall.store.clocks import correct_clock
    from recall.store.clocks import take_back as taken_back

    with stored(store, derived=False) as opened:
        seen = opened.doctor(correct or "")
        if take_back is not None:
            taken_back(opened, take_back)
            seen = opened.doctor()
        if correct is not None:
            wrong = next((clock for clock in seen.clocks if clock.writer == correct), None)
            if wrong is None:
                raise RecallError(f"no correction is proposed for `{correct}`", "`recall doctor` lists them")
            correct_clock(opened, wrong.writer, wrong.seconds)
            seen = opened.doctor()
    if json:
        told = fields_of(seen, "well", "events", "cards", "found", "mended", "clocks", "corrected", "backup")
        for name in ("clocks", "corrected"):
            told[name] = [fields_of(clock, "writer", "seconds", "events") for clock in told[name]]
        json_line(told)
    else:
        say(f"{count(seen.events, 'event')}, {count(seen.cards, 'card')}.")
        for text in seen.found:
            say(text, "  ", "found: ")
        if seen.rescue:
            say(seen.rescue, "  ", "  help: ")
        for text in seen.mended:
            say(text, "  ", "mended: ")
        for clocks, first, option in (
            (seen.clocks, "found: ", "--correct"),
            (seen.corrected, "corrected: ", "--take-back"),
        ):
            for text, writers in _alike(clocks):
                say(text, "  ", first)
                for writer in writers:
                    say(f"  help: recall doctor {option} {writer}")
        say(f"Newest backup: {seen.backup or 'none'}.")
        say("All is well." if seen.well else "Something is left to do.")
    if not seen.well:
        raise typer.Exit(1)


def _alike(clocks: "Sequence[WrongClock]") -> "Iterator[tuple[str, list[str]]]":
    """Runs whose clocks were wrong by as much, in words, with their writers."""
    groups: dict[str, list[WrongClock]] = {}
    for clock in clocks:
        way = "ahead" if clock.seconds < 0 else "behind"
        groups.setdefault(f"{_span(abs(clock.seconds))} {way}", []).append(clock)
    for span, alike in groups.items():
        events = count(sum(clock.events for clock in alike), "event")
        runs = "the clock of a run was" if len(alike) == 1 else f"the clocks of {len(alike)} runs were"
        yield f"{runs} {span} ({events})", [clock.writer for clock in alike]


def _span(seconds: float) -> str:
    """A span of time in the two units that say enough."""
    minutes = round(seconds / 60)
    hours, days = round(minutes / 60), minutes // 1440
    if days:
        rest = round((minutes - days * 1440) / 60)
        return count(days, "day") + (f" {count(rest, 'hour')}" if rest else "")
    return count(hours, "hour") if hours else count(max(minutes, 1), "minute")
