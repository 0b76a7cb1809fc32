"""Points that were missed most, and answers that were given for one another."""

from collections import defaultdict

from recall.base.dataclass import dataclass
from recall.insight.rates import wilson
from recall.kinds.model import Card
from recall.store import Known, Store
from recall.store.model import Confusion


@dataclass(frozen=True, slots=True)
class MissedPoint:
    """A point by its first answers of each day. card: the side that was missed most; low, high: 95 % interval of the
    share of misses."""

    point: str
    card: Card
    misses: int
    answers: int
    low: float
    high: float


def missed_points(store: Store, most: int) -> list[MissedPoint]:
    """The points missed most, by the lower end of the interval of their misses: one slip alone doesn't lead."""
    sides: dict[str, list[Known]] = defaultdict(list)
    for known in store.cards():
        if known.asked:
            sides[known.point].append(known)
    counted = []
    for point, own in sides.items():
        answers = sum(side.asked for side in own)
        if misses := answers - sum(side.right for side in own):
            worst = max(own, key=lambda side: side.asked - side.right)
            counted.append((*wilson(misses, answers), misses, answers, point, worst.id))
    counted.sort(key=lambda one: (-one[0], -one[2], one[4]))
    return [
        MissedPoint(point, store.card(card), misses, answers, low, high)
        for low, high, misses, answers, point, card in counted[:most]
    ]


def confused(store: Store, most: int) -> list[tuple[Card, Card, Confusion]]:
    """The most frequent confusions: the card that was asked, and the one whose answer was given for it."""
    return [(store.card(one.card), store.card(one.other), one) for one in store.confusions()[:most]]
