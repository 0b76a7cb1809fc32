"""The calendar, read by another library and held to the limits of the standard."""

from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import icalendar
from hypothesis import given, settings
from hypothesis import strategies as st
from publish_kit import notes, store

from recall.deck.read import read_deck
from recall.publish.calendar import calendar
from recall.store import DayAhead, Review

NOW = datetime(2026, 5, 1, 9, 0, tzinfo=timezone.utc)


def ahead(at: int, due: int = 5, unasked: int = 2) -> DayAhead:
    """A day of the load."""
    return DayAhead(date(2026, 5, 1) + timedelta(days=at), 0, due, unasked, 3.4)


def test_another_library_reads_every_event() -> None:
    """`icalendar` finds a day's load on its day, free, and the checkride, busy."""
    text = calendar([ahead(0), ahead(1, 0, 0), ahead(2)], NOW, person="p", checkride=date(2026, 6, 30))
    read = icalendar.Calendar.from_ical(text)
    found = [
        (
            event["DTSTART"].dt,
            event["DTEND"].dt - event["DTSTART"].dt,
            str(event["SUMMARY"]),
            str(event["TRANSP"]),
        )
        for event in read.walk("VEVENT")
    ]
    day = timedelta(days=1)
    load = "Review: 5 cards to review, 2 to begin, about 3 min"

    assert "2.0" == str(read["VERSION"])
    assert [
        (date(2026, 5, 1), day, load, "TRANSPARENT"),
        (date(2026, 5, 3), day, load, "TRANSPARENT"),
        (date(2026, 6, 30), day, "Checkride", "OPAQUE"),
    ] == found


def test_a_later_file_takes_the_place_of_an_earlier_one() -> None:
    """The same day of the same person has the same id; another person's has another."""

    def ids(person: str, due: int) -> list[str]:
        text = calendar([ahead(0, due), ahead(1)], NOW + timedelta(hours=due), person=person)
        return [str(event["UID"]) for event in icalendar.Calendar.from_ical(text).walk("VEVENT")]

    assert ids("one", 3) == ids("one", 9)
    assert not set(ids("one", 3)) & set(ids("two", 3))
    assert 2 == len(set(ids("one", 3)))


@settings(max_examples=40)
@given(st.text(st.characters(codec="utf-8"), max_size=120))
def test_any_title_is_folded_and_comes_back(title: str) -> None:
    """Lines of 75 octets at most, ended by CR LF (RFC 5545, 3.1); the words as they were, on one line."""
    text = calendar([ahead(0)], NOW, person="p", title=title)
    event = icalendar.Calendar.from_ical(text).walk("VEVENT")[0]
    words = " ".join(title.split())
    wanted = f"Review of {words}: " if words else "Review: "

    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    assert "\n" not in text.replace("\r\n", "")
    if title.isprintable():
        assert str(event["SUMMARY"]).startswith(wanted)


def test_the_load_of_one_deck_is_its_own(tmp_path: Path) -> None:
    """Due days from the cards' memories, cards never asked by the setting."""
    with store(tmp_path / "store.db") as opened:
        opened.load(read_deck(notes(tmp_path / "one"))[0])
        opened.load(read_deck(notes(tmp_path / "two", slug="other"))[0])
        asked = opened.cards(decks=["small"])[0]
        opened.record(Review(asked.id, asked.answer_hash, 3, right=True))
        due = opened.known(asked.id).due
        opened.set("unasked", "2")
        days = opened.due_by_day(20, ["small"])

        assert [due] == [day.date for day in days if day.due]
        assert [1, 2] == [day.unasked for day in days if day.unasked]
        assert opened.due_by_day(20) == opened.due_by_day(20, [deck.slug for deck in opened.decks()])
