"""Runs of the program whose clock was wrong: found by the order in which a machine wrote them, corrected by an event,
and the correction taken back by another. No event is ever edited."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import datetime, timedelta, timezone
from itertools import pairwise
from math import inf, log1p

from recall.base.clock import day_of
from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.store.core import Core
from recall.store.events import milliseconds, moment_of
from recall.store.reports import WrongClock

_MILLISECOND = timedelta(milliseconds=1)
_DAY = timedelta(days=1) / _MILLISECOND
_YEAR = round(366 * _DAY)
AHEAD = timedelta(minutes=5) / _MILLISECOND
"""A clock may be ahead of the present by so much, in milliseconds."""
BEHIND = timedelta(hours=1) / _MILLISECOND
"""A later run of the same machine may be earlier by so much."""
BEGAN = milliseconds(datetime(2020, 1, 1, tzinfo=timezone.utc))
"""No version of this program is older: a clock that says less is wrong."""


@dataclass(frozen=True, slots=True)
class Run:
    """What one run wrote. first, last: moments in milliseconds, as corrected so far, by `moved`; events: how many;
    no: the row of the first of them."""

    writer: str
    first: int
    last: int
    events: int = 1
    moved: int = 0
    no: int = 0

    def wrong_by(self, core: Core, shift: int) -> WrongClock:
        """What to add to it as it was written, to move it by `shift` from where it counts now."""
        until, seconds = moment_of(f"{self.last - self.moved:013d}"), (self.moved + shift) / 1000
        return WrongClock(self.writer, seconds, _days(core, until, seconds), self.events, until)


def right_runs(moments: Sequence[int], now: int) -> set[int]:
    """Of runs in the order in which they were written, those whose clocks go together with one another and with the
    present: as many as can be. Of several such sets the one in which the runs lie close together, as a person's days
    do: the sum of the logarithms of the gaps is least. moments: of each run's last event, in milliseconds."""
    levels: list[list[int]] = []
    before: dict[int, int] = {}
    cost: dict[int, float] = {}
    for at, moment in enumerate(moments):
        if not BEGAN <= moment <= now + AHEAD:
            continue
        height = len(levels)
        while height and moments[levels[height - 1][-1]] > moment + BEHIND:
            height -= 1
        cost[at] = 0.0
        if height:
            # Along a level moments fall, so those that may come before stand at its end.
            cost[at] = inf
            for earlier in reversed(levels[height - 1]):
                if moments[earlier] > moment + BEHIND:
                    break
                if (sum_ := cost[earlier] + _apart(moments[earlier], moment)) < cost[at]:
                    cost[at], before[at] = sum_, earlier
        if height == len(levels):
            levels.append([])
        levels[height].append(at)
    if not levels:
        return set()
    found = {last := min(levels[-1], key=lambda at: cost[at] + _apart(moments[at], now))}
    while last in before:
        found.add(last := before[last])
    return found


def _apart(earlier: int, later: int) -> float:
    return log1p(max(0, later - earlier) / _DAY)


def shifts(runs: Sequence[Run], now: int) -> dict[int, int]:
    """By how much to move each run whose clock was wrong: number in order → milliseconds.

    The true moment lies between the runs before and after. Of what lies there a wrong year is likeliest (the same
    date in the right one), unless the clock had lost its date; else the middle. Runs that were wrong one after
    another are moved together where they fit.
    """
    right = right_runs([run.last for run in runs], now)
    bounds = [-1, *sorted(right), len(runs)]
    found: dict[int, int] = {}
    for index, (left, next) in enumerate(pairwise(bounds)):
        if not (wrong := list(range(left + 1, next))):
            continue
        # A run that ended later may have begun before.
        began = [runs[at].first for at in bounds[index + 1 : -1] if runs[at].no < runs[wrong[0]].no]
        low = max([*began, *(runs[at].last for at in [left] if at >= 0)], default=None)
        # A run may overlap the next one that is right, which began before it ended.
        high = max(runs[next].first if next < len(runs) else now, low or 0)
        ordered = all(runs[a].last <= runs[b].first for a, b in pairwise(wrong))
        room = _YEAR if low is None else high - low
        together = ordered and runs[wrong[-1]].last - runs[wrong[0]].first <= room
        for some in [wrong] if together else [[at] for at in wrong]:
            shift = _shift(runs[some[0]].first, runs[some[-1]].last, low, high)
            found |= dict.fromkeys(some, shift)
            low = runs[some[-1]].last + shift
    return found


def _shift(first: int, last: int, low: int | None, high: int) -> int:
    """Where to move what was written from `first` to `last`, so that it lies between `low` (None: at any time) and
    `high`."""
    there = _whole_years(last, high - _YEAR if low is None else low, high) if last >= BEGAN else ()
    years = [shift for shift in there if low is None or first + shift >= low]
    if years:
        return min(years, key=abs)
    spare = 0 if low is None else max(0, (high - low) - (last - first)) // 2
    return high - spare - last


