"""`recall odds`: the odds of passing as things stand."""

from typing import Annotated

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, option, store_path
from recall.cli.output import json_line, say


def odds(
    on: Annotated[str | None, option("--on DATE", "The date; that of the plan unless told.")] = None,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Show how likely you would pass on a date.

    That is without another review until then.

    Example: recall odds --on 2027-03-31
    """
    from recall.base.text import CAUTION
    from recall.cli.loading import open_store
    from recall.cli.oral_screen import sittings_line
    from recall.cli.plan_screen import odds_row, show_odds
    from recall.cli.progress import working
    from recall.session.candidate import gather
    from recall.session.paper import odds_of, paper_for
    from recall.session.plan_told import on_day
    from recall.session.target import day_of_odds, target_of
    from recall.store.answers import sittings

    with open_store(store_path(store), SystemClock(), create=False) as opened:
        target = day_of_odds(opened, on)
        with working("computing the odds"):
            candidate = gather(opened, target.scope)
            paper = paper_for(opened, candidate)
            found = odds_of(candidate, paper, candidate.recalls_at(target.moment))
        past = sittings(opened)
        kept = target_of(opened.settings())
    if json:
        json_line(odds_row(found, paper, target.on))
        return
    if on is None and (kept is None or kept.on != target.on):
        say("No checkride is ahead; these are the odds for the next such hour.")
    when = f"{on_day(target.on)} {target.on.year}, {target.at:%H:%M}"
    show_odds(found, paper, f"Odds of passing on {when}, without another review")
    if past:
        say(sittings_line(past))
    say("`recall plan` says what the days until then can bring.")
    say(CAUTION)
