"""How far a sitting goes: by cards, by minutes, and where it stands."""

from collections.abc import Sequence

from recall.base.clock import Clock
from recall.base.dataclass import dataclass
from recall.schedule.load import seconds_of
from recall.session.effort import EVERYDAY_SECONDS, USUAL, worked
from recall.session.model import Kept
from recall.session.order import Order, Waiting
from recall.session.view import Standing

PACE_WEIGHT = 10
"""The seconds expected weigh like so many answers of this sitting, so that what is left doesn't jump."""


@dataclass(slots=True)
class Course:
    """minutes, cards: where it ends, None for all that waits; each: seconds that an everyday answer is expected to
    take; before: seconds of earlier runs; taken: of this one up to its last answer; last: of the clock, then."""

    order: Order
    clock: Clock
    minutes: float | None = None
    cards: int | None = None
    each: float = EVERYDAY_SECONDS
    before: float = 0.0
    taken: float = 0.0
    last: float = 0.0

    @property
    def gone(self) -> float:
        """Seconds of the sitting so far, counted as those of a day are (`spent_by_day`)."""
        return self.before + self.taken + worked(self.clock.ticks() - self.last)

    def answered(self) -> None:
        """Count the time up to an answer."""
        now = self.clock.ticks()
        self.taken, self.last = self.taken + worked(now - self.last), now

    def next(self, kept: Sequence[Kept]) -> Waiting | None:
        """The next card; none that hasn't been put yet, once there are as many as wanted or time for missed ones
        only."""
        spent = self.cards is not None and len({one.card.id for one in kept}) >= self.cards
        if self.minutes is not None:
            spent |= self.gone + len(self.order.again) * self._each(kept) >= self.minutes * 60
        return self.order.next(only_again=spent)

    @property
    def _daily(self) -> bool:
        """Whether first answers are longer than others: those of a plan are in its seconds, an oral has none."""
        return not (self.order.mixed or self.order.fixed)

    def _each(self, kept: Sequence[Kept]) -> float:
        begun = sum(one.first and one.waiting.unasked for one in kept) * self._daily
        answers = len(kept) + begun * (USUAL["first"] / EVERYDAY_SECONDS - 1)
        return (self.gone + PACE_WEIGHT * self.each) / (answers + PACE_WEIGHT) if kept else self.each

    def _seconds(self, kept: Sequence[Kept], put: Waiting | None) -> float:
        """What all that waits takes, counted as the days ahead are: with the repeats of what will be missed."""
        order, each = self.order, self._each(kept)
        coming = [*order.waiting, *(entry.waiting for entry in order.again), *([put] if put else [])]
        if not self._daily:
            return each * len(coming)
        answered = {one.waiting.card for one in kept}
        fresh = [one.unasked for one in coming if one.card not in answered]
        begun = sum(fresh)
        return seconds_of(each, len(fresh) - begun, begun) + each * (len(coming) - len(fresh))

    def standing(self, kept: Sequence[Kept], waiting: Waiting | None, spent: float) -> Standing:
        """Where it stands. waiting: the card that is put; spent: seconds of the day before this run."""
        put = waiting is not None
        left, sure = self.order.left + put, len(self.order.again) + put
        seconds, known = self._seconds(kept, waiting), max(1, left)
        if self.cards is not None:
            begun = {one.card.id for one in kept} | ({waiting.card} if waiting is not None else set())
            left = min(left, max(self.cards - len(begun), 0) + sure)
        seconds *= left / known
        if self.minutes is not None:
            rest = max(0.0, self.minutes * 60 - self.gone)
            left, seconds = min(left, max(sure, round(rest / self._each(kept)))), min(seconds, rest)
        return Standing(
            number=len(kept) + put,
            of=len(kept) + left,
            seconds=seconds,
            answers=len(kept),
            begun=sum(one.first and one.waiting.unasked for one in kept),
            back=self.order.back,
            minutes=(spent + self.gone - self.before) / 60,
        )
