"""`recall remark`: the student's own words on a card."""

from typing import Annotated

from recall.cli.options import StoreOption, argument, stored
from recall.cli.output import say


def remark(
    card: Annotated[str, argument("A card's id, how it begins, or words of its question.")],
    text: Annotated[str, argument("Your words; empty takes them away.")],
    store: StoreOption = None,
) -> None:
    """Keep your own words on a card.

    They show with its answer and outlive revisions.

    Example: recall remark 3f9a "four psi keeps the door shut"
    """

    with stored(store) as opened:
        found = opened.find(card)
        opened.remark(found, text.strip())
        prompt = opened.card(found).prompt
    say(f"{'Kept with' if text.strip() else 'Taken away from'}: {prompt}")
