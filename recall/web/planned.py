"""A plan as the page shows it; apart, since it needs numbers by the thousand: no other page pays for them."""

from random import Random

from recall.base.dataclass import dataclass
from recall.base.text import percent
from recall.checkride.plan import Plan
from recall.session.plan_told import (
    LINES,
    AreaOdds,
    Span,
    area_rows,
    headline,
    history_told,
    in_words,
    limits,
    odds_told,
    on_day,
    spans,
)
from recall.session.planned import Planned, plan_for
from recall.session.target import Target
from recall.session.view import Line
from recall.store import Store
from recall.store.handed import tell_plan
from recall.web import chart


@dataclass(frozen=True, slots=True)
class Shown:
    """A plan as it is shown."""

    headline: list[str]
    picture: chart.Chart
    days: list[Span]
    limits: list[str]
    odds: list[Line]
    areas: list[AreaOdds]
    history: str

    @classmethod
    def of(cls, planned: Planned) -> "Shown":
        """All that is told of it."""
        head = "Odds of passing with the plan followed"
        return cls(
            list(headline(planned)),
            _picture(planned.plan, (on_day(planned.candidate.today), on_day(planned.target.on))),
            list(spans(planned.days)),
            list(limits(planned)),
            list(odds_told(planned.odds, planned.paper, head)),
            area_rows(planned.odds),
            history_told(planned.odds),
        )


def shown_plan(store: Store, target: Target, rng: Random, *, kept: bool) -> Shown:
    """A plan, made. kept: it is the one to be followed, so a device that can't compute is told of it."""
    planned = plan_for(store, target, rng)
    if kept:
        tell_plan(store, in_words(planned))
    return Shown.of(planned)


def _picture(plan: Plan, ends: tuple[str, str]) -> chart.Chart:
    lines = [(name, own.tolist()) for name, own in zip(LINES, plan.rise, strict=True)]
    told = ", ".join(f"{name} {percent(own[-1])}" for name, own in lines)
    return chart.rise(lines, plan.bound, ends, f"Recall from {ends[0]} to {ends[1]}: {told}")
