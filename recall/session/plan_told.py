"""A plan and the odds in sentences and rows: the same words behind every front end."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from recall.base.dataclass import dataclass
from recall.base.text import count, percent
from recall.checkride.form import FEW_DAYS
from recall.checkride.goal import Passing
from recall.checkride.odds import AreaOdds, Odds
from recall.checkride.outlook import HARDLY, enough
from recall.checkride.plan import FORTNIGHT
from recall.schedule.model import LIKELY
from recall.session.paper import Paper
from recall.session.planned import Day, Planned, Share
from recall.session.view import Line

DAYS_SHOWN = 7
AREAS_SHOWN = 6
FREE = 0.8
"""Under so large a part of the minutes that there are, the rest is said to be free."""
NO_CHANCE = 0.0005
"""What would be shown as 0 %."""
ASSUMED = (
    "These cards in these words, marks that are true, and a memory that follows the model are assumed; for people "
    "who forget quite otherwise the interval counts, not its middle (up to 28 points off in simulations)."
)
LINES = ("plan", "daily order", "nothing")
"""What the picture of recall shows, as `Plan.rise` has them."""


@dataclass(frozen=True, slots=True)
class Span:
    """A day of the plan, or a week of it, as it is told. minutes: None where it is off."""

    when: str
    minutes: float | None
    reviews: int
    unasked: int
    topics: str


def on_day(day: date) -> str:
    """A day as it is said: weekday, day, month."""
    return f"{day:%a} {day.day} {day:%b}"


def _share(share: float) -> str:
    """Whole per cents; tenths where all is nearly reached."""
    return percent(share, 1 if 0.985 <= share < 0.9995 else 0)


def headline(planned: Planned) -> Iterator[str]:
    """What it is for, what it brings beside what else could be done, and how far from the best it is."""
    plan, target, days = planned.plan, planned.target, len(planned.days)
    free = sum(not day.off for day in planned.days)
    off = f" ({days - free} off)" if free < days else ""
    yield (
        f"Checkride on {on_day(target.on)} {target.on.year}, {target.at:%H:%M}: {count(days, 'day')}{off}, "
        f"{target.minutes:g} min a day, {count(len(planned.candidate.known), 'card')} of {target.scope}."
    )
    between = " to ".join(_share(end) for end in planned.between)
    yield (
        f"Recall on that day, critical points counting three times: {_share(plan.expected)} with this plan (95 % "
        f"interval {between}), {_share(plan.daily)} with the daily order, {_share(plan.nothing)} with nothing."
    )
    knowing = ", even one that knew how you forget" if len(planned.candidate.minds) > 1 else ""
    proof = "" if plan.certified else " (for your own memory model that isn't proven)"
    yield (
        "If your memory follows the model and no card is asked twice a day, no plan can bring more than "
        f"{percent(plan.bound, 1)}{knowing}{proof}."
    )
    yield from _enough(planned)
    if spent := planned.candidate.spent.get(planned.candidate.today):
        yield f"Reviewed today so far: {spent / 60:.0f} min."
    taken = [day.minutes for day in planned.days if not day.off]
    mean = sum(taken) / len(taken)
    if mean < FREE * planned.used * target.minutes and target.minutes - mean >= 1:
        yield (
            f"It takes about {_minutes(mean)} a day on average: asking more would add next to nothing, so the rest "
            f"of your {target.minutes:g} min is free."
        )
    elif planned.used < 0.95:
        yield (
            f"Lately you used {percent(planned.used)} of the minutes that you set, days skipped counted; the days to "
            f"come are planned with {planned.used * target.minutes:.0f}."
        )


def _enough(planned: Planned) -> Iterator[str]:
    """What it is planned for, the minutes a day that would be enough, and what else would help."""
    plan, goal, minutes = planned.plan, planned.goal, planned.target.minutes
    passing = isinstance(goal, Passing)
    what = "odds of passing" if passing else "recall"
    if passing:
        either = (
            f"{percent(planned.odds.passed)} with this plan, {percent(plan.daily_value)} with the daily order"
        )
        hope = max(planned.odds.passed, plan.daily_value) >= NO_CHANCE
        yield (
            f"Planned for the odds of passing: {either if hope else 'next to none, nor with the daily order'}. "
            "Counting each point by what it adds to them, no plan can bring more than "
            f"{100 * plan.short:.1f} points of recall beyond this one."
        )
    found = [(level, enough(plan.others, level)) for level in goal.levels]
    told = [
        f"{'at most ' if times == plan.others[0].times else ''}{_minutes(times * minutes)} for {percent(level)}"
        for level, times in found
        if times is not None
    ]
    if told:
        yield f"Enough a day for {what}: {', '.join(told)}."
    most = plan.others[-1]
    if out := [percent(level) for level, times in found if times is None]:
        yield (
            f"No number of minutes up to {_minutes(most.times * minutes)} a day gives {out[0]}: with so many it is "
            f"{percent(most.value) if most.value >= NO_CHANCE else 'next to none'}."
        )
    if helps := list(_help(planned)):
        yield f"What else would help: {'; '.join(helps)}."


def _help(planned: Planned) -> Iterator[str]:
    """What else would help: a later date, and of an examination what its rules cost; where with these minutes there
    is hardly a chance, with the fewest that were tried with some."""
    plan, goal, target = planned.plan, planned.goal, planned.target
    passing = isinstance(goal, Passing)
    reached = planned.odds.passed if passing else plan.expected
    if plan.later is not None and plan.later[1] >= reached + 0.01:
        weeks, value = plan.later
        on = target.on + timedelta(weeks=weeks)
        what = "odds" if passing else "recall"
        yield (
            f"a later date ({what} of about {percent(value)} on {on_day(on)} {on.year}, {count(weeks, 'week')} "
            f"later, with {_minutes(target.minutes)} a day)"
        )
    if not isinstance(goal, Passing) or reached >= goal.levels[-1]:
        return
    odds, at = planned.odds, ""
    if reached < HARDLY:
        more = next((one for one in plan.others if one.value >= HARDLY), plan.others[-1])
        odds = goal.odds(planned.candidate.minds, more.recalls)
        at = f"with {_minutes(more.times * target.minutes)} a day (odds {percent(odds.passed)}), "
    rules = []
    if odds.with_areas - odds.passed >= 0.01:
        rules.append(f"fewer critical points (with none {percent(odds.with_areas)})")
    if len(odds.areas) > 1 and (worst := odds.costliest[0]).cost >= 0.01:
        without = min(odds.passed + worst.cost, 1.0)
        rules.append(f"fewer areas (without {worst.topic} about {percent(without)})")
    if rules:
        yield at + " or ".join(rules)


def _minutes(minutes: float) -> str:
    return f"{max(1.0, minutes):.0f} min"


def spans(days: Sequence[Day]) -> Iterator[Span]:
    """The first days one by one, later ones by the week."""
    first = list(days) if len(days) <= 2 * DAYS_SHOWN else list(days[:DAYS_SHOWN])
    for day in first:
        minutes = None if day.off else day.minutes
        yield Span(on_day(day.date), minutes, day.reviews, day.unasked, "off" if day.off else _topics([day]))
    for at in range(len(first), len(days), 7):
        week = days[at : at + 7]
        last = f" to {on_day(week[-1].date)}" if len(week) > 1 else ""
        yield Span(
            f"{on_day(week[0].date)}{last}",
            sum(day.minutes for day in week),
            sum(day.reviews for day in week),
            sum(day.unasked for day in week),
            _topics(week),
        )


def _topics(days: Sequence[Day]) -> str:
    names = dict.fromkeys(topic[-1] for day in days for topic in day.topics)
    return ", ".join(list(names)[:3])


def limits(planned: Planned) -> Iterator[str]:
    """What can't be learned in the time, what isn't for the blueprint's sake, and what is left two weeks after the
    date."""
    plan = planned.plan
    if planned.unlearned:
        yield f"Can't be learned in the time: {_shares(planned.unlearned)}."
    else:
        asked = " that the blueprint asks" if planned.passed_over else ""
        yield f"Every card{asked} can be learned in the time."
    if planned.passed_over:
        named = ", ".join(planned.passed_critical[:AREAS_SHOWN])
        more = f" and {left} more" if (left := len(planned.passed_critical) - AREAS_SHOWN) > 0 else ""
        critical = f" Critical among them: {named}{more}." if named else ""
        yield (
            f"Left out, since the blueprint doesn't ask them: {_shares(planned.passed_over)}.{critical} "
            "`recall plan --for recall` plans all points."
        )
    after = on_day(planned.target.on + timedelta(days=FORTNIGHT))
    gone = f" Gone by then: {_shares(planned.fading)}." if planned.fading else ""
    yield (
        f"Without another review, {percent(plan.two_weeks_after)} is left on {after}, two weeks after.{gone} "
        f"To keep it: the daily order (`recall review`), about {max(1.0, plan.keep_minutes):.0f} min a day."
    )


def _shares(shares: Sequence[Share]) -> str:
    total, critical = sum(one.cards for one in shares), sum(one.critical for one in shares)
    head = count(total, "card") + (f" ({critical} critical)" if critical else "")
    named = [f"{one.area[-1]} {one.cards}" for one in shares[:AREAS_SHOWN]]
    rest = total - sum(one.cards for one in shares[:AREAS_SHOWN])
    return f"{head}: {', '.join(named)}" + (f" and {rest} of other topics" if rest else "")


def odds_told(odds: Odds, paper: Paper, head: str, *, areas: bool = True) -> Iterator[Line]:
    """The odds with their interval, the examination, and how far to trust all that. areas: `area_rows` stand behind
    them; else the areas that cost most are named."""
    if odds.high < NO_CHANCE:
        yield Line("head", f"{head}: next to none, too little of it is known by then.")
    else:
        told = f"{percent(odds.passed)} (95 % interval {percent(odds.low)} to {percent(odds.high)})"
        yield Line("head", f"{head}: {told}.")
    yield Line("about", ASSUMED)
    yield Line("about", f"{paper.rules}: {paper.origin}.")
    if len(rules := _rules(odds, paper)) > 1 and odds.mark_alone >= NO_CHANCE:
        yield Line("about", f"Rule by rule: {', '.join(rules)}.")
    if (drawn := paper.critical_questions) >= 1.0:
        each = LIKELY ** (1.0 / drawn)
        are = "is a critical point" if round(drawn) == 1 else "are critical points"
        yield Line(
            "about",
            f"About {drawn:.0f} of the questions {are}: odds of {percent(LIKELY)} to miss none ask for "
            f"a recall of {percent(each, 1)} of each.",
        )
    for remark in paper.remarks:
        yield Line("about", f"{remark}.")
    if not areas and len(odds.areas) > 1 and odds.costliest[0].cost >= 0.005:
        costly = [one for one in odds.costliest[:3] if one.cost >= 0.005]
        named = ", ".join(f"{one.topic} {100 * one.cost:.0f}" for one in costly)
        yield Line("about", f"What costs most, in points: {named}.")


def area_rows(odds: Odds) -> list[AreaOdds]:
    """The areas in which there is a chance, the costliest first."""
    return [one for one in odds.costliest if one.passed >= NO_CHANCE]


def areas_told(odds: Odds) -> Iterator[str]:
    """What stands under the areas."""
    shown = len(area_rows(odds))
    if without := len(odds.areas) - shown:
        yield f"No chance yet in {count(without, 'other area') if shown else 'any area'}."
    if odds.expected >= NO_CHANCE:
        yield f"Right answers to expect: {percent(odds.expected)}."


def history_told(odds: Odds) -> str:
    """How little history stands behind the odds; empty where it is enough."""
    if odds.days_of_history >= FEW_DAYS:
        return ""
    days = count(odds.days_of_history, "day") if odds.days_of_history else "no day"
    return (
        f"Caution: {days} of history behind these odds. Until there are {FEW_DAYS}, they rest on general experience "
        "and may be far off."
    )


def _rules(odds: Odds, paper: Paper) -> list[str]:
    """What each rule of the examination leaves of the odds."""
    exam = paper.examination
    rules = [f"{percent(odds.mark_alone)} to reach {percent(exam.pass_mark)} in all"]
    if exam.each_area and len(exam.areas) > 1:
        rules.append(f"{percent(odds.with_areas)} in each area too")
    if paper.critical:
        rules.append(f"{percent(odds.passed)} without missing a critical point")
    return rules


def in_words(planned: Planned) -> Iterator[str]:
    """A plan as lines, for a device that can't compute one."""
    yield from headline(planned)
    for span in spans(planned.days):
        minutes = "off" if span.minutes is None else f"{span.minutes:g} min"
        yield f"{span.when}: {minutes}, {span.reviews} to review, {span.unasked} to begin"
