"""What a class view looks like: plain text, JSON Lines, a spreadsheet's rows, a page to print."""

import sys
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from recall.base.text import CAUTION, count, percent
from recall.cli.output import columns, json_line, say, wrapped

if TYPE_CHECKING:
    from recall.cohort.rates import Rate
    from recall.cohort.view import PointView, TopicView, View

WEAKEST = 8
"""Topics that are shown."""


def _text(views: "Sequence[View]", most: int) -> None:
    for number, view in enumerate(views):
        if number:
            say()
        for line in _lines(view, most):
            say(line)
    say(CAUTION)


def _lines(view: "View", most: int) -> Iterator[str]:
    taught = view.taught
    title = taught.record.get("title") or taught.slug
    revision = f", revision {taught.revisions[-1]}" if taught.revisions else ""
    answers = sum(each.answers for each in view.people)
    yield wrapped(f"{title}{revision}: {count(len(view.people), 'hand-in')} with {count(answers, 'answer')}.")
    yield from _taken(view)
    if view.whole is None:
        yield wrapped("Fewer than five people answered: any figure would tell of one of them.")
        return
    yield wrapped(
        f"Right on the first try of a day: {_share(view.whole)}. Missed most, with 95 % intervals that know how many"
        " people answered:"
    )
    yield ""
    rows = [_topic(one) for one in view.topics[:WEAKEST]]
    yield from columns(rows, ("topic", "people", "missed", "interval", ""), right=(1, 2, 3), path=0)
    yield ""
    rows = [_point(one) for one in view.points[:most]]
    yield from columns(
        rows, ("point", "people", "missed", "interval", "most typed", "place"), right=(1, 2, 3)
    )
    if doubtful := [one for one in view.points if one.doubt is not None]:
        yield ""
        yield "Look at these notes:"
        for one in doubtful:
            yield wrapped(f"{one.named} is {one.doubt.words}: {_place(view, one)}", "    ", "  ")  # type: ignore[union-attr]
    if drifted := [one for one in view.points if one.drift is not None]:
        yield ""
        yield wrapped(f"Answered otherwise since revision {view.since}:")
        for one in drifted:
            by = one.drift
            assert by is not None
            yield wrapped(
                f"{one.named}: right {one.way} often, by {percent(abs(by.by))} of answers"
                f" ({percent(by.low)} to {percent(by.high)}); {_place(view, one)}", "    ", "  ",
            )  # fmt: skip
    if view.confusions:
        yield ""
        yield "Taken for each other:"
        for card, other, people in view.confusions[:WEAKEST]:
            said = f"{card.prompt} {'; '.join(card.answer.texts)} — {other.prompt} {'; '.join(other.answer.texts)}"
            yield wrapped(f"{said} ({count(people, 'person', 'people')})", "    ", "  ")
    yield from _ready(view)


def _taken(view: "View") -> Iterator[str]:
    taken = view.taken
    for file, why in taken.refused:
        yield wrapped(f"Not taken: {file} {why}.")
    if taken.waiting:
        yield wrapped(f"Not opened yet, name the class key with --key: {', '.join(taken.waiting)}.")
    if taken.older:
        yield wrapped(f"Passed over, since a newer one is here: {', '.join(taken.older)}.")
    if view.absent:
        yield wrapped(f"Nothing yet from: {', '.join(view.absent)}.")


def _ready(view: "View") -> Iterator[str]:
    if not view.ready or view.on is None:
        return
    from recall.cohort.ready import paper

    yield ""
    yield wrapped(
        f"Ready on {view.on:%d %B %Y}, without another review ({paper(view.taught).rules}). Odds assume these"
        " cards in these words, marks that are true, and a memory that follows the model."
    )
    rows = []
    for one in sorted(view.ready, key=lambda one: one.odds.passed):
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
    yield from columns(rows, ("person", "odds", "interval", "recall", "costs most"), right=(1, 2, 3))


def _share(rate: "Rate") -> str:
    people = count(rate.people, "person", "people")
    return f"{percent(rate.share)} ({percent(rate.low)} to {percent(rate.high)}, {people})"


def _topic(one: "TopicView") -> tuple[str, ...]:
    weak = "" if one.weak is None else f"behind the rest by {percent(-one.weak.by)}"
    return (one.topic, *one.rate.in_words, weak)


def _place(view: "View", one: "PointView") -> str:
    return f"{view.taught.place(one.card)}:{one.card.line}"


def _point(one: "PointView") -> tuple[str, ...]:
    typed = "" if one.typed is None else one.typed[0]
    return (one.named, *one.rate.in_words, typed, f"{one.card.file}:{one.card.line}")


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
        yield {
            "part": "topic",
            "deck": deck,
            "topic": topic.topic.split(" / "),
            **_figures(topic.rate),
            **behind,
        }
    for one in view.points:
        card = one.card
        row = {"part": "point", "deck": deck, "point": card.point, "kind": card.kind, "subject": one.named,
               "topic": list(card.topic), "critical": card.critical, "file": card.file, "line": card.line,
               **_figures(one.rate)}  # fmt: skip
        if one.typed is not None:
            row |= dict(zip(("typed", "typed_by", "typed_of"), one.typed, strict=True))
        if one.doubt is not None:
            row["doubt"] = one.doubt.words
        if one.drift is not None:
            row |= {
                "since": view.since,
                "drift": one.drift.by,
                "drift_low": one.drift.low,
                "drift_high": one.drift.high,
            }
        yield row
    for topic_name, monday, rate in view.weeks:
        yield {
            "part": "week",
            "deck": deck,
            "topic": topic_name.split(" / "),
            "week": monday.isoformat(),
            **_figures(rate),
        }
    for first, other, people in view.confusions:
        yield {"part": "confusion", "deck": deck, "card": first.id, "other": other.id, "people": people}
    for ready in view.ready:
        areas = [
            {"topic": own.topic, "questions": own.questions, "pass": own.passed} for own in ready.odds.areas
        ]
        yield {"part": "ready", "deck": deck, "person": view.called(ready.person), "pass": ready.odds.passed,
               "low": ready.odds.low, "high": ready.odds.high, "recall": ready.recall, "areas": areas}  # fmt: skip


def _figures(rate: "Rate") -> dict[str, Any]:
    return {
        "people": rate.people,
        "answers": rate.answers,
        "missed": rate.missed,
        "low": 1 - rate.high,
        "high": 1 - rate.low,
    }


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
    from recall.cohort.page import class_page

    sys.stdout.write(class_page(views))


FORMATS: "dict[str, Callable[[Sequence[View], int], None]]" = {
    "text": _text,
    "json": _json,
    "csv": _csv,
    "html": _html,
}
