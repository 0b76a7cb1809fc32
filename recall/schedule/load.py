"""How many unasked cards a day begins: what its minutes leave, and no more than the days after it can bear."""

from collections.abc import Collection, Sequence

from recall.schedule.model import DEFAULT, Parameters

REVIEW, BEGIN = 1.15, 2.1
"""What a review and a first answer take with their repeats, in answers of everyday length: one review in ten is
missed and takes half as long again, as a first answer does; six in ten of those are missed."""
BACK = (0.06, 0.02, 0.01, 0.05, 0.05, 0.02, 0.01)
"""Reviews that come first, of a card begun today, on each of the next days (simulated under the memory model, one
card in ten critical)."""
LOOK = len(BACK)
FIRST, FIRST_CRITICAL = 0.50, 0.85
"""While cards wait to be begun, what is due comes first once its recall has fallen to this: what was never seen is
worth more than what is likely known still. Chosen by `tests/bench/learning.py` over weeks and `targets.py` over a
year; with the everyday targets a new deck is begun so slowly that massed rereading is ahead."""


def first_after(critical: bool, parameters: Parameters = DEFAULT) -> float:
    """Days for each day that a card holds until it comes before what waits to be begun."""
    fallen = FIRST_CRITICAL if critical else FIRST
    return float((fallen ** (1 / parameters.decay) - 1) / parameters.factor)


def seconds_of(each: float, reviews: float, begun: float) -> float:
    """Seconds that reviews and first answers take. each: of an answer of everyday length."""
    return each * (REVIEW * reviews + BEGIN * begun)


def room(minutes: float, each: float, first: Sequence[float], used: float = 0.0) -> int:
    """How many cards a day may begin. first: reviews that come before them on it and on each of the days after it;
    used: seconds of it that are over. The days after it must have time for what comes before theirs and for what
    comes back, taken together from the first of them on."""
    seconds = 60.0 * minutes
    needs = [seconds_of(each, reviews, 0.0) for reviews in first]
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
    first: Sequence[int],
    unasked: int,
    most: int,
    used: float = 0.0,
    begun: int = 0,
    off: Collection[int] = (),
) -> list[int]:
    """How many cards each day begins, for all but the last LOOK of the days. first: reviews of each day that come
    before them; unasked: how many there are; most: a day; begun: today already; off: days that begin
    none."""
    reviews = [float(count) for count in first]
    found = []
    for at in range(len(first) - LOOK):
        today = at == 0
        allowed = room(minutes, each, reviews[at : at + LOOK + 1], used if today else 0.0)
        count = 0 if at in off else min(allowed, unasked, max(0, most - begun if today else most))
        for after, again in enumerate(BACK, at + 1):
            reviews[after] += count * again
        unasked -= count
        found.append(count)
    return found
