"""`recall plan`: the days to a checkride."""

import random
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, decimal, store_path
from recall.cli.output import json_line

On = Annotated[
    str | None, typer.Option("--on", metavar="DATE", help="The date, as 2027-03-31.", show_default=False)
]
Minutes = Annotated[
    float | None,
    typer.Option(
        "--minutes",
        metavar="MINUTES",
        parser=decimal("minutes", 1, 1440),
        help="Minutes a day.",
        show_default=False,
    ),
]
At = Annotated[str | None, typer.Option("--at", metavar="TIME", help="Its time at home; 09:00 unless told.")]
Topics = Annotated[
    list[str] | None, typer.Option("--topic", metavar="TOPIC", help="Only this topic; may be given again.")
]
Decks = Annotated[
    list[str] | None, typer.Option("--deck", metavar="DECK", help="Only this deck; may be given again.")
]
DaysOff = Annotated[
    str | None,
    typer.Option(
        "--days-off", metavar="DAYS", help="Days without reviews, as `Sun, 2026-12-24..2026-12-26`."
    ),
]
For = Annotated[
    str | None,
    typer.Option(
        "--for",
        metavar="AIM",
        help="Plan for the `odds` of passing, or for `recall` of all points; the odds where a deck has a blueprint.",
        show_default=False,
    ),
]
Try = Annotated[bool, typer.Option("--try", help="Only show it; keep what is set.")]


def plan(
    on: On = None,
    minutes: Minutes = None,
    at: At = None,
    topic: Topics = None,
    deck: Decks = None,
    days_off: DaysOff = None,
    aim: For = None,
    only_try: Try = False,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Plan the days to a checkride.

    Without options, the plan is shown again from today's state.

    Example: recall plan --on 2027-03-31 --minutes 20 --days-off Sun
    """
    from recall.cli.progress import working

    with working("planning"):
        from recall.cli.loading import open_store
        from recall.cli.plan_screen import plan_row, show_plan
        from recall.session.plan_told import in_words
        from recall.session.planned import plan_for
        from recall.session.target import changed_target, keep_target
        from recall.store.handed import tell_plan

        with open_store(store_path(store), SystemClock(), create=False) as opened:
            target = changed_target(
                opened.store,
                on=on,
                at=at,
                minutes=minutes,
                days_off=days_off,
                topics=topic,
                decks=deck,
                aim=aim,
            )
            rng = random.Random(f"{opened.store.today()} {target.on}")
            planned = plan_for(opened.store, target, rng)
            if not only_try:
                keep_target(opened.store, target)
                tell_plan(opened.store, in_words(planned))
    if json:
        json_line(plan_row(planned))
    else:
        show_plan(planned, kept=not only_try)
