"""The plan for a checkride from the store: what to expect, what each day brings, the order of today's sitting."""

from collections import Counter
from datetime import date, timedelta
from random import Random

import numpy as np

from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.checkride.goal import Goal, Passing, Recall
from recall.checkride.model import Ints
from recall.checkride.odds import Odds, recall_interval, views
from recall.checkride.plan import FORTNIGHT, PROBED_SHARE, Plan, expected_seconds, make_plan, plan_today
from recall.checkride.state import Horizon, over, used_share
from recall.session.candidate import Candidate, gather, now_at_home
from recall.session.desk import Selection, order_of, waits
from recall.session.model import Today
from recall.session.order import Order
from recall.session.paper import Paper, odds_of, paper_for
from recall.session.target import HELP, Target, share_of_day, stored_target
from recall.store import Store

GONE = 0.5
"""Recall below this is as good as forgotten."""
MAIN_TOPICS = 3


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the plan. minutes: expected; reviews: of asked cards; unasked: first answers; topics: the main ones;
    off: nothing is reviewed."""

    date: date
    minutes: float
    reviews: int
    unasked: int
    topics: tuple[tuple[str, ...], ...]
    off: bool


@dataclass(frozen=True, slots=True)
class Share:
    """How many cards of an area something holds for, and how many of them are critical."""

    area: tuple[str, ...]
    cards: int
    critical: int


@dataclass(frozen=True, eq=False)
class Planned:
    """A plan with what it is for. unlearned: what can't be learned in the time; passed_over: what isn't learned since
    the blueprint doesn't ask it; passed_critical: its critical subjects; fading: cards known on the date that are
    gone two weeks after it; odds: with the plan followed; goal: what it is for; used: share of the minutes set that
    is really used; between: 95 % interval of the recall expected."""

    target: Target
    candidate: Candidate
    plan: Plan
    paper: Paper
    odds: Odds
    days: tuple[Day, ...]
    unlearned: tuple[Share, ...]
    passed_over: tuple[Share, ...]
    passed_critical: tuple[str, ...]
    fading: tuple[Share, ...]
    used: float
    goal: Goal
    between: tuple[float, float]


def plan_for(store: Store, target: Target, rng: Random) -> Planned:
    """Plan the days to a checkride from the present state. RecallError where that can't be done."""
    if _over(store, target):
        raise RecallError(f"the checkride was on {target.on}", f"set the next one: {HELP}")
    target.day_minutes(store.today())
    candidate = gather(store, target.scope)
    paper = paper_for(store, candidate)
    settings, goal = store.settings(), _goal(candidate, paper, target)
    plan = make_plan(
        candidate.minds,
        _horizon(candidate, target),
        rng,
        goal=goal,
        targets=(settings.target, settings.critical_target),
    )
    drawn = paper.examination.drawn(len(candidate.known)) if isinstance(goal, Passing) else 1.0
    passed_over = np.flatnonzero(plan.out_of_reach & (drawn == 0.0))
    fading = np.flatnonzero((over(candidate.minds, plan.on_date) >= GONE) & (plan.after < GONE))
    return Planned(
        target=target,
        candidate=candidate,
        plan=plan,
        paper=paper,
        odds=odds_of(candidate, paper, plan.on_date),
        days=tuple(_day(candidate, target, plan, at) for at in range(len(plan.days))),
        unlearned=_shares(candidate, np.flatnonzero(plan.out_of_reach & (drawn > 0.0))),
        passed_over=_shares(candidate, passed_over),
        passed_critical=tuple(
            dict.fromkeys(
                store.card(known.id).subject
                for known in (candidate.known[at] for at in passed_over)
                if known.critical
            )
        ),
        fading=_shares(candidate, fading),
        used=share_used(candidate, target),
        goal=goal,
        between=recall_interval(
            views(candidate.minds, candidate.forms, plan.on_date), candidate.cards.weight
        ),
    )


