"""The load of the days ahead: what is due, what comes before unasked cards, how many of those each day begins."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta

from recall.base.days_off import DaysOff
from recall.schedule import Parameters
from recall.schedule.load import LOOK, begun_by_day, first_after, seconds_of
from recall.store.answers import not_right_yet
from recall.store.model import DayAhead, Known
from recall.store.query import Queries


def _first_day(known: Known, parameters: Parameters) -> int:
    """Number of the day on which a card that was asked comes before unasked ones."""
    due, memory = known.due.toordinal() if known.due else 0, known.memory
    if memory is None:
        return due
    return max(due, memory.last_day + 1 + int(memory.holds * first_after(known.critical, parameters)))


def _of(decks: Sequence[str]) -> str:
    return f"AND deck IN ({', '.join('?' * len(decks))})" if decks else ""


class Ahead(Queries):
    """What the days ahead bring."""

    def due_by_day(self, days: int, decks: Sequence[str] = ()) -> list[DayAhead]:
        """The load of today and the days after it. decks: slugs, empty for all."""
        sql = f"SELECT count(*) FROM card WHERE asking = 1 AND due IS NULL {_of(decks)}"
        again = len(self.among(not_right_yet(self, self.today()), decks=decks))
        return self._days_ahead(self._due_counts(days, decks), int(self.one(sql, decks)), days, again)

    def coming_first(self, cards: Iterable[Known]) -> list[Known]:
        """Those of some due cards that come before unasked ones today."""
        parameters, number = self.parameters(), self.today().toordinal()
        return [card for card in cards if _first_day(card, parameters) <= number]

    def unasked_left_today(self, *, timed: bool = True) -> int:
        """How many more unasked cards today has time for; not timed: how many the settings leave for it."""
        if not timed:
            return max(0, self.settings().unasked - self._begun(self.today().toordinal()))
        return self._days_ahead(self._due_counts(1), 10**6, 1)[0].unasked

    def _begun(self, day: int) -> int:
        return int(self.one("SELECT count(*) FROM card WHERE first_day = ?", [day]))

    def _due_counts(self, days: int, decks: Sequence[str] = ()) -> dict[tuple[int, int], int]:
        """Cards by the number of the day on which they are due, and on which they come before unasked ones."""
        number, parameters = self.today().toordinal(), self.parameters()
        fallen = "last_day + 1 + CAST(holds * CASE critical WHEN 1 THEN ? ELSE ? END AS INTEGER)"
        sql = (
            f"SELECT max(due, ?), max(due, coalesce({fallen}, due), ?), count(*) FROM card"
            f" WHERE asking = 1 AND due < ? AND fresh IN (0, 1) {_of(decks)} GROUP BY 1, 2"
        )
        before, late = number - 1, (first_after(True, parameters), first_after(False, parameters))
        rows = self.rows(sql, [before, *late, before, number + days + LOOK, *decks])
        return {(due, first): cards for due, first, cards in rows}

    def _days_ahead(
        self, due: Mapping[tuple[int, int], int], left: int, days: int, again: int = 0
    ) -> list[DayAhead]:
        """The load of days from today on. due: cards by day number (due, coming before unasked ones), the day before
        today for what is overdue; left: cards that nobody asked; again: those that were missed today and come back,
        for which the time is kept already."""
        today, settings, each = self.today(), self.settings(), self.usual_seconds()
        number = today.toordinal()
        counts, first = [0] * (days + LOOK + 1), [0] * (days + LOOK)
        for (own, before), cards in due.items():
            counts[min(own - number + 1, days + LOOK)] += cards
            if before - number < days + LOOK:
                first[max(before - number, 0)] += cards
        overdue, *counts = counts
        counts[0] += again
        dates, days_off = [today + timedelta(days=at) for at in range(days)], DaysOff.read(settings.days_off)
        off = [at for at, day in enumerate(dates) if at and day in days_off]
        for at in off:  # what is due then waits for the next day
            for waits in (counts, first):
                waits[at + 1], waits[at] = waits[at + 1] + waits[at], 0
        begun = self._begun(number)
        sql = "SELECT count(*) FROM card WHERE last_day = ?1 AND first_day < ?1"
        used = seconds_of(each, int(self.one(sql, [number])), begun)
        begin = begun_by_day(settings.minutes, each, first, left, settings.unasked, used, begun, off)
        return [
            DayAhead(day, late, own, new, round(seconds_of(each, late + own, new) / 60, 1))
            for day, late, own, new in zip(dates, [overdue, *[0] * days], counts, begin, strict=False)
        ]
