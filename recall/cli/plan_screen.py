"""What a plan and the odds look like: plain text, at most as wide as the terminal."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from recall.base.text import CAUTION, count, percent
from recall.checkride.form import FEW_DAYS
from recall.checkride.odds import Odds
from recall.checkride.plan import FORTNIGHT
from recall.cli.output import columns, say, width, wrapped
from recall.cli.rise import Strokes, picture
from recall.session.paper import Paper
from recall.session.planned import Day, Planned, Share

DAYS_SHOWN = 7
AREAS_SHOWN = 6
MOST_MINUTES = 1440
NO_CHANCE = 0.0005
"""What would be shown as 0 %."""


def on_day(day: date) -> str:
    """A day as it is said: weekday, day, month."""
    return f"{day:%a} {day.day} {day:%b}"


def _share(share: float) -> str:
    """Whole per cents; tenths where all is nearly reached."""
    return percent(share, 1 if 0.985 <= share < 0.9995 else 0)


def _line(text: str = "") -> None:
    say(wrapped(text))


def show_plan(planned: Planned, *, kept: bool) -> None:
    """The whole screen. kept: the plan is set, so that reviews can follow it."""
    for text in _headline(planned):
        _line(text)
    say()
    plan, target = planned.plan, planned.target
    say("Recall from day to day:")
    names = ("plan", "daily order", "nothing")
    lines = [(name, own.tolist()) for name, own in zip(names, plan.rise, strict=True)]
    ends = (on_day(planned.candidate.today), on_day(target.on))
    for text in picture(lines, ends, width(), Strokes.for_output()):
        say(text)
    say()
    for text in columns(
        _rows(planned.days), ("day", "min", "to review", "to begin", "main topics"), right=(1, 2, 3)
    ):
        say(text)
    say()
    for text in _limits(planned):
        _line(text)
    show_odds(planned.odds, planned.paper, "Odds of passing with the plan followed", areas=False)
    _line("Follow it: recall review --for-checkride" if kept else "Not kept. To follow it, leave out --try.")
    _line(CAUTION)


def _headline(planned: Planned) -> Iterator[str]:
    plan, target, days = planned.plan, planned.target, len(planned.days)
    free = sum(not day.off for day in planned.days)
    off = f" ({days - free} off)" if free < days else ""
    yield (
        f"Checkride on {on_day(target.on)} {target.on.year}, {target.at:%H:%M}: {_days(days)}{off}, "
        f"{target.minutes:g} min a day, {count(len(planned.candidate.known), 'card')} of {target.scope}."
    )
    yield (
        f"Recall on that day, critical points counting three times: {_share(plan.expected)} with this plan, "
        f"{_share(plan.daily)} with the daily order, {_share(plan.nothing)} with nothing."
    )
    points = max(0.0, 100 * (plan.bound - plan.expected))
    yield (
        f"No plan can bring more than {percent(plan.bound, 1)}: this one is {points:.1f} points below that, "
        f"{percent(plan.distance, 1)} of what can be gained."
        + ("" if plan.certified else " (That bound isn't proven for your own memory model.)")
    )
    others = []
    if target.minutes <= MOST_MINUTES - 10:
        others.append(f"with {target.minutes + 10:g} min a day it would be {_share(plan.more)}")
    if target.minutes > 10:
        others.append(f"with {target.minutes - 10:g} min {'' if others else 'a day '}{_share(plan.fewer)}")
    told = ", ".join(others)
    yield f"{told[0].upper()}{told[1:]}."
    if spent := planned.candidate.spent.get(planned.candidate.today):
        yield f"Reviewed today so far: {spent / 60:.0f} min."
    if planned.used < 0.95:
        yield (
            f"Lately you used {percent(planned.used)} of the minutes that you set; the days to come are planned with "
            f"{planned.used * target.minutes:.0f}."
        )


def _days(days: int) -> str:
    return count(days, "day")


def _rows(days: Sequence[Day]) -> Iterator[tuple[str, ...]]:
    """The first days one by one, later ones by the week."""
    first = list(days) if len(days) <= 2 * DAYS_SHOWN else list(days[:DAYS_SHOWN])
    for day in first:
        if day.off:
            yield (on_day(day.date), "", "", "", "off")
        else:
            yield (on_day(day.date), f"{day.minutes:.0f}", str(day.reviews), str(day.unasked), _topics([day]))
    for at in range(len(first), len(days), 7):
        week = days[at : at + 7]
        last = f" to {on_day(week[-1].date)}" if len(week) > 1 else ""
        yield (
            f"{on_day(week[0].date)}{last}",
            f"{sum(day.minutes for day in week):.0f}",
            str(sum(day.reviews for day in week)),
            str(sum(day.unasked for day in week)),
            _topics(week),
        )


def _topics(days: Sequence[Day]) -> str:
    names = dict.fromkeys(topic[-1] for day in days for topic in day.topics)
    return ", ".join(list(names)[:3])


def _limits(planned: Planned) -> Iterator[str]:
    plan = planned.plan
    if planned.unlearned:
        yield f"Can't be learned in the time: {_shares(planned.unlearned)}."
    else:
        yield "Every card can be learned in the time."
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


def show_odds(odds: Odds, paper: Paper, head: str, *, areas: bool = True) -> None:
    """The odds with their interval, the examination, the areas that cost most, and how far to trust all that."""
    if odds.high < NO_CHANCE:
        _line(f"{head}: none yet, too little of it has been learned.")
    else:
        _line(f"{head}: {percent(odds.passed)} (95 % interval {percent(odds.low)} to {percent(odds.high)}).")
    say(wrapped(f"{paper.rules}: {paper.origin}.", "  "))
    if len(rules := _rules(odds, paper)) > 1 and odds.mark_alone >= NO_CHANCE:
        say(wrapped(f"Rule by rule: {', '.join(rules)}.", "  "))
    for remark in paper.remarks:
        say(wrapped(f"{remark}.", "  "))
    if areas:
        rows = [
            (one.topic, str(one.questions), percent(one.passed), f"{100 * one.cost:.1f}")
            for one in odds.costliest
            if one.passed >= NO_CHANCE
        ]
        say()
        for text in (
            columns(rows, ("area", "questions", "chance", "costs, points"), right=(1, 2, 3)) if rows else ()
        ):
            say(text)
        if without := len(odds.areas) - len(rows):
            _line(f"No chance yet in {count(without, 'other area') if rows else 'any area'}.")
        say()
        if odds.expected >= NO_CHANCE:
            _line(f"Right answers to expect: {percent(odds.expected)}.")
    elif odds.costliest[0].cost >= 0.005:
        costly = [one for one in odds.costliest[:3] if one.cost >= 0.005]
        named = ", ".join(f"{one.topic} {100 * one.cost:.0f}" for one in costly)
        say(wrapped(f"What costs most, in points: {named}.", "  "))
    if odds.days_of_history < FEW_DAYS:
        days = _days(odds.days_of_history) if odds.days_of_history else "no day"
        say(
            wrapped(
                f"Caution: {days} of history behind these odds. Until there are {FEW_DAYS}, they rest on general "
                "experience and may be far off.",
                "  ",
            )
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


def odds_row(odds: Odds, paper: Paper, on: date) -> dict[str, object]:
    """The odds as they are written out."""
    return {
        "date": on.isoformat(),
        "pass": odds.passed,
        "low": odds.low,
        "high": odds.high,
        "days_of_history": odds.days_of_history,
        "areas": [
            {"topic": list(topic), "questions": one.questions, "pass": one.passed}
            for topic, one in zip(paper.topics, odds.areas, strict=True)
        ],
    }


def plan_row(planned: Planned) -> dict[str, object]:
    """The plan as it is written out."""
    plan, target = planned.plan, planned.target
    return {
        "on": target.on.isoformat(),
        "days": [
            {
                "date": day.date.isoformat(),
                "minutes": round(day.minutes, 1),
                "reviews": day.reviews,
                "unasked": day.unasked,
            }
            for day in planned.days
        ],
        "expected": plan.expected,
        "daily": plan.daily,
        "nothing": plan.nothing,
        "bound": plan.bound,
        "distance": plan.distance,
        "grid_error": plan.grid_error,
        "odds": odds_row(planned.odds, planned.paper, target.on),
    }
