"""The checkride that a person prepares for, as it stands in their settings: date, minutes, days off, what it asks."""

from collections.abc import Sequence
from datetime import date, time, timedelta
from typing import Literal

from recall.base.dataclass import dataclass, field, replace
from recall.base.days_off import DaysOff
from recall.base.errors import RecallError
from recall.base.settings import Settings, setting_value
from recall.store import Store

HELP = "recall plan --on DATE --minutes N"


@dataclass(frozen=True, slots=True)
class Scope:
    """Which cards are meant. decks: slugs; topics: headings; either empty: all."""

    decks: tuple[str, ...] = ()
    topics: tuple[str, ...] = ()

    def __str__(self) -> str:
        """In words."""
        return "; ".join((*self.decks, *self.topics)) or "all decks"


@dataclass(frozen=True, slots=True)
class Target:
    """on, at: when, at home; minutes: a day; aim: what for, empty: the odds where a deck has a blueprint."""

    on: date
    at: time = time(9)
    minutes: float = 20.0
    scope: Scope = field(default_factory=Scope)
    days_off: DaysOff = field(default_factory=DaysOff)
    aim: Literal["", "odds", "recall"] = ""

    @property
    def moment(self) -> float:
        """The hour of the examination as a day number with its fraction."""
        return self.on.toordinal() + share_of_day(self.at)

    def day_minutes(self, today: date) -> tuple[float, ...]:
        """Minutes of each day from today to the day before, for a date that isn't past. RecallError where no day is
        left, and for a date so far away that nothing could be planned."""
        from recall.checkride.state import near_enough

        left = (self.on - today).days
        if left == 0:
            raise RecallError(
                "the checkride is today: no day is left to plan", "`recall odds` says how you stand"
            )
        near_enough(left)
        days = [today + timedelta(days=at) for at in range(left)]
        minutes = [0.0 if day in self.days_off else self.minutes for day in days]
        if not any(minutes):
            raise RecallError(f"every day until {self.on} is off", "take fewer with --days-off")
        return tuple(minutes)


def share_of_day(at: time) -> float:
    """A time of day as a share of it, 0 to 1."""
    return (at.hour * 3600 + at.minute * 60 + at.second) / 86400.0


def _listed(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


def _joined(names: Sequence[str] | None) -> str | None:
    if names is None:
        return None
    for name in names:
        if ";" in name:
            raise RecallError(
                f"`{name}` can't be planned for: it holds a semicolon", "name the topic above it"
            )
    return "; ".join(name.strip() for name in names if name.strip())


def target_of(settings: Settings) -> Target | None:
    """The checkride that is set; None where there is none."""
    if not settings.checkride_on:
        return None
    return Target(
        date.fromisoformat(settings.checkride_on),
        time.fromisoformat(settings.checkride_at),
        settings.checkride_minutes,
        Scope(_listed(settings.checkride_decks), _listed(settings.checkride_topics)),
        DaysOff.read(settings.days_off),
        settings.checkride_for,
    )


def stored_target(store: Store) -> Target:
    """The checkride that is set. RecallError where there is none."""
    target = target_of(store.settings())
    if target is None:
        raise RecallError("no checkride is set", f"set its date and your minutes a day: {HELP}")
    return target


def changed_target(
    store: Store,
    *,
    on: str | None = None,
    at: str | None = None,
    minutes: float | None = None,
    days_off: str | None = None,
    topics: Sequence[str] | None = None,
    decks: Sequence[str] | None = None,
    aim: str | None = None,
) -> Target:
    """The checkride with what was typed changed; what isn't said stays as it is set, unless that one is over. An
    empty topic or deck means all again. RecallError for what can't be kept."""
    said = {
        "checkride_on": on,
        "checkride_at": at,
        "checkride_minutes": None if minutes is None else f"{minutes:g}",
        "days_off": days_off,
        "checkride_topics": _joined(topics),
        "checkride_decks": _joined(decks),
        "checkride_for": aim,
    }
    settings = store.settings()
    known = target_of(settings)
    if on is not None and known is not None and known.on < store.today():
        settings = Settings()
    values = {name: getattr(settings, name) for name in said}
    values |= {name: setting_value(name, text) for name, text in said.items() if text is not None}
    target = target_of(Settings(**values))
    return target if target is not None else stored_target(store)


def day_of_odds(store: Store, on: str | None) -> Target:
    """For when odds are asked: a date that is said, the one that is set, or the next such hour from now. RecallError
    for a date that is over."""
    settings, today = store.settings(), store.today()
    known = target_of(settings)
    now = store.clock.now().astimezone(settings.home)
    moment = now.toordinal() + share_of_day(now.time())
    if on is not None:
        day = setting_value("checkride_on", on)
    elif known is not None and known.moment >= moment:
        day = known.on.isoformat()
    else:
        at = time.fromisoformat(settings.checkride_at)
        day = (now.date() + timedelta(days=int(now.time() > at))).isoformat()
    target = target_of(replace(settings, checkride_on=str(day)))
    if target is None or target.on < today:
        raise RecallError(f"`{on}` is no date to come", "write one as 2027-03-31")
    if target.moment < moment:
        raise RecallError(f"{target.on} {target.at:%H:%M} is past", "name a later date")
    return target


def keep_target(store: Store, target: Target) -> None:
    """Keep it as the person's settings, all in one; what is set so already isn't written again."""
    wanted = {
        "checkride_on": target.on.isoformat(),
        "checkride_at": f"{target.at:%H:%M}",
        "checkride_minutes": f"{target.minutes:g}",
        "checkride_topics": "; ".join(target.scope.topics),
        "checkride_decks": "; ".join(target.scope.decks),
        "checkride_for": target.aim,
        "days_off": str(target.days_off),
    }
    with store.writing():
        before = store.settings()
        for name, text in wanted.items():
            if getattr(before, name) != setting_value(name, text):
                store.set(name, text)
