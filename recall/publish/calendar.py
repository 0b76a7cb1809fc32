"""The weeks ahead as a calendar (iCalendar, RFC 5545): how much there is to review each day, and the checkride."""

import uuid
from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta, timezone

from recall import __version__
from recall.base.text import CAUTION, count, one_line, shown
from recall.store import DayAhead

_NAMES = uuid.UUID("5b0f6d0e-3f0c-4d6e-9d57-2f7a1c0c8e44")
_LONGEST = 75


def calendar(
    days: Sequence[DayAhead], now: datetime, *, person: str, title: str = "", checkride: date | None = None
) -> str:
    """All-day events, one for each day with something to do. person: anything that tells calendars apart; the ids
    of the same day stay the same, so that a later file takes the place of an earlier one."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//recall//recall {__version__}//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
    ]
    title = " ".join(title.split())
    named = f" of {title}" if title else ""
    for day in days:
        due = day.overdue + day.due
        if not due + day.unasked:
            continue
        begun = f", {day.unasked} to begin" if day.unasked else ""
        said = f"{count(due, 'card')} to review{begun}, about {max(1, round(day.minutes))} min"
        lines += _event(f"review {person} {title}", day.date, now, f"Review{named}: {said}", "TRANSPARENT")
    if checkride is not None:
        lines += _event(f"checkride {person} {title}", checkride, now, f"Checkride{named}", "OPAQUE")
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in _folded(line))


def _event(key: str, day: date, now: datetime, summary: str, busy: str) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{uuid.uuid5(_NAMES, f'{key} {day.isoformat()}')}"
    yield f"DTSTAMP:{now.astimezone(timezone.utc):%Y%m%dT%H%M%SZ}"
    yield f"DTSTART;VALUE=DATE:{day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{_escaped(summary)}"
    yield f"DESCRIPTION:{_escaped(CAUTION)}"
    yield f"TRANSP:{busy}"
    yield "END:VEVENT"


def _escaped(text: str) -> str:
    """A text value (3.3.11)."""
    text = one_line(shown(text)).replace("\\", "\\\\")
    return text.replace(";", "\\;").replace(",", "\\,")


def _folded(line: str) -> Iterator[str]:
    """Lines of 75 octets at most (3.1), never parted inside a character."""
    while len(line.encode()) > _LONGEST:
        cut = _LONGEST
        while len(line[:cut].encode()) > _LONGEST:
            cut -= 1
        yield line[:cut]
        line = " " + line[cut:]
    yield line
