"""`recall events`: all events written out, and read back."""

import sys
from pathlib import Path
from typing import Annotated

from recall.base.clock import SystemClock
from recall.base.errors import DamagedError, RecallError
from recall.base.text import count
from recall.cli.options import StoreOption, option, store_path
from recall.cli.output import say

_HELP = "name a file that `recall events` wrote"


def events(
    read: Annotated[Path | None, option("--read FILE", "Take in events from this file instead.")] = None,
    json: Annotated[bool, option("--json", "Write JSON Lines (it always does).")] = False,
    same_person: Annotated[bool, option("--same-person", "The events are this person's too.")] = False,
    store: StoreOption = None,
) -> None:
    """Write all events as JSON Lines, or read them into a store.

    Example: recall events > events.jsonl
    """
    from recall.store import Store
    from recall.store.merge import lines_in

    del json
    if read is not None and not read.is_file():
        raise RecallError(
            f"`{read}` isn't a plain file" if read.exists() else f"there is no file `{read}`", _HELP
        )
    path = store_path(store)
    if read is None:
        with Store.open(path, SystemClock(), create=False, derived=False) as opened:
            left: list[int] = []
            for line in opened.events_json(left):
                sys.stdout.write(line + "\n")
        if left:
            named = ", ".join(map(str, sorted(filter(None, left))[:8]))
            raise DamagedError(
                f"{count(len(left), 'event')} can't be read and {'was' if len(left) == 1 else 'were'} left out"
                + (f" (number {named})" if named else ""),
                "all others were written: read them into a new store with `recall --store NEW events --read FILE`,"
                " or put back a backup",
            )
        return
    if path.exists():
        with lines_in(read) as lines, Store.open(path, SystemClock()) as opened:
            report = opened.read_json(lines, str(read), same_person=same_person)
            found, answers = report.events, report.reviews
    else:  # it is made of them alone, and stays their person's
        with lines_in(read) as lines, Store.from_json(path, lines, SystemClock(), str(read)) as made:
            found, answers = made.rows("SELECT count(*), coalesce(sum(type = 'reviewed'), 0) FROM event")[0]
    say(f"{count(found, 'new event')}, {answers} of them answers.")
