"""How many unasked cards a day begins: what its minutes leave, and no more than the days after it can bear."""

from collections.abc import Sequence

REVIEW, BEGIN = 1.15, 2.1
"""What a review and a first answer take with their repeats, in answers of everyday length: one review in ten is
missed and takes half as long again, as a first answer does; six in ten of those are missed."""
BACK = (0.6, 0.3, 0.3, 0.2, 0.2, 0.1, 0.1)
"""Reviews that a card begun today takes on each of the next days (simulated under the memory model, targets 0.75 to
0.90)."""
LOOK = len(BACK)
DUE_SHARE = 0.1
"""Share of a day's minutes that what is due has while cards wait to be begun (chosen by `tests/bench/targets.py`): a
card that was never seen is worth more than one that is likely known still."""


def seconds_of(each: float, reviews: float, begun: float) -> float:
    """Seconds that reviews and first answers take. each: of an answer of everyday length."""
    return each * (REVIEW * reviews + BEGIN * begun)


def first_reviews(minutes: float, each: float, due: int, unasked: int) -> int:
    """How many of the cards due come before what is to be begun: all where nothing is unasked, else as many as their
    share of the minutes holds."""
    return min(due, int(DUE_SHARE * 60.0 * minutes / seconds_of(each, 1.0, 0.0))) if unasked else due


def room(minutes: float, each: float, reviews: Sequence[float], used: float = 0.0) -> int:
    """How many cards a day may begin. reviews: due on it and on each of the days after it; used: seconds of it that
    are over. The days after it must have time for what comes before theirs and for what comes back, taken together
    from the first of them on."""
    seconds = 60.0 * minutes
    needs = [min(seconds_of(each, due, 0.0), DUE_SHARE * seconds) for due in reviews]
    most = (seconds - used - needs[0]) / seconds_of(each, 0.0, 1.0)
    there_is, back = 0.0, 0.0
    for need, again in zip(needs[1:], BACK, strict=False):
        there_is += seconds - need
        back += seconds_of(each, again, 0.0)
        most = min(most, there_is / back)
    return max(0, int(most + 1e-9))


def begun_by_day(
    minutes: float,
    each: float,
    due: Sequence[int],
    unasked: int,
    most: int,
    used: float = 0.0,
    begun: int = 0,
) -> list[int]:
    """How many cards each day begins, for all but the last LOOK of the days. due: on each day, what is overdue on the
    first; unasked: how many there are; most: a day; begun: today already."""
    reviews = [float(count) for count in due]
    found = []
    for at in range(len(due) - LOOK):
        today = at == 0
        allowed = room(minutes, each, reviews[at : at + LOOK + 1], used if today else 0.0)
        count = min(allowed, unasked, max(0, most - begun if today else most))
        for after, again in enumerate(BACK, at + 1):
            reviews[after] += count * again
        unasked -= count
        found.append(count)
    return found
