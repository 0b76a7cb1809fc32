"""`recall remark`: the student's own words on a card."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import StoreOption, store_path
from recall.cli.output import say

Card = Annotated[
    str, typer.Argument(help="A card's id, how it begins, or words of its question.", show_default=False)
]
Words = Annotated[str, typer.Argument(help="Your words; empty takes them away.", show_default=False)]


def remark(card: Card, text: Words, store: StoreOption = None) -> None:
    """Keep your own words on a card.

    They show with its answer and outlive revisions.

    Example: recall remark 3f9a "four psi keeps the door shut"
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        found = opened.find(card)
        opened.remark(found, text.strip())
        prompt = opened.card(found).prompt
    say(f"{'Kept with' if text.strip() else 'Taken away from'}: {prompt}")
