"""How far a sitting goes: by cards, by minutes, and where it stands."""

from collections.abc import Sequence

from recall.base.clock import Clock
from recall.base.dataclass import dataclass
from recall.session.effort import EVERYDAY_SECONDS
from recall.session.model import Kept
from recall.session.order import Order, Waiting
from recall.session.view import Standing

PACE_WEIGHT = 10
"""The seconds expected weigh like so many answers of this sitting, so that what is left doesn't jump."""


@dataclass(slots=True)
class Course:
    """minutes, cards: where it ends, None for all that waits; each: seconds that a question is expected to take;
    before: seconds of earlier runs; began: of the clock."""

    order: Order
    clock: Clock
    minutes: float | None = None
    cards: int | None = None
    each: float = EVERYDAY_SECONDS
    before: float = 0.0
    began: float = 0.0

    @property
    def gone(self) -> float:
        """Seconds of the sitting so far."""
        return self.before + self.clock.ticks() - self.began

    def next(self, kept: Sequence[Kept]) -> Waiting | None:
        """The next card; none that hasn't been put yet, once there are as many as wanted or time for missed ones
        only."""
        spent = self.cards is not None and len({one.card.id for one in kept}) >= self.cards
        if self.minutes is not None:
            spent |= self.gone + len(self.order.again) * self._each(kept) >= self.minutes * 60
        return self.order.next(only_again=spent)

    def _each(self, kept: Sequence[Kept]) -> float:
        return (self.gone + PACE_WEIGHT * self.each) / (len(kept) + PACE_WEIGHT) if kept else self.each

    def standing(self, kept: Sequence[Kept], waiting: Waiting | None, spent: float) -> Standing:
        """Where it stands. waiting: the card that is put; spent: seconds of the day before this run."""
        put = waiting is not None
        left, sure, each = self.order.left + put, len(self.order.again) + put, self._each(kept)
        if self.cards is not None:
            begun = {one.card.id for one in kept} | ({waiting.card} if waiting is not None else set())
            left = min(left, max(self.cards - len(begun), 0) + sure)
        seconds = left * each
        if self.minutes is not None:
            rest = max(0.0, self.minutes * 60 - self.gone)
            left, seconds = min(left, max(sure, round(rest / each))), min(seconds, rest)
        return Standing(
            number=len(kept) + put,
            of=len(kept) + left,
            seconds=seconds,
            answers=len(kept),
            begun=sum(one.first and one.waiting.unasked for one in kept),
            back=self.order.back,
            minutes=(spent + self.gone - self.before) / 60,
        )
