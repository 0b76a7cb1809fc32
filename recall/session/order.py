"""In which order cards are put: due ones, topics mixed, before unasked ones, topic after topic; cards of one point
apart, missed ones again."""

from collections import deque
from collections.abc import Callable, Iterable, Sequence

from recall.base.dataclass import dataclass, field

WINDOW = 40
"""How many waiting cards are looked over for the next one."""
APART = 3
"""Cards of one point don't follow each other within so many questions."""
AGAIN_AFTER = 5
AGAIN_MOST = 3


@dataclass(frozen=True, slots=True)
class Waiting:
    """A card that waits. first: those of more go before the others (2: changed by a revision, 1: missed today);
    drawn: at random, whatever is known of it."""

    card: str
    point: str
    topic: tuple[str, ...]
    unasked: bool = False
    first: int = 0
    drawn: bool = False


@dataclass(slots=True)
class _Again:
    waiting: Waiting
    after: int
    """The count of questions from which it may be put again; 0: taken back, so it is put next whatever was put."""


@dataclass(slots=True)
class Order:
    """The waiting cards, most urgent first within due and within unasked."""

    waiting: list[Waiting]
    again: list[_Again] = field(default_factory=list)
    tries: dict[str, int] = field(default_factory=dict)
    recent: deque[Waiting] = field(default_factory=lambda: deque(maxlen=12))
    put: int = 0
    mixed: bool = False
    """Due and unasked cards stand as one line: a plan's order."""
    fixed: bool = False
    """They are put one after another, once each: the draw of an oral."""
    near: Callable[[str], Sequence[str]] = lambda _: ()
    """The cards that one was confused with, the most often first, and that invite confusion."""

    @classmethod
    def of(cls, due: Iterable[Waiting], unasked: Iterable[Waiting]) -> "Order":
        """Due cards first, then unasked ones, each in the order given."""
        return cls([*due, *unasked])

    @property
    def left(self) -> int:
        """How many questions are still to come, as far as is known."""
        return len(self.waiting) + len(self.again)

    @property
    def back(self) -> int:
        """How many missed ones come back."""
        return sum(entry.after > 0 for entry in self.again)

    def next(self, *, only_again: bool = False) -> Waiting | None:
        """Take the next card. only_again: no card that hasn't been put yet."""
        ready = [
            entry
            for entry in self.again
            if entry.after == 0 or (entry.after <= self.put and self._apart(entry.waiting))
        ]
        chosen: Waiting | None = None
        if ready:
            chosen = ready[0].waiting
            self.again.remove(ready[0])
        elif self.waiting and not only_again:
            chosen = self.waiting.pop(0 if self.fixed else self._best())
        elif self.again:
            soonest = min(self.again, key=lambda entry: (not self._apart(entry.waiting), entry.after))
            chosen = soonest.waiting
            self.again.remove(soonest)
        if chosen is not None:
            self.put_now(chosen)
        return chosen

    def put_now(self, one: Waiting) -> None:
        """Count a card as put."""
        self.recent.append(one)
        self.put += 1

    def _apart(self, one: Waiting) -> bool:
        return all(other.point != one.point for other in list(self.recent)[-APART:])

    def _best(self) -> int:
        """Among the first that wait and are as urgent: not of a recent point, another topic, near a confusable."""
        last = self.recent[-1] if self.recent else None
        lately = {waiting.card for waiting in list(self.recent)[-4:]}
        best, least = 0, 1e9
        for at, one in enumerate(self.waiting[:WINDOW]):
            if not self.mixed and one.unasked != self.waiting[0].unasked:
                break
            cost = at / WINDOW
            if not self._apart(one):
                cost += 100
            if one.first != self.waiting[0].first:
                cost += 50
            if last is not None and (self.mixed or not one.unasked):  # new ones come topic after topic
                cost += 2 if one.topic == last.topic else 0.5 if one.topic[:1] == last.topic[:1] else 0
            if lately and not lately.isdisjoint(self.near(one.card)):
                cost -= 1.5
            if cost < least:
                best, least = at, cost
        return best

    def missed(self, one: Waiting) -> bool:
        """Put a card again after five others or more, three times at most. Whether it comes back."""
        tries = self.tries.get(one.card, 0)
        if tries >= AGAIN_MOST or self.fixed:
            return False
        self.tries[one.card] = tries + 1
        self.again.append(_Again(one, self.put + AGAIN_AFTER))
        return True

    def go_on(self, one: Waiting, again: bool) -> bool:
        """Count a card that an earlier run put, as this one would have. Whether it comes back."""
        self.take(one.card)
        self.put_now(one)
        return again and self.missed(one)

    def take(self, card: str | None) -> Waiting | None:
        """Take out one that waits or comes back; None where it does neither."""
        found = [one for one in (*self.waiting, *(entry.waiting for entry in self.again)) if one.card == card]
        self.waiting = [one for one in self.waiting if one.card != card]
        self.again = [entry for entry in self.again if entry.waiting.card != card]
        return found[0] if found else None

    def bring(self, ones: Iterable[Waiting]) -> None:
        """Put these next, one after another."""
        first = [self.take(one.card) or one for one in ones]
        self.again[:0] = [_Again(one, 0) for one in first]

    def withdraw(self, one: Waiting) -> None:
        """The card doesn't come back for being missed after all."""
        self.again = [entry for entry in self.again if entry.waiting.card != one.card]
        self.tries[one.card] -= 1

    def take_back(self, one: Waiting) -> None:
        """After an undo: the card is put next, as if it had not been put."""
        if any(entry.waiting.card == one.card for entry in self.again):
            self.withdraw(one)
        self.again.insert(0, _Again(one, 0))
        self.recent = deque((other for other in self.recent if other.card != one.card), maxlen=12)
        self.put -= 1
