"""What a card costs in seconds, from one answer to the next: the person's own times, by kind, under a prior."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Literal

from recall.base.dataclass import dataclass
from recall.store import Store
from recall.store.answers import Answer, newest_answers
from recall.store.query import USUAL_SECONDS

EVERYDAY_SECONDS = USUAL_SECONDS

Turn = Literal["right", "first", "missed", "again"]
"""A right answer to a card asked on an earlier day; a first answer; a missed one; a repeat on the same day."""

USUAL: dict[Turn, float] = {
    "right": EVERYDAY_SECONDS,
    "first": 1.5 * EVERYDAY_SECONDS,
    "missed": 1.5 * EVERYDAY_SECONDS,
    "again": EVERYDAY_SECONDS,
}
PRIOR = 10
"""The usual seconds weigh like so many answers of the person's own."""
PAUSE = 120.0
"""A longer time between two answers is a pause, not work."""
LEAST, MOST = 2.0, 240.0
_OF_A_DAY = 2_000
"""More answers than anybody gives on a day."""


@dataclass(frozen=True, slots=True)
class Effort:
    """Seconds of a turn, by kind where the person has answered it, and for all kinds."""

    by_kind: Mapping[tuple[str, Turn], float]
    overall: Mapping[Turn, float]

    def of(self, kind: str, turn: Turn) -> float:
        """Seconds of one turn at a card of a kind."""
        return self.by_kind.get((kind, turn), self.overall[turn])

    def first(self, kind: str, right: float) -> float:
        """Seconds of a first answer with its repeat where it is missed. right: the chance that it isn't."""
        return self.of(kind, "first") + (1.0 - right) * self.of(kind, "again")

    def missed(self, kind: str) -> float:
        """Seconds of a missed answer with its repeat."""
        return self.of(kind, "missed") + self.of(kind, "again")


def spent_by_day(answers: Iterable[Answer]) -> defaultdict[date, float]:
    """Seconds that went into the timed answers of each day, mock orals left out: from one answer to the next, the
    everyday ones where a run begins or after a pause. All that is said of minutes used is this count."""
    spent: defaultdict[date, float] = defaultdict(float)
    for one, gap in gaps(answers):
        if one.mode != "oral" and one.seconds is not None:
            spent[one.day] += EVERYDAY_SECONDS if gap is None else gap
    return spent


def worked(gap: float) -> float:
    """Seconds that count of those between two answers: of a pause the everyday ones."""
    return gap if gap <= PAUSE else EVERYDAY_SECONDS


def spent_on(store: Store, day: date) -> float:
    """Seconds used on a day near the present."""
    return spent_by_day(newest_answers(store, _OF_A_DAY, day - timedelta(days=1)))[day]


def gaps(answers: Iterable[Answer]) -> list[tuple[Answer, float | None]]:
    """Each answer with the seconds since the one before it in the same run; None where those say nothing."""
    ordered = list(answers)
    found: list[tuple[Answer, float | None]] = [(one, None) for one in ordered[:1]]
    for before, one in pairwise(ordered):
        gap = (one.at - before.at).total_seconds()
        counts = before.writer == one.writer and one.seconds is not None and 0.0 < gap <= PAUSE
        found.append((one, gap if counts else None))
    return found


def effort_of(answers: Sequence[Answer], first_days: Mapping[str, date | None]) -> Effort:
    """Seconds by kind and turn. answers: oldest first; first_days: the day on which each card was asked first."""
    times: dict[tuple[str, Turn], list[float]] = defaultdict(list)
    last_day: dict[str, date] = {}
    for one, gap in gaps(answers):
        turn: Turn = "missed" if one.mark == 1 else "right"
        if last_day.get(one.card) == one.day:
            turn = "again"
        elif first_days.get(one.card) == one.day:
            turn = "first"
        last_day[one.card] = one.day
        if gap is not None:
            times[one.kind, turn].append(gap)
    together: dict[Turn, list[float]] = {turn: [] for turn in USUAL}
    for (_, turn), own in times.items():
        together[turn] += own
    overall = {turn: _blend(together[turn], usual) for turn, usual in USUAL.items()}
    return Effort({key: _blend(own, overall[key[1]]) for key, own in times.items()}, overall)


def _blend(own: Sequence[float], usual: float) -> float:
    if not own:
        return usual
    from statistics import median

    blended = (len(own) * median(own) + PRIOR * usual) / (len(own) + PRIOR)
    return min(max(blended, LEAST), MOST)
