"""A mark proposed from a person's own pace."""

from collections.abc import Sequence

from recall.base.marks import Mark

ENOUGH = 20


def proposed(right: bool, seconds: float | None, past: Sequence[float]) -> Mark:
    """The mark for an answer. seconds: to the first key or the reveal, None where no time was measured; past: the
    person's times for right answers of that kind. Slowest quarter `hesitant`, quickest quarter `instant`; `sure`
    until there are 20."""
    if not right:
        return "missed"
    if seconds is None or len(past) < ENOUGH:
        return "sure"
    ordered = sorted(past)
    quick = ordered[(len(ordered) - 1) // 4]
    slow = ordered[(3 * (len(ordered) - 1) + 3) // 4]
    if quick == slow:
        return "sure"
    if seconds >= slow:
        return "hesitant"
    return "instant" if seconds <= quick else "sure"
