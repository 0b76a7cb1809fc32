"""Invented histories of a machine's runs, some with a wrong clock: what is true, and what was written."""

import random
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from itertools import combinations, pairwise

from recall.store.clocks import Run, right_runs, shifts

HOUR, DAY = 3_600_000, 86_400_000
START = int(datetime(2026, 3, 1, 9, tzinfo=timezone.utc).timestamp() * 1000)
Y2000 = int(datetime(2000, 1, 1, tzinfo=timezone.utc).timestamp() * 1000)
Y2068 = int(datetime(2068, 6, 1, tzinfo=timezone.utc).timestamp() * 1000)
WAYS = ("2000", "a year behind", "a month behind", "a day behind", "a day ahead", "a year ahead", "2068")


@dataclass(frozen=True)
class History:
    """true: runs as they were; written: as the clock said; wrong: numbers of those with a wrong clock; now: the true
    present. Moments in milliseconds."""

    true: tuple[Run, ...]
    written: tuple[Run, ...]
    wrong: frozenset[int]
    now: int


def said_by(way: str, moment: int) -> int:
    """What a clock that is wrong in some way says at a moment."""
    at = datetime(1970, 1, 1, tzinfo=timezone.utc) + timedelta(milliseconds=moment)
    years = {"a year behind": -1, "a year ahead": 1}
    if way in years:
        at = at.replace(year=at.year + years[way], day=min(at.day, 28) if at.month == 2 else at.day)
        return int(at.timestamp() * 1000)
    days = {"a month behind": -30, "a day behind": -1, "a day ahead": 1}
    if way in days:
        return moment + days[way] * DAY
    return {"2000": Y2000, "2068": Y2068}[way] + moment % DAY


def invented(rng: random.Random, most: int = 40, wrong: int | None = None) -> History:
    """A history: runs of a minute to two hours, minutes to weeks apart; 0 to 2 of them wrong; looked at a minute to
    two years later."""
    number = rng.randint(2, most)
    moment, true = START, []
    for at in range(number):
        moment += round(rng.choice((HOUR // 6, DAY, DAY, DAY, 7 * DAY)) * rng.uniform(0.5, 1.5))
        long = round(rng.uniform(HOUR / 60, 2 * HOUR))
        true.append(Run(f"{at:016x}", moment, moment + long))
        moment += long
    now = moment + round(rng.choice((HOUR / 60, DAY, 30 * DAY, 730 * DAY)) * rng.uniform(1, 1.2))
    chosen = frozenset(rng.sample(range(number), rng.randint(0, 2) if wrong is None else wrong))
    written = list(true)
    for at in chosen:
        first = said_by(rng.choice(WAYS), true[at].first)
        written[at] = Run(true[at].writer, first, first + true[at].last - true[at].first)
    return History(tuple(true), tuple(written), chosen, now)


def goes_together(runs: list[Run], now: int) -> bool:
    """The law, told anew: one after another within an hour, none above five minutes from now, none before 2020."""
    if any(run.last > now + HOUR // 12 or run.last < 1_577_836_800_000 for run in runs):
        return False
    return all(a.last <= b.last + HOUR for a, b in pairwise(runs))


def fewest(history: History) -> int:
    """How many runs must be wrong at least, by trying all."""
    numbers = range(len(history.written))
    for count in numbers:
        for left_out in combinations(numbers, count):
            if goes_together(
                [run for at, run in enumerate(history.written) if at not in left_out], history.now
            ):
                return count
    return len(history.written)


def verdict(history: History) -> str:
    """right: just the wrong runs are proposed. unseen: nothing contradicts the wrong clock, or one of two. another:
    an explanation with as few wrong runs, or fewer. false: a right run is proposed where the truth needs fewer."""
    proposed = set(range(len(history.written))) - right_runs(
        [run.last for run in history.written], history.now
    )
    if proposed == history.wrong:
        return "right"
    if proposed < history.wrong:
        return "unseen"
    return "another" if len(proposed) <= len(history.wrong) else "false"


def moved(history: History) -> list[Run]:
    """The runs as they stand once every proposal is accepted."""
    by = shifts(history.written, history.now)
    return [
        Run(run.writer, run.first + by.get(at, 0), run.last + by.get(at, 0))
        for at, run in enumerate(history.written)
    ]
