"""`recall plan`: the days to a checkride."""

import random
from typing import Annotated

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, decimal, option, store_path
from recall.cli.output import json_line


def plan(
    on: Annotated[str | None, option("--on DATE", "The date, as 2027-03-31.")] = None,
    minutes: Annotated[
        float | None, option("--minutes MINUTES", "Minutes a day.", decimal("minutes", 1, 1440))
    ] = None,
    at: Annotated[str | None, option("--at TIME", "Its time at home; 09:00 unless told.")] = None,
    topic: Annotated[
        list[str] | None, option("--topic TOPIC", "Only this topic; may be given again.")
    ] = None,
    deck: Annotated[list[str] | None, option("--deck DECK", "Only this deck; may be given again.")] = None,
    days_off: Annotated[
        str | None, option("--days-off DAYS", "Days without reviews, as `Sun, 2026-12-24..2026-12-26`.")
    ] = None,
    aim: Annotated[
        str | None,
        option(
            "--for AIM",
            "Plan for the `odds` of passing, or for `recall` of all points; the odds where a deck has a blueprint.",
        ),
    ] = None,
    only_try: Annotated[bool, option("--try", "Only show it; keep what is set.")] = False,
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
                opened,
                on=on,
                at=at,
                minutes=minutes,
                days_off=days_off,
                topics=topic,
                decks=deck,
                aim=aim,
            )
            rng = random.Random(f"{opened.today()} {target.on}")
            planned = plan_for(opened, target, rng)
            if not only_try:
                keep_target(opened, target)
                tell_plan(opened, in_words(planned))
    if json:
        json_line(plan_row(planned))
    else:
        show_plan(planned, kept=not only_try)
