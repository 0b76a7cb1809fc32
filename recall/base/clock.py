"""Time, passed in: the wall clock, a stopwatch, and the day a moment belongs to."""

import time
from datetime import date, datetime, timedelta, timezone
from typing import TYPE_CHECKING, Protocol

from recall.base.dataclass import dataclass

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


FIRST_DAY, LAST_DAY = date(1970, 1, 1), date(2199, 12, 31)
"""No event is of a day before or after, wherever home is."""


class Clock(Protocol):
    """What the program asks of time."""

    def now(self) -> datetime:
        """The present moment, UTC."""
        ...

    def ticks(self) -> float:
        """Seconds on a stopwatch that never runs backwards."""
        ...


class SystemClock:
    """The machine's own clock."""

    def now(self) -> datetime:
        """The present moment, UTC."""
        return datetime.now(timezone.utc)

    def ticks(self) -> float:
        """Seconds on a stopwatch that never runs backwards."""
        return time.monotonic()


@dataclass
class SetClock:
    """A clock that stands where it is put; for tests, rehearsals and simulations."""

    at: datetime
    seconds: float = 0.0

    def now(self) -> datetime:
        """The moment it was set to, UTC."""
        return self.at

    def ticks(self) -> float:
        """Seconds on its stopwatch."""
        return self.seconds

    def advance(self, seconds: float) -> None:
        """Let time pass, on both hands."""
        self.at += timedelta(seconds=seconds)
        self.seconds += seconds


def day_of(moment: datetime, zone: "ZoneInfo", turn_hour: int = 3) -> date:
    """The day that a moment belongs to: it turns at `turn_hour` local wall time in the home zone."""
    local = moment.astimezone(zone)
    day = local.date() if local.hour >= turn_hour else local.date() - timedelta(days=1)
    return min(max(day, FIRST_DAY), LAST_DAY)
