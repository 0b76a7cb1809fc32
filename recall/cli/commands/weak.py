"""`recall weak`: topics by how likely a miss is."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import columns, json_line, say

Most = Annotated[int, typer.Option("--most", min=1, help="How many topics to show.")]


def weak(most: Most = 20, json: JsonOption = False, store: StoreOption = None) -> None:
    """Show which topics are weak: those most likely missed first.

    Example: recall weak --most 5
    """
    from recall.insight.known import topics_of
    from recall.store import Store

    with Store.open(store_path(store), SystemClock()) as opened:
        topics = topics_of(opened)
    if json:
        for one in topics:
            json_line(
                {
                    "topic": list(one.topic),
                    "cards": one.cards,
                    "asked": one.asked,
                    "recall": one.recall,
                    "accuracy": one.accuracy,
                    "low": one.low,
                    "high": one.high,
                }
            )
        return
    asked = [one for one in topics if one.answers]
    if not asked:
        say("Nothing has been asked yet, so no topic is weak.")
        return
    rows = [
        (
            " / ".join(one.topic),
            f"{one.asked}/{one.cards}",
            f"{one.accuracy:.0%}" if one.accuracy is not None else "",
            f"{one.low:.0%} to {one.high:.0%}",
            f"{one.recall:.0%}" if one.recall is not None else "",
        )
        for one in asked[:most]
    ]
    heads = ("topic", "asked", "right", "95 % interval", "recall now")
    for line in columns(rows, heads, right=(1, 2, 3, 4)):
        say(line)
    if len(asked) > most:
        say(f"and {len(asked) - most} more topics: --most {len(asked)}")
    unasked = len(topics) - len(asked)
    if unasked:
        say(f"{unasked} topic{'s have' if unasked > 1 else ' has'} not been asked yet.")
