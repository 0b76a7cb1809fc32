"""`recall undo`: take an answer back."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import StoreOption, store_path
from recall.cli.output import say

Event = Annotated[
    str | None, typer.Option("--id", metavar="ID", help="Of this review, as `recall history` shows it.")
]


def undo(id: Event = None, store: StoreOption = None) -> None:
    """Take back this machine's newest answer, for good.

    With --id it takes back another one.

    Example: recall undo
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        known = opened.undo(id)
        card = opened.card(known.id)
    say(f"Taken back: {card.prompt}")
    due = f", due {known.due.isoformat()}" if known.due is not None else ""
    say(
        f"It is {known.standing} again{due}."
        if known.standing == "unasked"
        else f"It is {known.standing}{due}."
    )
