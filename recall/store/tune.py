"""Fit the memory model to the person's own history, and adopt it only where it foretells better."""

from typing import TYPE_CHECKING, Any

from recall.base.errors import RecallError
from recall.base.text import count
from recall.schedule import Parameters, check
from recall.store.core import Core
from recall.store.derive import note
from recall.store.histories import COUNTS, read_many, targets_of
from recall.store.reports import Tuning

if TYPE_CHECKING:
    pass

ENOUGH = 400
"""Answers on a later day than the one before that a fit needs at least."""
_HELD_OUT = 0.2
_MOST = 60_000


def tune(core: Core, *, adopt: bool = True) -> Tuning:
    """Fit the memory model to a store's history, and adopt it where it foretells the held-out last fifth better.

    Raises RecallError where the library is missing or there is too little history."""
    import numpy as np

    try:
        import fsrs_rs_python as fitting
    except ImportError as missing:
        help = "install it with `pip install '.[tune]'` in the folder of the program"
        raise RecallError("tuning needs a library that isn't installed", help) from missing
    with core.reading():
        found = read_many(core, targets_of(core, None))
        before = core.parameters()
    rows = np.flatnonzero(found.kind == COUNTS)
    card, day, mark = found.card[rows], found.day[rows], found.mark[rows]
    elapsed = np.where(np.diff(card, prepend=-1) == 0, np.diff(day, prepend=0), 0).clip(0)  # whole days
    scored = elapsed > 0
    answers = int(scored.sum())
    if answers < ENOUGH:
        raise RecallError(
            f"there is not enough history to tune: {count(answers, 'answer')} on a later day, of {ENOUGH}",
            "go on reviewing; the usual parameters do well until then",
        )
    cut = int(np.sort(day[scored])[int(answers * (1 - _HELD_OUT))])
    held_out = scored & (day >= cut)
    earlier = np.sort(day[scored & (day < cut)])[-_MOST:]
    if not earlier.size:
        raise RecallError(
            "there is not enough history to tune: all later answers are of one day",
            "go on reviewing on other days; the usual parameters do well until then",
        )
    start = int(earlier[0])
    items = _items(fitting, card, day, mark, elapsed, range(start, cut))
    fitted = fitting.FSRS(list(before.weights)).compute_parameters(items, enable_short_term=True)
    try:
        after = check(Parameters.of(fitted))
    except RecallError:
        after = before
    old, new = (log_loss(card, day, mark, held_out, parameters) for parameters in (before, after))
    better = new < old
    if better and adopt:
        said = {"parameters": list(after.weights), "answers": answers, "before": old, "after": new}
        note(core, "tuned", said)
    return Tuning(answers, int(held_out.sum()), old, new, after.weights, better and adopt)


def _items(fitting: Any, card: Any, day: Any, mark: Any, elapsed: Any, days_in: range) -> list[Any]:
    """What the library learns from: each answer of those days with all those before it."""
    items: list[Any] = []
    history: list[Any] = []
    last = -1
    for which, on, given, days in zip(
        card.tolist(), day.tolist(), mark.tolist(), elapsed.tolist(), strict=True
    ):
        if which != last:
            history, last = [], which
        history.append(fitting.FSRSReview(given, days))
        if days > 0 and on in days_in:
            items.append(fitting.FSRSItem(list(history)))
    return items


def log_loss(card: Any, day: Any, mark: Any, held_out: Any, parameters: Parameters) -> float:
    """Mean log loss of the held-out answers, each foretold from all those before it."""
    import numpy as np

    from recall.schedule import batch

    recall = batch.replay(card, day, mark, parameters).recall_before[held_out]
    recall = np.clip(recall, 1e-6, 1 - 1e-6)
    right = mark[held_out] > 1
    return float(-np.mean(np.where(right, np.log(recall), np.log(1 - recall))))
