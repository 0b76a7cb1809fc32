"""`recall weak`: topics by how likely a miss is."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.text import count, percent
from recall.cli.options import JsonOption, StoreOption, no_store_yet, store_path, whole
from recall.cli.output import NO_CARDS, columns, json_line, say, wrapped

Most = Annotated[
    int, typer.Option("--most", metavar="TOPICS", parser=whole("topics", 1), help="How many topics to show.")
]


def weak(most: Most = 20, json: JsonOption = False, store: StoreOption = None) -> None:
    """Show which topics are weak: those most likely missed first.

    Example: recall weak --most 5
    """
    from recall.insight.known import topics_of
    from recall.insight.weak import FEW_ANSWERS
    from recall.store import Store

    if no_store_yet(store):
        if not json:
            say(NO_CARDS)
        return
    with Store.open(store_path(store), SystemClock(), create=False) as opened:
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
    asked = sorted((one for one in topics if one.answers), key=lambda one: one.answers < FEW_ANSWERS)
    few = sum(one.answers < FEW_ANSWERS for one in asked)
    if not asked:
        say("Nothing has been asked yet, so no topic is weak.")
        return
    rows = [
        (
            " / ".join(one.topic),
            f"{one.asked}/{one.cards}",
            percent(one.accuracy) if one.accuracy is not None else "",
            f"{percent(one.low)} to {percent(one.high)}" if one.answers >= FEW_ANSWERS else "little known",
            percent(one.recall) if one.recall is not None else "",
        )
        for one in asked[:most]
    ]
    heads = ("topic", "asked", "right", "95 % interval", "recall now")
    for line in columns(rows, heads, right=(1, 2, 3, 4), path=0):
        say(line)
    if len(asked) > most:
        say(f"and {count(len(asked) - most, 'more topic')}: --most {len(asked)}")
    if few:
        say(
            wrapped(
                f"Little is known of {count(few, 'topic')} with fewer than {FEW_ANSWERS} answers: too early to "
                "call weak or well known."
            )
        )
    unasked = len(topics) - len(asked)
    if unasked:
        say(f"{count(unasked, 'topic has', 'topics have')} not been asked yet.")
