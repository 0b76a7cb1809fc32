"""A plan as the page shows it; apart, since it needs numbers by the thousand: no other page pays for them."""

from random import Random
from typing import Any

from recall.base.text import percent
from recall.session.plan_told import (
    LINES,
    area_rows,
    headline,
    history_told,
    in_words,
    limits,
    odds_told,
    on_day,
    spans,
)
from recall.session.planned import plan_for
from recall.session.target import Target
from recall.store import Store
from recall.store.handed import tell_plan
from recall.web import chart


def shown_plan(store: Store, target: Target, rng: Random, *, kept: bool) -> dict[str, Any]:
    """A plan, made, as its template takes it. kept: it is the one to be followed, so a device that can't compute is
    told of it."""
    planned = plan_for(store, target, rng)
    if kept:
        tell_plan(store, in_words(planned))
    lines = [(name, own.tolist()) for name, own in zip(LINES, planned.plan.rise, strict=True)]
    told = ", ".join(f"{name} {percent(own[-1])}" for name, own in lines)
    ends = (on_day(planned.candidate.today), on_day(planned.target.on))
    return {
        "headline": list(headline(planned)),
        "picture": chart.rise(lines, planned.plan.bound, ends, f"Recall from {' to '.join(ends)}: {told}"),
        "days": list(spans(planned.days)),
        "limits": list(limits(planned)),
        "odds": list(odds_told(planned.odds, planned.paper, "Odds of passing with the plan followed")),
        "areas": area_rows(planned.odds),
        "history": history_told(planned.odds),
    }
