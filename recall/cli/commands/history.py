"""`recall history`: a card's life."""

from typing import Annotated

from recall.base.marks import MARKS
from recall.base.text import fields_of
from recall.cli.options import JsonOption, StoreOption, argument, stored
from recall.cli.output import json_line, say, table


def history(
    card: Annotated[str, argument("A card's id, how it begins, or words of its question.")],
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Show a card's life: loaded, asked, marked, due.

    Example: recall history 3f9a
    """
    from recall.insight.life import entry_told, standing_told

    with stored(store) as opened:
        known = opened.known(opened.find(card))
        wording = opened.card(known.id)
        entries = opened.history(known.id)
        settings = opened.settings()
        remark = opened.remark_on(known.id)
        standing = [*standing_told(known, settings)]
    if json:
        for entry in entries:
            first = fields_of(
                entry, "at", "day", "what", "event", "mark", "right", "given", "seconds", "mode"
            )
            mark = None if entry.mark is None else MARKS[entry.mark - 1]
            more = fields_of(entry, "counts", "holds", "due", "revision", "note")
            json_line({**first, "at": entry.at.isoformat(), "mark": mark, **more})
        return
    say(wording.prompt)
    say(wording.answer.text or "(a reading, drawn afresh each time)", "  ")
    say(f"{' / '.join(wording.topic)}; {wording.file} line {wording.line}", "  ")
    if remark:
        say(f"Your remark: {remark}", "  ")
    for sentence in standing:
        say(sentence)
    rows = [
        (
            *entry_told(entry, settings.home),
            "" if entry.due is None else entry.due.isoformat(),
            entry.event[-12:] if entry.mark is not None else "",
        )
        for entry in entries
    ]
    table(rows, ("when", "what", "mark", "given", "holds", "due", "id"), right=(4,))
