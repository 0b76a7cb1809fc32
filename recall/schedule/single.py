"""One answer at a time, computed by the `fsrs` library."""

from datetime import date, datetime, time, timezone
from functools import lru_cache
from typing import TYPE_CHECKING

from recall.base.errors import RecallError
from recall.schedule.model import DEFAULT, Memory, Parameters

if TYPE_CHECKING:
    from fsrs import Scheduler


@lru_cache(maxsize=8)
def _scheduler(parameters: Parameters) -> "Scheduler":
    from fsrs import Scheduler

    try:
        return Scheduler(parameters.weights, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    except ValueError as fault:
        reason = str(fault).splitlines()[-1]
        raise RecallError(f"the memory model can't use these numbers: {reason}", "tune again") from fault


def check(parameters: Parameters) -> Parameters:
    """The parameters themselves. Raises RecallError where the library finds one out of bounds."""
    _scheduler(parameters)
    return parameters


def _noon(day: int) -> datetime:
    return datetime.combine(date.fromordinal(day), time(12), timezone.utc)


def answered(memory: Memory | None, mark: int, day: int, parameters: Parameters = DEFAULT) -> Memory:
    """The memory after an answer. mark: 1 missed, 2 hesitant, 3 sure, 4 instant; day: a day number.

    A day before the last one counts as the last one. Raises RecallError for another mark.
    """
    from fsrs import Card, Rating, State

    if mark not in (1, 2, 3, 4):
        raise RecallError(f"there is no mark {mark}", "marks are 1 missed, 2 hesitant, 3 sure, 4 instant")
    if memory is None:
        card = Card(card_id=0, due=_noon(day))
    else:
        day = max(day, memory.last_day)
        last = _noon(memory.last_day)
        card = Card(
            card_id=0,
            state=State.Review,
            stability=memory.holds,
            difficulty=memory.difficulty,
            due=last,
            last_review=last,
        )
    after, _ = _scheduler(parameters).review_card(card, Rating(mark), _noon(day))
    if after.stability is None or after.difficulty is None:
        raise RecallError("the memory model gave no memory", "report this as a fault of the program")
    return Memory(after.stability, after.difficulty, day)
