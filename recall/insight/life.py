"""A card's life as a curve: recall from day to day, and what each answer did to it."""

from collections.abc import Iterator, Sequence
from datetime import tzinfo
from itertools import pairwise

from recall.base.dataclass import dataclass
from recall.base.marks import MARKS, Mark
from recall.base.settings import Settings
from recall.base.text import percent
from recall.schedule.model import DEFAULT, Memory, Parameters, recall_at
from recall.store import Known
from recall.store.reports import Entry

STEPS = 24
"""Points of a curve from one answer to the next, closer where it falls faster."""
CLEARED = ("changed", "loaded")
"""What takes a memory away."""
STANDINGS = {
    "unasked": "unasked",
    "initial": "initial (not yet right on a later day)",
    "current": "current",
    "requalifying": "requalifying (missed or changed since it was current)",
}


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer on the curve. day: its number; recall: just before it, None for a first one."""

    day: int
    recall: float | None
    mark: Mark


@dataclass(frozen=True, slots=True)
class Life:
    """curves: recall by day, pieces from one answer to the next, each of (day number, 0 to 1); answers: those that
    the memory rests on, the first of each day; first, last: days that it spans."""

    curves: tuple[tuple[tuple[float, float], ...], ...]
    answers: tuple[Answered, ...]
    first: int
    last: int


def life(entries: Sequence[Entry], until: int, parameters: Parameters = DEFAULT) -> Life | None:
    """The curve of a card's entries, in order. until: the day number to which it is drawn; None where nothing was
    answered that a memory rests on."""
    days: dict[int, tuple[float, Mark]] = {}
    cleared: list[int] = []
    firsts: dict[int, Mark] = {}
    for entry in entries:
        day = entry.day.toordinal()
        if entry.counts and entry.holds is not None and entry.mark is not None:
            firsts.setdefault(day, MARKS[entry.mark - 1])
            days[day] = (entry.holds, firsts[day])
        elif entry.what in CLEARED:
            cleared.append(day)
    if not days:
        return None
    curves, answers = [], []
    order = [*sorted(days), max(until, max(days) + 1)]
    before: Memory | None = None
    for day, following in pairwise(order):
        holds, mark = days[day]
        known = before is not None and not any(before.last_day < at <= day for at in cleared)
        told = recall_at(before, day - before.last_day, parameters) if known and before else None
        answers.append(Answered(day, told, mark))
        before = Memory(holds, 5.0, day)
        end = min([following, *(at for at in cleared if day < at)])
        steps = [day + (end - day) * (step / STEPS) ** 2 for step in range(STEPS + 1)]
        curves.append(tuple((at, recall_at(before, at - day, parameters)) for at in steps))
    return Life(tuple(curves), tuple(answers), order[0], order[-1])


def standing_told(known: Known, settings: Settings) -> Iterator[str]:
    """Where a card is, how long it holds, and when it is asked again."""
    yield f"Standing: {STANDINGS[known.standing]}."
    if known.memory and known.due:
        yield (
            f"Holds {known.memory.holds:.1f} days; due {known.due.isoformat()}: asked again when recall is about to "
            f"fall below {percent(settings.aim(known.critical))}."
        )


def entry_told(entry: Entry, home: tzinfo) -> tuple[str, ...]:
    """When at home, what, mark, words given, days it holds: empty where there is nothing to say."""
    return (
        f"{entry.at.astimezone(home):%Y-%m-%d %H:%M}",
        entry.what + (f" revision {entry.revision}" if entry.revision and entry.mark is None else ""),
        "" if entry.mark is None else MARKS[entry.mark - 1],
        entry.given or entry.note,
        "" if entry.holds is None else f"{entry.holds:.1f}",
    )
