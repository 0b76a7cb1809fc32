"""A person's settings: names, meanings, defaults. Values come from `setting` events in the store."""

from dataclasses import dataclass, fields
from zoneinfo import ZoneInfo, available_timezones

from recall.base.errors import RecallError


@dataclass(frozen=True, slots=True)
class Settings:
    """What a person may set.

    zone: home time zone, an IANA name. turn: hour at which the day turns, 0 to 11. unasked: unasked cards a day.
    target, critical_target: recall aimed at, 0.70 to 0.99. aircraft: what applies to this person
    (serial numbers or variants, comma-parted; empty: everything).
    """

    zone: str = "UTC"
    turn: int = 3
    unasked: int = 20
    target: float = 0.90
    critical_target: float = 0.95
    aircraft: str = ""

    @property
    def home(self) -> ZoneInfo:
        """The home time zone."""
        return ZoneInfo(self.zone)


def setting_value(name: str, text: str) -> str | int | float:
    """Read one setting's value as typed by a person; RecallError says what would be right."""
    known = {field.name: field.type for field in fields(Settings)}
    if name not in known:
        raise RecallError(f"there is no setting named `{name}`", "settings are: " + ", ".join(known))
    if name == "aircraft":
        return text.strip()
    if name == "zone":
        if text not in available_timezones():
            raise RecallError(f"`{text}` is no time zone", "use a name such as Atlantic/Reykjavik or UTC")
        return text
    try:
        number = float(text)
    except ValueError:
        raise RecallError(f"`{text}` is no number", f"`{name}` takes a number") from None
    low, high, whole = {"turn": (0, 11, True), "unasked": (0, 500, True)}.get(name, (0.70, 0.99, False))
    if not low <= number <= high or (whole and number != int(number)):
        raise RecallError(f"`{text}` is out of range for `{name}`", f"use a number from {low} to {high}")
    return int(number) if whole else number
