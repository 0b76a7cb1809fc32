"""The load of the days ahead: what is due, what comes before unasked cards, how many of those each day begins."""

from collections import Counter
from collections.abc import Iterable, Mapping

from recall.base.days_off import DaysOff
from recall.schedule import Parameters
from recall.schedule.load import LOOK, begun_by_day, first_after, seconds_of
from recall.store.answers import not_right_yet
from recall.store.core import Core, days_from
from recall.store.model import DayAhead, Known
from recall.store.query import usual_seconds


def due_by_day(core: Core, days: int) -> list[DayAhead]:
    """See `Store.due_by_day`."""
    left = int(core.one("SELECT count(*) FROM card WHERE asking = 1 AND due IS NULL"))
    again = len(not_right_yet(core, core.today()))
    return days_ahead(core, due_counts(core, days), left, days, again)


def due_counts(core: Core, days: int) -> dict[tuple[int, int], int]:
    """Cards by the number of the day on which they are due, and on which they come before unasked ones, as
    `days_ahead` takes them."""
    number, parameters = core.today().toordinal(), core.parameters()
    fallen = "last_day + 1 + CAST(holds * CASE critical WHEN 1 THEN ? ELSE ? END AS INTEGER)"
    sql = (
        f"SELECT max(due, ?), max(due, coalesce({fallen}, due), ?), count(*) FROM card"
        " WHERE asking = 1 AND due < ? AND fresh IN (0, 1) GROUP BY 1, 2"
    )
    before, late = number - 1, (first_after(True, parameters), first_after(False, parameters))
    rows = core.rows(sql, [before, *late, before, number + days + LOOK])
    return {(due, first): cards for due, first, cards in rows}


def first_day(known: Known, parameters: Parameters) -> int:
    """Number of the day on which a card that was asked comes before unasked ones."""
    due, memory = known.due.toordinal() if known.due else 0, known.memory
    if memory is None:
        return due
    return max(due, memory.last_day + 1 + int(memory.holds * first_after(known.critical, parameters)))


def counted(core: Core, cards: Iterable[Known]) -> Mapping[tuple[int, int], int]:
    """The same of some cards alone."""
    before, parameters = core.today().toordinal() - 1, core.parameters()
    return Counter(
        (max(card.due.toordinal(), before), max(first_day(card, parameters), before))
        for card in cards
        if card.due is not None
    )


def days_ahead(
    core: Core, due: Mapping[tuple[int, int], int], left: int, days: int, again: int = 0
) -> list[DayAhead]:
    """The load of days from today on. due: cards by day number (due, coming before unasked ones), the day before
    today for what is overdue; left: cards that nobody asked; again: those that were missed today and come back, for
    which the time is kept already."""
    today, settings, each = core.today(), core.settings(), usual_seconds(core)
    number = today.toordinal()
    counts, first = [0] * (days + LOOK + 1), [0] * (days + LOOK)
    for (own, before), cards in due.items():
        counts[min(own - number + 1, days + LOOK)] += cards
        if before - number < days + LOOK:
            first[max(before - number, 0)] += cards
    overdue, *counts = counts
    counts[0] += again
    days_off = DaysOff.read(settings.days_off)
    off = [at for at, day in enumerate(days_from(today, days)) if at and day in days_off]
    for at in off:  # what is due then waits for the next day
        for waits in (counts, first):
            waits[at + 1], waits[at] = waits[at + 1] + waits[at], 0
    loads = [overdue + counts[0], *counts[1:]]
    begun = int(core.one("SELECT count(*) FROM card WHERE first_day = ?", [number]))
    reviewed = int(
        core.one("SELECT count(*) FROM card WHERE last_day = ? AND first_day < ?", [number, number])
    )
    used = seconds_of(each, reviewed, begun)
    begin = begun_by_day(settings.minutes, each, first, left, settings.unasked, used, begun, off)
    return [
        DayAhead(
            day,
            overdue if at == 0 else 0,
            counts[at],
            begin[at],
            round(seconds_of(each, loads[at], begin[at]) / 60, 1),
        )
        for at, day in enumerate(days_from(today, days))
    ]
