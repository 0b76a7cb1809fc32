"""What a class view looks like: plain text, JSON Lines, a spreadsheet's rows, a page to print."""

import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recall.base.errors import RecallError
from recall.base.text import CAUTION, count, fields_of, percent
from recall.cli.output import json_line, put, say, table

if TYPE_CHECKING:
    from recall.cohort.rates import Rate
    from recall.cohort.view import Class, TopicView, View

WEAKEST = 8
"""Topics that are shown."""


def class_at(
    folder: Path,
    key: Path | None,
    against: Path | None,
    engine: str = "duckdb",
    master: str = "",
    data: Path | None = None,
) -> "Class":
    """The class whose hand-ins lie in a folder. key: file of the class key. Raises RecallError where there is none,
    or nothing to ask it with."""
    try:
        import duckdb  # noqa: F401

        from recall.cohort.engine import Engine
        from recall.cohort.view import Class
    except ImportError:
        raise RecallError(
            "the class view needs more than is installed",
            "install it with `pip install '.[class]'` in the folder of the program",
        ) from None
    from recall.publish.sign import seed_of

    if not folder.is_dir():
        raise RecallError(f"there is no folder `{folder}`", "name the folder that the hand-ins lie in")
    return Class(folder, None if key is None else seed_of(key), against, Engine(engine, master, data))


def _text(views: "Sequence[View]", most: int) -> None:
    for number, view in enumerate(views):
        if number:
            put()
        _one(view, most)
    say(CAUTION)


def _one(view: "View", most: int) -> None:
    from recall.cohort.view import FEW

    say(view.headline)
    for notice in view.notices:
        say(notice)
    if view.whole is None:
        say(FEW)
        return
    say(
        f"Right on the first try of a day: {_share(view.whole)}. Missed most, with 95 % intervals that know how many"
        " people answered:"
    )
    put()
    topics = [(one.topic, *one.rate.in_words, _behind(one)) for one in view.topics[:WEAKEST]]
    table(topics, ("topic", "people", "missed", "interval", ""), right=(1, 2, 3))
    put()
    rows = [
        (one.named, *one.rate.in_words, one.typed[0] if one.typed else "", one.place)
        for one in view.points[:most]
    ]
    table(rows, ("point", "people", "missed", "interval", "most typed", "place"), right=(1, 2, 3))
    if view.suspects:
        put("\nWhat answers say of notes:")
        for point, why in view.suspects:
            say(f"{point.named}: {why}; {point.place}", "    ", "  ")
    if view.confusions:
        put("\nTaken for each other:")
        for card, other, people in view.confusions[:WEAKEST]:
            said = f"{card.prompt} {'; '.join(card.answer.texts)} — {other.prompt} {'; '.join(other.answer.texts)}"
            say(f"{said} ({count(people, 'person', 'people')})", "    ", "  ")
    if view.ready:
        _ready(view)


def _ready(view: "View") -> None:
    say(f"\n{view.ready_told}")
    rows = []
    for one in view.ready:
        worst = next((area for area in one.odds.costliest if area.cost > 0.005), None)
        rows.append(
            (
                view.called(one.person),
                percent(one.odds.passed),
                f"{percent(one.odds.low)} to {percent(one.odds.high)}",
                percent(one.recall),
                "" if worst is None else f"{worst.topic} ({percent(worst.passed)})",
            )
        )
    table(rows, ("person", "odds", "interval", "recall", "costs most"), right=(1, 2, 3))


def _share(rate: "Rate") -> str:
    people = count(rate.people, "person", "people")
    return f"{percent(rate.share)} ({percent(rate.low)} to {percent(rate.high)}, {people})"


def _behind(one: "TopicView") -> str:
    return "" if one.weak is None else f"behind the rest by {percent(-one.weak.by)}"


def rows_of(view: "View") -> Iterator[dict[str, Any]]:
    """Everything as rows, each with the part that it belongs to."""
    deck = view.taught.slug
    whole = {} if view.whole is None else _figures(view.whole)
    yield {"part": "class", "deck": deck, "hand_ins": len(view.people), **whole}
    for file, why in view.taken.refused:
        yield {"part": "refused", "deck": deck, "file": file, "why": why}
    for name in view.absent:
        yield {"part": "absent", "deck": deck, "name": name}
    for topic in view.topics:
        behind = {} if topic.weak is None else {"behind": -topic.weak.by}
        own = {"part": "topic", "deck": deck, "topic": topic.topic.split(" / ")}
        yield {**own, **_figures(topic.rate), **behind}
    for one in view.points:
        card = one.card
        row = {"part": "point", "deck": deck, **fields_of(card, "point", "kind"), "subject": one.named}
        row |= {**fields_of(card, "topic", "critical", "file", "line"), **_figures(one.rate)}
        if one.typed is not None:
            row |= dict(zip(("typed", "typed_by", "typed_of"), one.typed, strict=True))
        if one.doubt is not None:
            row["doubt"] = one.doubt.words
        if (drift := one.drift) is not None:
            row |= {"since": view.since, "drift": drift.by, "drift_low": drift.low, "drift_high": drift.high}
        yield row
    for (name, monday), rate in view.weeks.items():
        own = {"part": "week", "deck": deck, "topic": name.split(" / "), "week": monday.isoformat()}
        yield {**own, **_figures(rate)}
    for first, other, people in view.confusions:
        yield {"part": "confusion", "deck": deck, "card": first.id, "other": other.id, "people": people}
    for ready in view.ready:
        areas = [
            {"topic": own.topic, "questions": own.questions, "pass": own.passed} for own in ready.odds.areas
        ]
        yield {"part": "ready", "deck": deck, "person": view.called(ready.person), "pass": ready.odds.passed,
               "low": ready.odds.low, "high": ready.odds.high, "recall": ready.recall, "areas": areas}  # fmt: skip


def _figures(rate: "Rate") -> dict[str, Any]:
    return {**fields_of(rate, "people", "answers", "missed"), "low": 1 - rate.high, "high": 1 - rate.low}


def _json(views: "Sequence[View]", most: int) -> None:
    for view in views:
        for row in rows_of(view):
            json_line(row)


def _csv(views: "Sequence[View]", most: int) -> None:
    """Topics and points, as RFC 4180 has it."""
    from recall.publish.tables import as_csv

    names = ("part", "deck", "topic", "subject", "kind", "critical", "file", "line", "people", "answers", "missed",
             "low", "high", "behind", "typed", "typed_by", "typed_of", "doubt", "since", "drift")  # fmt: skip
    rows = (row for view in views for row in rows_of(view) if row["part"] in ("topic", "point"))
    lines = (
        {name: row.get(name, "") for name in names} | {"topic": " / ".join(row["topic"])} for row in rows
    )
    sys.stdout.write(as_csv(lines))


def _html(views: "Sequence[View]", most: int) -> None:
    from recall.web.pages.class_ import printed

    sys.stdout.write(printed(views))


FORMATS: "dict[str, Callable[[Sequence[View], int], None]]" = {
    "text": _text,
    "json": _json,
    "csv": _csv,
    "html": _html,
}
