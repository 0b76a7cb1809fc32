"""What a class says of notes, as findings at their lines."""

from collections.abc import Iterator

from recall.base.finding import Finding, Place, finding
from recall.base.text import count, percent
from recall.cohort.view import PointView, View

LEAST_MISSED = 0.25
"""A point missed less often is no finding by itself."""


def findings_of(view: View) -> list[Finding]:
    """Findings in the order of the notes: a note to be suspected, a point that many miss, one that
    drifted."""
    found = [one for point in view.points for one in _of(view, point) if point.card in view.taught.cards]
    return sorted(found, key=lambda one: (one.place.file, one.place.line, one.rule))


def _of(view: View, point: PointView) -> Iterator[Finding]:
    card, rate = point.card, point.rate
    place = Place(view.taught.place(card), card.line)
    missed = f"missed by {percent(rate.missed)} of {count(rate.people, 'person', 'people')}"
    most = f"; most typed `{point.typed[0]}`" if point.typed else ""
    if point.doubt is not None:
        yield finding(
            "doubtful-note",
            place,
            f"`{point.named}` is {point.doubt.words} ({missed}{most})",
            "check the note against the manual; then say it so that it can't be read otherwise",
        )
    elif 1 - rate.high > 0 and rate.missed >= LEAST_MISSED and 1 - rate.high >= LEAST_MISSED / 2:
        yield finding(
            "often-missed", place, f"`{point.named}` is {missed}{most}", "teach it again, or give it a `Why`"
        )
    if point.drift is not None:
        yield finding(
            "drifted",
            place,
            f"`{point.named}` is {point.drifted}",
            "read what the revision changed there" if point.drift.by < 0 else "nothing: it helped",
        )
