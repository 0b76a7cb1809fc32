"""A class view as a page to print: one HTML file that needs nothing else, every word of a note escaped."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from html import escape
from importlib.resources import files

from recall.base.text import CAUTION, count, percent, shown
from recall.cohort.rates import Rate
from recall.cohort.view import PointView, View

_HEAT = """.heat td { text-align: right; } .heat td[style] { color: #14161a; }
.bar { display: inline-block; height: .6rem; background: var(--line); vertical-align: middle; }
"""
WEEKS = 16
"""The newest weeks that are shown."""


def class_page(views: Sequence[View]) -> str:
    """The whole file."""
    style = files("recall.publish").joinpath("sheet.css").read_text(encoding="utf-8") + _HEAT
    edge = f'<div class="edge"><b>{_text(CAUTION)}</b></div>'
    body = "".join(part for view in views for part in class_parts(view))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f"<title>What the class knows</title>\n<style>\n{style}</style>\n</head>\n<body>\n{edge}\n<main>\n{body}"
        f"</main>\n{edge}\n</body>\n</html>\n"
    )


def class_parts(view: View) -> Iterator[str]:
    """The parts of a page about one deck."""
    title = str(view.taught.record.get("title") or view.taught.slug)
    yield f"<h1>{_text(title)}</h1>\n<p>{_text(count(len(view.people), 'hand-in'))}"
    if view.whole is None:
        yield ". Fewer than five people answered: any figure would tell of one of them.</p>\n"
        return
    yield f", right on the first try of a day: {percent(view.whole.share)}. Intervals hold for 95 %.</p>\n"
    if view.absent:
        yield f"<p>Nothing yet from: {_text(', '.join(view.absent))}.</p>\n"
    yield "<h2>Topics, most missed first</h2>\n"
    yield _table(
        ("Topic", "People", "Missed", "Interval", "Behind the rest"),
        (
            (one.topic, *one.rate.in_words, "" if one.weak is None else percent(-one.weak.by))
            for one in view.topics
        ),
    )
    yield from _heat(view)
    yield "<h2>Points, most missed first</h2>\n"
    yield _table(
        ("Point", "People", "Missed", "Interval", "Most typed", "Look at the note", "Place"),
        (_point(view, one) for one in view.points),
    )


def _point(view: View, one: PointView) -> tuple[str, ...]:
    card = one.card
    typed = "" if one.typed is None else one.typed[0]
    doubt = "" if one.doubt is None else one.doubt.words
    if one.drift is not None:
        drifted = f"right {one.way} often since revision {view.since} ({percent(abs(one.drift.by))})"
        doubt = f"{doubt}; {drifted}" if doubt else drifted
    return (one.named, *one.rate.in_words, typed, doubt, f"{view.taught.place(card)}:{card.line}")


def _heat(view: View) -> Iterator[str]:
    """Topic by week: share missed, darker where it is more; the figure stands in each cell."""
    weeks = sorted({week for _, week, _ in view.weeks})[-WEEKS:]
    if len(weeks) < 2:
        return
    rates: dict[tuple[str, date], Rate] = {(topic, week): rate for topic, week, rate in view.weeks}
    yield '<h2>Missed by topic and week</h2>\n<table class="t heat">\n<thead><tr><th>Topic</th>'
    yield "".join(f"<th>{week:%d %b}</th>" for week in weeks) + "</tr></thead>\n<tbody>\n"
    for topic in view.topics:
        cells = []
        for week in weeks:
            rate = rates.get((topic.topic, week))
            cells.append(
                "<td></td>"
                if rate is None
                else f'<td style="background:{_shade(rate.missed)}">{percent(rate.missed)}</td>'
            )
        yield f"<tr><td>{_text(topic.topic)}</td>{''.join(cells)}</tr>\n"
    yield "</tbody>\n</table>\n"


def _shade(missed: float) -> str:
    """From white to a middle amber; black on it keeps a contrast of 8 to 1."""
    part = min(max(missed, 0.0), 0.5) * 2
    return f"rgb(255,{255 - round(80 * part)},{255 - round(190 * part)})"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{_text(one)}</th>" for one in heads)
    body = "".join(
        "<tr>"
        + "".join(
            f'<td data-head="{_text(name)}">{_text(cell)}</td>' for name, cell in zip(heads, row, strict=True)
        )
        + "</tr>\n"
        for row in rows
    )
    return f'<table class="t">\n<thead><tr>{head}</tr></thead>\n<tbody>\n{body}</tbody>\n</table>\n'


def _text(text: str) -> str:
    return escape(shown(text), quote=True)
