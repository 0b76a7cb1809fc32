"""Days off: weekdays, dates and runs of dates, as a person writes them."""

from datetime import date

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.errors import RecallError

_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_HELP = "write weekdays, dates and runs of dates, such as `Sun, 2026-12-24..2026-12-26`"
_RUN = re.compile(r"\s*(?:\.\.|\u2026|\u2013)\s*")


@dataclass(frozen=True, slots=True)
class DaysOff:
    """Days on which nothing is reviewed. weekdays: 0 for Monday; runs: first and last day."""

    weekdays: frozenset[int] = frozenset()
    runs: tuple[tuple[date, date], ...] = ()

    @classmethod
    def read(cls, text: str) -> "DaysOff":
        """Read a comma list; empty or `none`: no day. Raises RecallError for what is neither weekday nor date."""
        weekdays: set[int] = set()
        runs: list[tuple[date, date]] = []
        for part in (piece.strip() for piece in text.split(",")):
            if part.casefold() in ("", "none"):
                continue
            named = [at for at, name in enumerate(_WEEKDAYS) if _names(part.casefold(), name)]
            if named:
                weekdays.update(named)
                continue
            first, *rest = _RUN.split(part)
            begin, end = _day(first), _day(rest[-1] if rest else first)
            if len(rest) > 1 or end < begin:
                raise RecallError(f"`{part}` is no run of dates", _HELP)
            runs.append((begin, end))
        if len(weekdays) == len(_WEEKDAYS):
            raise RecallError("every day of the week is off", "leave a day to review on")
        return cls(frozenset(weekdays), tuple(sorted(runs)))

    def __contains__(self, day: date) -> bool:
        """Whether a day is off."""
        return day.weekday() in self.weekdays or any(first <= day <= last for first, last in self.runs)

    def __str__(self) -> str:
        """As it is read again: weekdays first, then dates in order."""
        named = [_WEEKDAYS[at][:3].capitalize() for at in sorted(self.weekdays)]
        dated = [f"{first}" if first == last else f"{first}..{last}" for first, last in self.runs]
        return ", ".join(named + dated)


def _names(word: str, weekday: str) -> bool:
    """Whether a word is a weekday, cut to three letters or more, or in the plural."""
    return len(word) >= 3 and (weekday.startswith(word) or word == weekday + "s")


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise RecallError(f"`{text}` is neither a weekday nor a date", _HELP) from None
