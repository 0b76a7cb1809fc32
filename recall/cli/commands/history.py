"""`recall history`: a card's life."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.marks import MARKS
from recall.base.text import percent
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import columns, json_line, say, wrapped

CardId = Annotated[
    str, typer.Argument(help="A card's id, how it begins, or words of its question.", show_default=False)
]

STANDINGS = {
    "unasked": "unasked",
    "initial": "initial (not yet right on a later day)",
    "current": "current",
    "requalifying": "requalifying (missed or changed since it was current)",
}


def history(card: CardId, json: JsonOption = False, store: StoreOption = None) -> None:
    """Show a card's life: loaded, asked, marked, due.

    Example: recall history 3f9a
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        known = opened.known(opened.find(card))
        wording = opened.card(known.id)
        entries = opened.history(known.id)
        settings = opened.settings()
        remark = opened.remark_on(known.id)
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
    say(wrapped(wording.answer.text or "(a reading, drawn afresh each time)", "  "))
    say(wrapped(f"{' / '.join(wording.topic)}; {wording.file} line {wording.line}", "  "))
    if remark:
        say(wrapped(f"Your remark: {remark}", "  "))
    say(wrapped(f"Standing: {STANDINGS[known.standing]}."))
    if known.memory and known.due:
        aim = settings.critical_target if known.critical else settings.target
        say(
            wrapped(
                f"Holds {known.memory.holds:.1f} days; due {known.due.isoformat()}: asked again when recall is about"
                f" to fall below {percent(aim)}."
            )
        )
    rows = [
        (
            f"{entry.at.astimezone(settings.home):%Y-%m-%d %H:%M}",
            entry.what + (f" revision {entry.revision}" if entry.revision and entry.mark is None else ""),
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
