"""What a plan and the odds look like: plain text, at most as wide as the terminal."""

from collections.abc import Iterable, Iterator
from datetime import date

from recall.base.text import CAUTION, fields_of, percent
from recall.checkride.odds import Odds
from recall.cli.bars import picture
from recall.cli.output import put, say, table, width
from recall.session.paper import Paper
from recall.session.plan_told import (
    LINES,
    Span,
    area_rows,
    areas_told,
    headline,
    history_told,
    limits,
    odds_told,
    on_day,
    spans,
)
from recall.session.planned import Planned


def show_plan(planned: Planned, *, kept: bool) -> None:
    """The whole screen. kept: the plan is set, so that reviews can follow it."""
    for text in headline(planned):
        say(text)
    say()
    say("Recall from day to day:")
    lines = [(name, own.tolist()) for name, own in zip(LINES, planned.plan.rise, strict=True)]
    ends = (on_day(planned.candidate.today), on_day(planned.target.on))
    for text in picture(lines, ends, width()):
        put(text)
    say()
    names = ("day", "min", "to review", "to begin", "main topics")
    table(_rows(spans(planned.days)), names, right=(1, 2, 3))
    say()
    for text in limits(planned):
        say(text)
    show_odds(planned.odds, planned.paper, "Odds of passing with the plan followed", areas=False)
    say("Follow it: recall review --for-checkride" if kept else "Not kept. To follow it, leave out --try.")
    say(CAUTION)


def _rows(days: Iterable[Span]) -> Iterator[tuple[str, ...]]:
    for day in days:
        off = day.minutes is None
        numbers = ("", "", "") if off else (f"{day.minutes:.0f}", str(day.reviews), str(day.unasked))
        yield (day.when, *numbers, day.topics)


def show_odds(odds: Odds, paper: Paper, head: str, *, areas: bool = True) -> None:
    """The odds with their interval, the examination, the areas that cost most, and how far to trust all that."""
    for line in odds_told(odds, paper, head, areas=areas):
        say(line.text, "" if line.role == "head" else "  ")
    if areas:
        heads = ("area", "questions", "chance", "costs, points")
        rows = [
            (one.topic, str(one.questions), percent(one.passed), f"{100 * one.cost:.1f}")
            for one in area_rows(odds)
        ]
        say()
        table(rows, heads, right=(1, 2, 3))
        for text in areas_told(odds):
            say(text)
    if told := history_told(odds):
        say(told, "  ")


def odds_row(odds: Odds, paper: Paper, on: date) -> dict[str, object]:
    """The odds as they are written out."""
    return {
        "date": on,
        "pass": odds.passed,
        **fields_of(odds, "low", "high", "days_of_history"),
        "areas": [
            {"topic": list(topic), "questions": one.questions, "pass": one.passed}
            for topic, one in zip(paper.topics, odds.areas, strict=True)
        ],
    }


def plan_row(planned: Planned) -> dict[str, object]:
    """The plan as it is written out."""
    plan, target = planned.plan, planned.target
    return {
        "on": target.on,
        "days": [
            {"date": day.date, "minutes": round(day.minutes, 1), **fields_of(day, "reviews", "unasked")}
            for day in planned.days
        ],
        **fields_of(plan, "expected", "daily", "nothing", "bound", "distance", "grid_error"),
        "odds": odds_row(planned.odds, planned.paper, target.on),
    }
