"""`recall history`: a card's life."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.marks import MARKS
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import columns, json_line, say, wrapped

CardId = Annotated[
    str, typer.Argument(help="A card's id, how it begins, or words of its question.", show_default=False)
]


def history(card: CardId, json: JsonOption = False, store: StoreOption = None) -> None:
    """Show a card's life: loaded, asked, marked, due.

    Example: recall history 3f9a
    """
    from recall.insight.life import entry_told, standing_told
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
    for sentence in standing_told(known, settings):
        say(wrapped(sentence))
    rows = [
        (
            f"{entry.at.astimezone(settings.home):%Y-%m-%d %H:%M}",
            entry_told(entry),
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