def _whole_years(moment: int, low: int, high: int) -> Iterator[int]:
    """Shifts that take a moment to the same date and time of another year, between two moments."""
    at = moment_of(f"{moment:013d}")
    for year in range(moment_of(f"{max(0, low):013d}").year, moment_of(f"{max(0, high):013d}").year + 1):
        with suppress(ValueError):
            if low <= (there := milliseconds(at.replace(year=year))) <= high:
                yield there - moment


def runs_of(core: Core, asked: str = "") -> dict[str, list[Run]]:
    """The runs of each machine in the order in which they ended, as corrected so far; without those of which the
    person said that their clock was right, but with the one that is asked for."""
    corrections, settled = core.corrections(), set(deciding(core))
    machines: dict[str, list[Run]] = {}
    for writer, first, last, events, no in core.rows(
        "SELECT writer, min(at), max(at), count(*), min(no) FROM event GROUP BY writer ORDER BY max(no)"
    ):
        moved, _ = corrections.get(writer, (0, 0))
        if moved or writer not in settled or writer == asked:
            machines.setdefault(writer[:6], []).append(
                Run(writer, first + moved, last + moved, events, moved, no)
            )
    return machines


def wrong_clocks(core: Core, asked: str = "") -> Iterator[WrongClock]:
    """Runs whose clock was ahead or behind, by the explanation with the fewest of them: each machine wrote its runs
    one after another, none later than now. What was decided isn't proposed again, but of a run that is asked for."""
    now = milliseconds(core.clock.now())
    if now < BEGAN:
        return
    settled = deciding(core).keys() - {asked}
    for runs in runs_of(core, asked).values():
        for at, shift in shifts(runs, now).items():
            if runs[at].writer not in settled:
                yield runs[at].wrong_by(core, shift)


def corrected(core: Core) -> list[WrongClock]:
    """The corrections in force."""
    runs = (run for each in runs_of(core).values() for run in each)
    return [run.wrong_by(core, 0) for run in runs if run.moved]


def present_doubted(core: Core) -> Iterator[str]:
    """Why it is rather this computer's clock that is wrong, now."""
    now = core.clock.now()
    said = f"{now:%Y-%m-%d %H:%M} UTC"
    runs = [run for each in runs_of(core).values() for run in each]
    later = sum(run.last > milliseconds(now) + AHEAD for run in runs)
    if milliseconds(now) < BEGAN:
        yield f"clock: this computer's clock says {said}; set it, then run `recall doctor` again"
    elif later * 2 > len(runs) and later > 1:
        yield (
            f"clock: {later} of {len(runs)} runs are later than this computer's clock, {said}; set it where it is "
            "wrong, and correct those runs only where it is right"
        )


def deciding(core: Core) -> dict[str, tuple[str, float, int]]:
    """The correction that counts for each run: its event, seconds and days to add to what was written.

    A correction names those that it was made instead of. Where two devices corrected one run without knowing of each
    other, the last counts, and neither is added to the other.
    """
    made: dict[str, list[tuple[str, float, int]]] = {}
    replaced: set[str] = set()
    for event, plain in core.told("clock corrected"):
        made.setdefault(plain["of"], []).append((event, plain["shift"], plain["days"]))
        replaced.update(plain.get("instead", ()))
    left = {run: [each for each in some if each[0] not in replaced] for run, some in made.items()}
    return {run: max(some) for run, some in left.items() if some}


def take_corrections(core: Core) -> None:
    """Write the corrections that count into their table, which is empty; inside a transaction."""
    core.db.executemany(
        "INSERT INTO correction VALUES (?, ?, ?)",
        [(run, round(seconds * 1000), days) for run, (_, seconds, days) in deciding(core).items() if seconds],
    )


def correct_clock(core: Core, writer: str, seconds: float) -> None:
    """Note that a run's clock was wrong: its events count `seconds` later than they say (earlier where negative), and
    its days as many days as its last moment moves by at home. 0 takes a correction back."""
    from recall.store.derive import rebuild

    last = core.one("SELECT max(at) FROM event WHERE writer = ?", [writer])
    if last is None:
        raise RecallError(
            f"there is no run `{writer}`", "`recall doctor` names the runs whose clock was wrong"
        )
    with core.writing():
        fields = {"of": writer, "shift": seconds, "days": _days(core, moment_of(f"{last:013d}"), seconds)}
        known = sorted(event for event, plain in core.told("clock corrected") if plain["of"] == writer)
        core.append("clock corrected", fields | ({"instead": known} if known else {}))
        rebuild(core)


def take_back(core: Core, writer: str) -> None:
    """Take the correction of a run's clock back: its events count as they say again, and it isn't proposed anew."""
    if writer not in core.corrections():
        raise RecallError(f"no correction of `{writer}` is in force", "`recall doctor` names those that are")
    correct_clock(core, writer, 0)


def _days(core: Core, moment: datetime, seconds: float) -> int:
    """By how many days at home a moment moves."""
    settings = core.settings()
    moved = moment + timedelta(seconds=seconds)
    return (day_of(moved, settings.home, settings.turn) - day_of(moment, settings.home, settings.turn)).days
