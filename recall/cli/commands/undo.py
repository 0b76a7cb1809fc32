"""`recall undo`: take an answer back."""

from typing import Annotated

from recall.cli.options import StoreOption, option, stored
from recall.cli.output import say


def undo(
    id: Annotated[str | None, option("--id ID", "Of this review, as `recall history` shows it.")] = None,
    store: StoreOption = None,
) -> None:
    """Take back this machine's newest answer, for good.

    With --id it takes back another one.

    Example: recall undo
    """

    with stored(store) as opened:
        known = opened.undo(id)
        card = opened.card(known.id)
    say(f"Taken back: {card.prompt}")
    due = f", due {known.due.isoformat()}" if known.due is not None else ""
    say(
        f"It is {known.standing} again{due}."
        if known.standing == "unasked"
        else f"It is {known.standing}{due}."
    )
