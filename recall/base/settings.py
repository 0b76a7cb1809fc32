"""A person's settings: names, meanings, defaults. Values come from `setting` events in the store."""

from collections.abc import Callable
from datetime import date, time
from typing import TYPE_CHECKING, Literal

from recall.base.dataclass import dataclass, fields
from recall.base.days_off import DaysOff
from recall.base.errors import RecallError

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class Settings:
    """What a person may set.

    zone: home time zone, an IANA name. turn: hour at which the day turns, 0 to 11. minutes: of an ordinary day;
    unasked: most unasked cards that it begins.
    target, critical_target: recall aimed at, 0.70 to 0.99. aircraft: what applies to this person
    (serial numbers or variants, comma-parted; empty: everything).

    checkride_on: date of the checkride (empty: none); checkride_at: its time at home; checkride_minutes: minutes a
    day until then; checkride_topics, checkride_decks: what it is about (semicolon-parted; empty: everything);
    checkride_for: what the plan is for, `odds` of passing or `recall` of all points (empty: the odds where a deck has
    a blueprint); days_off: weekdays and dates without reviews. wait_after: answers whose outcome stands until it is
    left; after others the next question is put at once.
    """

    zone: str = "UTC"
    turn: int = 3
    minutes: float = 20.0
    unasked: int = 500
    target: float = 0.90
    critical_target: float = 0.95
    aircraft: str = ""
    checkride_on: str = ""
    checkride_at: str = "09:00"
    checkride_minutes: float = 20.0
    checkride_topics: str = ""
    checkride_decks: str = ""
    checkride_for: Literal["", "odds", "recall"] = ""
    days_off: str = ""
    wait_after: Literal["wrong", "all"] = "wrong"

    @property
    def home(self) -> "ZoneInfo":
        """The home time zone."""
        from zoneinfo import ZoneInfo

        return ZoneInfo(self.zone)


MEANINGS = {
    "zone": "home time zone",
    "turn": "hour at which the day turns",
    "minutes": "minutes of an ordinary day",
    "unasked": "most unasked cards that a day begins",
    "target": "recall aimed at",
    "critical_target": "the same for critical points; unset: as the checkride asks",
    "aircraft": "your aircraft: serial numbers, variants",
    "checkride_on": "date of your checkride",
    "checkride_at": "its time at home",
    "checkride_minutes": "minutes a day until then",
    "checkride_topics": "topics it asks",
    "checkride_decks": "decks it asks",
    "checkride_for": "what the plan is for: odds of passing, or recall",
    "days_off": "days without reviews",
    "wait_after": "answers after which a review waits: wrong, or all",
}
"""What each is, in a few words."""


def setting_value(name: str, text: str) -> str | int | float:
    """Read one setting's value as typed by a person; RecallError says what would be right."""
    known = {field.name: field.type for field in fields(Settings)}
    if name not in known:
        raise RecallError(f"there is no setting named `{name}`", "settings are: " + ", ".join(known))
    if name in _WORDS:
        return _WORDS[name](text.strip())
    try:
        number = float(text)
    except ValueError:
        raise RecallError(f"`{text}` is no number", f"`{name}` takes a number") from None
    low, high, whole = _RANGES[name]
    if not low <= number <= high or (whole and number != int(number)):
        raise RecallError(f"`{text}` is out of range for `{name}`", f"use a number from {low} to {high}")
    return int(number) if whole else number


def _zone(text: str) -> str:
    from zoneinfo import available_timezones

    if text not in available_timezones():
        raise RecallError(f"`{text}` is no time zone", "use a name such as Atlantic/Reykjavik or UTC")
    return text


def _date(text: str) -> str:
    """A date in ISO 8601, or nothing."""
    if text.casefold() in ("", "none"):
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise RecallError(f"`{text}` is no date", "write it as 2027-03-31") from None


def _time(text: str) -> str:
    """A time of day, to the minute."""
    try:
        hour, minute = text.split(":")
        return f"{time(int(hour), int(minute)):%H:%M}"
    except ValueError:
        raise RecallError(f"`{text}` is no time of day", "write it as 09:00") from None


def _days_off(text: str) -> str:
    return str(DaysOff.read(text))


def _all_or(text: str) -> str:
    """Names, semicolon-parted; `none` and `all` leave nothing out."""
    return "" if text.strip().casefold() in ("none", "all") else text.strip()


def _checkride_for(text: str) -> str:
    if text.casefold() not in ("", "odds", "recall"):
        raise RecallError(f"a plan can't be for `{text}`", "write `odds` or `recall`")
    return text.casefold()


def _wait_after(text: str) -> str:
    if text.casefold() not in ("wrong", "all"):
        raise RecallError(f"`{text}` are no answers to wait after", "write `wrong` or `all`")
    return text.casefold()


_WORDS: dict[str, Callable[[str], str]] = {
    "zone": _zone,
    "aircraft": str,
    "checkride_on": _date,
    "checkride_at": _time,
    "checkride_topics": _all_or,
    "checkride_decks": _all_or,
    "checkride_for": _checkride_for,
    "days_off": _days_off,
    "wait_after": _wait_after,
}
_RANGES = {
    "turn": (0, 11, True),
    "minutes": (1, 1440, False),
    "unasked": (0, 500, True),
    "target": (0.70, 0.99, False),
    "critical_target": (0.70, 0.99, False),
    "checkride_minutes": (1, 1440, False),
}