def sitting_today(store: Store, rng: Random, *, decks: tuple[str, ...] = (), reserve: bool = False) -> Today:
    """What the checkride that is set asks of today: the plan's best buys first, planned anew from the present state;
    the daily order from its date on. decks: just those of the plan's. reserve: with the next best buys behind them,
    for a sitting that ends by time. RecallError where no checkride is set, or no day until it is left."""
    target, today = stored_target(store), store.today()
    if target.on <= today or _over(store, target):
        when = f"was on {target.on}" if _over(store, target) else "is today"
        return Today(
            order_of(store, Selection(decks)), "daily", None, f"The checkride {when}: the daily order."
        )
    target.day_minutes(today)
    if today in target.days_off:
        return Today(
            Order([]), "plan", 0.0, "Today is off. `recall review` asks what is due by the daily order."
        )
    candidate = gather(store, target.scope)
    horizon = _horizon(candidate, target)
    left = float(horizon.seconds[0]) / 60.0
    if left <= 0.0:
        said = f"Today's {target.minutes:g} minutes are used. `recall plan` shows the days to come."
        return Today(Order([]), "plan", 0.0, said)
    found = plan_today(
        candidate.minds,
        horizon,
        rng,
        goal=_goal(candidate, paper_for(store, candidate), target),
    )
    chosen = [*found.probes, *found.cards, *(found.reserve if reserve else ())]
    cards = [candidate.known[at] for at in chosen if not decks or candidate.known[at].deck in decks]
    count = (target.on - today).days
    said = f"{count} day{'s' if count > 1 else ''} to the checkride; {left:.0f} min today."
    if not cards:
        said += " Nothing more is worth asking today."
    planned = np.concatenate([found.probes, found.cards])
    seconds = expected_seconds(candidate.minds, planned)
    each = float(seconds.mean()) if len(planned) else None
    drawn = {candidate.known[at].id for at in found.probes}
    waiting = [
        replace(waits(known, unasked=known.memory is None, first=2 * known.fresh), drawn=known.id in drawn)
        for known in sorted(cards, key=lambda known: not known.fresh)
    ]
    return Today(Order(waiting, mixed=True), "plan", left, said, each)


def _over(store: Store, target: Target) -> bool:
    """Whether the hour of the examination is past."""
    return target.moment <= now_at_home(store)


def _goal(candidate: Candidate, paper: Paper, target: Target) -> Goal:
    wanted = target.aim or ("odds" if paper.given else "recall")
    return Passing(paper.examination, candidate.forms) if wanted == "odds" else Recall()


def _horizon(candidate: Candidate, target: Target) -> Horizon:
    """The days to come: today with what is left of its minutes, later ones with the minutes that are really used,
    less those of the cards that are drawn."""
    minutes, spent = target.day_minutes(candidate.today), candidate.spent
    whole = Horizon(
        minutes, share_of_day(target.at), candidate.review_hour, spent.get(candidate.today, 0.0) / 60.0
    )
    return whole.times(share_used(candidate, target) * (1.0 - PROBED_SHARE))


def share_used(candidate: Candidate, target: Target) -> float:
    """Share of the minutes set that was used on the days since a plan has been followed, a fortnight at most."""
    last = [candidate.today - timedelta(days=back) for back in range(FORTNIGHT, 0, -1)]
    days = [day for day in last if candidate.followed[:1] <= (day,) and day not in target.days_off]
    set_ = target.minutes * 60.0
    return used_share(
        [(min(candidate.spent.get(day, 0.0), set_), set_) for day in days if candidate.followed]
    )


def _day(candidate: Candidate, target: Target, plan: Plan, at: int) -> Day:
    """One day in whole cards."""
    planned, on = plan.days[at], candidate.today + timedelta(days=at)
    topics = Counter(candidate.cards.topic[planned.cards].tolist()).most_common(MAIN_TOPICS)
    return Day(
        date=on,
        minutes=planned.minutes,
        reviews=round(planned.reviews),
        unasked=round(planned.unasked),
        topics=tuple(candidate.areas[topic] for topic, _ in topics),
        off=on in target.days_off,
    )


def _shares(candidate: Candidate, cards: Ints) -> tuple[Share, ...]:
    """Cards by area, most first."""
    topic = candidate.cards.topic[cards].tolist()
    critical = Counter(candidate.cards.topic[[at for at in cards if candidate.known[at].critical]].tolist())
    counted = Counter(topic).most_common()
    return tuple(Share(candidate.areas[at], count, critical[at]) for at, count in counted)
