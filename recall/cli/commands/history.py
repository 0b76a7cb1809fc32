"""`recall history`: a card's life."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.marks import MARKS
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import columns, json_line, say, wrapped

CardId = Annotated[str, typer.Argument(help="A card's id, or how it begins.", show_default=False)]


def history(card: CardId, json: JsonOption = False, store: StoreOption = None) -> None:
    """Show a card's life: loaded, asked, answered, marked, how long it holds, when it is due.

    Example: recall history 3f9a
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        known = opened.known(opened.find(card))
        wording = opened.card(known.id)
        entries = opened.history(known.id)
        zone = opened.settings().home
    if json:
        for entry in entries:
            json_line(
                {
                    "at": entry.at.isoformat(),
                    "day": entry.day.isoformat(),
                    "what": entry.what,
                    "event": entry.event,
                    "mark": None if entry.mark is None else MARKS[entry.mark - 1],
                    "right": entry.right,
                    "given": entry.given,
                    "seconds": entry.seconds,
                    "mode": entry.mode,
                    "counts": entry.counts,
                    "holds": entry.holds,
                    "due": None if entry.due is None else entry.due.isoformat(),
                    "revision": entry.revision,
                    "note": entry.note,
                }
            )
        return
    say(wrapped(wording.prompt))
    say(wrapped("; ".join(wording.answer) or "(a reading, drawn afresh each time)", "  "))
    say(wrapped(f"{' / '.join(wording.topic)}; {wording.file} line {wording.line}", "  "))
    due = f", due {known.due.isoformat()}" if known.due else ""
    holds = f", holds {known.memory.holds:.1f} days" if known.memory else ""
    say(f"It is {known.standing}{holds}{due}.")
    rows = [
        (
            f"{entry.at.astimezone(zone):%Y-%m-%d %H:%M}",
            entry.what + (f" {entry.revision}" if entry.revision and entry.mark is None else ""),
            "" if entry.mark is None else MARKS[entry.mark - 1],
            entry.given or entry.note,
            "" if entry.holds is None else f"{entry.holds:.1f}",
            "" if entry.due is None else entry.due.isoformat(),
            entry.event[-12:] if entry.mark is not None else "",
        )
        for entry in entries
    ]
    for line in columns(rows, ("when", "what", "mark", "given", "holds", "due", "id"), right=(4,)):
        say(line)
