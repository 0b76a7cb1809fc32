"""A person's settings: names, meanings, defaults. Values come from `setting` events in the store."""

from collections.abc import Callable
from datetime import date, time
from typing import TYPE_CHECKING, Literal

from recall.base.dataclass import dataclass
from recall.base.days_off import DaysOff
from recall.base.errors import RecallError

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class Settings:
    """What a person may set; `SETTINGS` says what each is.

    zone: an IANA name; target, critical_target: 0 to 1; aircraft: serial numbers or variants, comma-parted;
    checkride_topics, checkride_decks: semicolon-parted; where these are empty, everything; checkride_for: where it is
    empty, the odds where a deck has a blueprint; wait_after: after other answers the next question is put at once.
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

    def aim(self, critical: bool) -> float:
        """The recall at which a card is asked again, 0 to 1."""
        return self.critical_target if critical else self.target

    @property
    def home(self) -> "ZoneInfo":
        """The home time zone."""
        from zoneinfo import ZoneInfo

        return ZoneInfo(self.zone)


def _zone(text: str) -> str:
    from zoneinfo import available_timezones

    if text not in available_timezones():
        raise RecallError(f"`{text}` is no time zone", "use a name such as Atlantic/Reykjavik or UTC")
    return text


def _date(text: str) -> str:
    if text.casefold() in ("", "none"):
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise RecallError(f"`{text}` is no date", "write it as 2027-03-31") from None


def _time(text: str) -> str:
    try:
        hour, minute = text.split(":")
        return f"{time(int(hour), int(minute)):%H:%M}"
    except ValueError:
        raise RecallError(f"`{text}` is no time of day", "write it as 09:00") from None


def _all_or(text: str) -> str:
    """Names, semicolon-parted; `none` and `all` leave nothing out."""
    return "" if text.strip().casefold() in ("none", "all") else text.strip()


def _one_of(wrong: str, *words: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text.casefold() not in words:
            raise RecallError(wrong.format(text), f"write `{words[-2]}` or `{words[-1]}`")
        return text.casefold()

    return read


SETTINGS: dict[str, tuple[str, Callable[[str], str] | tuple[float, float, bool]]] = {
    "zone": ("home time zone", _zone),
    "turn": ("hour at which the day turns", (0, 11, True)),
    "minutes": ("minutes of an ordinary day", (1, 1440, False)),
    "unasked": ("most unasked cards that a day begins", (0, 500, True)),
    "target": ("recall aimed at", (0.70, 0.99, False)),
    "critical_target": ("the same for critical points; unset: as the checkride asks", (0.70, 0.99, False)),
    "aircraft": ("your aircraft: serial numbers, variants", str),
    "checkride_on": ("date of your checkride", _date),
    "checkride_at": ("its time at home", _time),
    "checkride_minutes": ("minutes a day until then", (1, 1440, False)),
    "checkride_topics": ("topics it asks", _all_or),
    "checkride_decks": ("decks it asks", _all_or),
    "checkride_for": (
        "what the plan is for: odds of passing, or recall",
        _one_of("a plan can't be for `{}`", "", "odds", "recall"),
    ),
    "days_off": ("days without reviews", lambda text: str(DaysOff.read(text))),
    "wait_after": (
        "answers after which a review waits: wrong, or all",
        _one_of("`{}` are no answers to wait after", "wrong", "all"),
    ),
}
"""What each is, in a few words, and how it is read: lowest, highest and whether it is whole, of a number."""


def setting_value(name: str, text: str) -> str | int | float:
    """Read one setting's value as typed by a person; RecallError says what would be right."""
    if name not in SETTINGS:
        raise RecallError(f"there is no setting named `{name}`", "settings are: " + ", ".join(SETTINGS))
    _, read = SETTINGS[name]
    if not isinstance(read, tuple):
        return read(text.strip())
    try:
        number = float(text)
    except ValueError:
        raise RecallError(f"`{text}` is no number", f"`{name}` takes a number") from None
    low, high, whole = read
    if not low <= number <= high or (whole and number != int(number)):
        raise RecallError(f"`{text}` is out of range for `{name}`", f"use a number from {low} to {high}")
    return int(number) if whole else number
