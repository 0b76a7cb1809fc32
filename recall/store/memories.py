"""From the answers that count to what is known of a card: memory, standing, due day. One card, or all at once."""

from collections.abc import Collection, Sequence
from typing import Any

from recall.base.settings import Settings
from recall.schedule import Memory, Parameters, answered, due_day
from recall.store.core import Core
from recall.store.histories import (
    COUNTS,
    EARLIER,
    Arrays,
    Target,
    as_arrays,
    read_histories,
    read_many,
    targets_of,
)

MANY = 300
"""From so many cards on, all at once is faster than one by one."""

_UPDATE = (
    "UPDATE card SET holds = ?, difficulty = ?, last_day = ?, due = ?, standing = ?, fresh = ?, asked = ?, right = ?,"
    " first_day = ? WHERE no = ?"
)
Result = tuple[Any, ...]
"""The values of _UPDATE."""


def standing_of(qualified: bool, asked_before: bool, counts: bool, latest_right: bool) -> str:
    """Where a card stands. qualified: it was right on a later day than its first, in this epoch or an earlier one;
    asked_before: answered in an earlier epoch; counts: answered in this one."""
    if not counts and not asked_before:
        return "unasked"
    if not qualified:
        return "initial"
    return "current" if counts and latest_right else "requalifying"


def replay_alone(
    target: Target, answers: Sequence[tuple[int, int, int]], parameters: Parameters, settings: Settings
) -> Result:
    """One card. answers: (day, mark, kind) in the order of replay."""
    memory: Memory | None = None
    asked = right = 0
    first: dict[int, int] = {}
    last: dict[int, int] = {}
    qualified = latest_right = False
    for day, mark, kind in answers:
        start = first.setdefault(kind, day)
        qualified |= mark > 1 and max(day, last.get(kind, day)) > start
        if kind == COUNTS:
            if memory is None or day > memory.last_day:
                asked += 1
                right += mark > 1
            memory = answered(memory, mark, day, parameters)
            latest_right = mark > 1
        last[kind] = max(day, last.get(kind, day))
    standing = standing_of(qualified, len(first) > (COUNTS in first), memory is not None, latest_right)
    due = None
    if memory is not None:
        due = due_day(memory, settings.aim(target.critical), target.critical, parameters)
    elif first:
        due = target.renewed
    held = (None, None, None) if memory is None else (memory.holds, memory.difficulty, memory.last_day)
    fresh = int(memory is None and bool(first))
    return (*held, due, standing, fresh, asked, right, min(first.values(), default=None), target.no)


def replay_together(found: Arrays, parameters: Parameters, settings: Settings) -> list[Result]:
    """All cards at once, the same values."""
    import numpy as np

    from recall.schedule import batch

    size = len(found.targets)
    card, day, mark, kind = found.card, found.day, found.mark, found.kind
    qualified, asked_before = np.zeros(size, bool), np.zeros(size, bool)
    asked, right = np.zeros(size, np.int64), np.zeros(size, np.int64)
    first_day = np.full(size, np.iinfo(np.int64).max)
    latest_right = np.zeros(size, bool)
    for which in (EARLIER, COUNTS):
        rows = np.flatnonzero(kind == which)
        if not rows.size:
            continue
        cards, days, good = card[rows], day[rows], mark[rows] > 1
        starts = np.flatnonzero(np.diff(cards, prepend=-1))
        of = np.repeat(np.arange(len(starts)), np.diff(starts, append=len(rows)))
        first = days[starts]
        span = int(days.max()) + 1
        reached = np.maximum.accumulate(days + of * span) - of * span  # the greatest day so far of each card
        qualified[cards[starts]] |= np.logical_or.reduceat(good & (reached > first[of]), starts)
        first_day[cards[starts]] = np.minimum(first_day[cards[starts]], first)
        if which != COUNTS:
            asked_before[cards[starts]] = True
            continue
        opens = np.ones(len(rows), bool)
        opens[1:] = (reached[1:] > reached[:-1]) | (cards[1:] != cards[:-1])
        asked += np.bincount(cards[opens], minlength=size)
        right += np.bincount(cards[opens & good], minlength=size)
        latest_right[cards[starts]] = good[np.append(starts[1:], len(rows)) - 1]
    rows = np.flatnonzero(kind == COUNTS)
    memories = batch.replay(card[rows], day[rows], mark[rows], parameters, count=size)
    critical = np.array([target.critical for target in found.targets], bool)
    holds = np.where(memories.last_day < 0, 1.0, memories.holds)
    aim = np.where(critical, settings.critical_target, settings.target)
    due = memories.last_day + batch.intervals(holds, aim, critical, parameters)
    columns = zip(
        found.targets,
        *(memories.holds.tolist(), memories.difficulty.tolist(), memories.last_day.tolist(), due.tolist()),
        *(qualified.tolist(), asked_before.tolist(), latest_right.tolist()),
        *(asked.tolist(), right.tolist(), first_day.tolist()),
        strict=True,
    )
    results: list[Result] = []
    for target, held, hard, last, next_day, fit, before, well, times, good_times, begun in columns:
        counts = last >= 0
        known = counts or before
        waits = target.renewed if before else None
        memory = (held, hard, last, next_day) if counts else (None, None, None, waits)
        standing, fresh = standing_of(fit, before, counts, well), int(before and not counts)
        results.append((*memory, standing, fresh, times, good_times, begun if known else None, target.no))
    return results


def replay_cards(core: Core, ids: Collection[str] | None) -> int:
    """Compute what is known of some cards (None: all) from their events, and write it; how many cards."""
    if ids is not None and not ids:
        return 0
    targets = targets_of(core, ids)
    parameters, settings = core.parameters(), core.settings()
    if len(targets) * 5 > int(core.one("SELECT count(*) FROM card")) and len(targets) >= MANY:
        results = replay_together(read_many(core, targets), parameters, settings)
    elif len(targets) >= MANY:
        results = replay_together(as_arrays(core, targets), parameters, settings)
    else:
        own: list[list[tuple[int, int, int]]] = [[] for _ in targets]
        for one in read_histories(core, targets):
            own[one.card].append((one.day, one.mark, one.kind))
        results = [
            replay_alone(target, answers, parameters, settings)
            for target, answers in zip(targets, own, strict=True)
        ]
    core.db.executemany(_UPDATE, results)
    return len(targets)
