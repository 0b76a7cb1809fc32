"""What goes into a plan: the cards' memories, the time there is, and cost classes."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.checkride.model import Bools, Floats, Ints, Model

MOST_CLASSES = 4
DAILY, FARTHEST = 60, 732


def near_enough(days: int) -> None:
    """Refuse a date that is too many days away to be planned for: RecallError."""
    if days > FARTHEST:
        raise RecallError(f"the date is {days} days off", "plan for a date within two years")


@dataclass(frozen=True, eq=False)
class CardState:
    """The memories of n cards, one array each, all of shape (n,).

    stability: days. difficulty: 1..10. since: days from the last review to today, day to day (under 0.5: already
    asked today). asked: False for a card nobody has answered (its stability, difficulty and since don't count).
    weight: what its recall is worth (1; critical 3). seconds, seconds_unasked, seconds_missed: the time of a review
    answered right, of a first one, of a missed one with its repeats. topic: index of its topic.
    """

    stability: Floats
    difficulty: Floats
    since: Floats
    asked: Bools
    weight: Floats
    seconds: Floats
    seconds_unasked: Floats
    seconds_missed: Floats
    topic: Ints

    def __len__(self) -> int:
        """Number of cards."""
        return len(self.stability)

    @classmethod
    def of(
        cls,
        stability: Sequence[float] | Floats,
        difficulty: Sequence[float] | Floats,
        since: Sequence[float] | Floats,
        asked: Sequence[bool] | Bools,
        *,
        weight: Sequence[float] | Floats | float = 1.0,
        seconds: Sequence[float] | Floats | float = 10.0,
        seconds_unasked: Sequence[float] | Floats | float = 20.0,
        seconds_missed: Sequence[float] | Floats | float = 20.0,
        topic: Sequence[int] | Ints | int = 0,
    ) -> "CardState":
        """Checked arrays; numbers stand for all cards. RecallError for lengths or values that can't be."""
        known = np.array(asked, dtype=np.bool_)

        def column(values: Sequence[float] | Floats | float, low: float) -> Floats:
            if np.shape(values) not in ((), known.shape):
                raise RecallError(f"{np.shape(values)} values for {known.shape} cards")
            whole = np.array(np.broadcast_to(np.asarray(values, np.float64), known.shape))
            if not np.all(np.isfinite(whole)) or (whole < low).any():
                raise RecallError("a card has values that can't be", f"each must be a number from {low:g}")
            return whole

        return cls(
            column(np.where(known, stability, 1.0), 1e-6),
            np.clip(column(np.where(known, difficulty, 5.0), 0.0), 1.0, 10.0),
            column(np.where(known, since, 0.0), 0.0),
            known,
            column(weight, 1e-6),
            column(seconds, 0.1),
            column(seconds_unasked, 0.1),
            column(seconds_missed, 0.1),
            np.array(np.broadcast_to(np.asarray(topic, dtype=np.int64), known.shape)),
        )

    def expected(self, asked: Any, recall: Any) -> Floats:
        """Expected seconds of asking each card at this recall, `asked` before or not; broadcasts."""
        known = self.seconds_missed + (self.seconds - self.seconds_missed) * recall
        return np.where(asked, known, self.seconds_unasked)


@dataclass(frozen=True, eq=False)
class Mind:
    """One way in which the person may remember: a model, the cards' memories under it, how likely it is (0..1)."""

    cards: CardState
    model: Model
    weight: float = 1.0

    def recall(self, days: float) -> Floats:
        """Recall of each card `days` after today's usual time of reviews without any review; unasked: 0. (n,)."""
        known = self.model.recall(self.cards.since + days, self.cards.stability)
        return np.asarray(np.where(self.cards.asked, known, 0.0))


def share(cards: CardState, recall: Floats) -> float:
    """Share of full recall by weight."""
    return float(cards.weight @ recall / cards.weight.sum())


def over(minds: Sequence[Mind], values: Sequence[Any]) -> Any:
    """The mean of something over the minds, one value each."""
    return sum(mind.weight * value for mind, value in zip(minds, values, strict=True))


@dataclass(frozen=True)
class Horizon:
    """The time before an examination.

    minutes: one number a day, today first, the day before the examination last; 0 is a day off. hour: the
    examination's time as a share of its day. review_hour: the usual time of reviews as a share of a day. used:
    minutes of today that are over.
    """

    minutes: tuple[float, ...]
    hour: float = 9 / 24
    review_hour: float = 0.5
    used: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what can't be: RecallError."""
        if any(not 0.0 <= m <= 1440.0 for m in self.minutes):
            raise RecallError("a day has 0 to 1440 minutes")
        near_enough(self.days)
        if not 0.0 <= self.hour < 1.0 or not 0.0 <= self.review_hour < 1.0:
            raise RecallError("an hour is a share of a day, from 0 up to 1")

    @property
    def days(self) -> int:
        """Days from today to the examination."""
        return len(self.minutes)

    @property
    def date(self) -> float:
        """The moment of the examination, in days after today's usual time of reviews."""
        return self.days + self.hour - self.review_hour

    @property
    def seconds(self) -> Floats:
        """Seconds left of each day, shape (days,)."""
        left = np.array(self.minutes, dtype=np.float64)
        left[:1] = np.maximum(left[:1] - self.used, 0.0)
        return left * 60.0

    @property
    def step(self) -> int:
        """Days that share one price: 1 up to DAILY days, more for a far date."""
        return max(1, -(-self.days // DAILY))

    @property
    def blocks(self) -> int:
        """Number of prices: days, or groups of `step` days that end the day before the examination."""
        return -(-self.days // self.step)

    def block(self, day: int | Ints) -> Ints:
        """Block of a day, or of an array of days."""
        return np.asarray((np.asarray(day) + self.blocks * self.step - self.days) // self.step)

    @property
    def block_days(self) -> Floats:
        """The middle day of each block, shape (blocks,)."""
        middle = np.arange(self.blocks) * self.step + (self.step - 1) / 2
        return np.asarray(np.maximum(middle - (self.blocks * self.step - self.days), 0.0))

    @property
    def block_seconds(self) -> Floats:
        """Seconds of each block, shape (blocks,)."""
        blocks = self.block(np.arange(self.days))
        return np.asarray(np.bincount(blocks, weights=self.seconds, minlength=self.blocks))

    def own_time(self, day: float | Floats) -> Floats:
        """What a second of a day is worth to the person themselves."""
        late = np.asarray(day) / max(self.days - 1, 1)
        return np.asarray(OWN_TIME * (AT_FIRST + (1.0 - AT_FIRST) * late))

    def times(self, share: float, *, today: bool = False) -> "Horizon":
        """The same with so many times the minutes of each later day, and of today too where that is meant."""
        changed = tuple(min(m * share, 1440.0) if at or today else m for at, m in enumerate(self.minutes))
        return replace(self, minutes=changed)


OWN_TIME, AT_FIRST = 0.0002, 0.2
"""What a second of the person's own time is worth, in recall of a card: a review that adds less than two in a
thousand for ten seconds isn't asked, however many minutes there are. At first a fifth of that, so that nothing waits
for the last days: what was begun early can be mended."""
USUAL_USE = 3.0
"""Days at the minutes set that the use of them is expected from."""


def used_share(days: Sequence[tuple[float, float]]) -> float:
    """Share of the time set that a person will use, from the time used and set on each day past, under a prior that
    it is used as set: 0.2 to 1, since nobody promised more."""
    used, there_were = (sum(column) for column in zip(*days, strict=True)) if days else (0.0, 0.0)
    usual = USUAL_USE * there_were / max(len(days), 1)
    return float(np.clip((used + usual) / (there_were + usual), 0.2, 1.0)) if there_were else 1.0


@dataclass(frozen=True, eq=False)
class Classes:
    """Cards of about equal seconds per weight: the cost classes of the plan.

    of: class of each card (n,). seconds: (classes, 3) seconds per weight of a review that is right, first,
    missed: means. least: for bounds, the smallest of each class (right never dearer than missed).
    """

    of: Ints
    seconds: Floats
    least: Floats


def classes(cards: CardState) -> Classes:
    """Group the cards by seconds per weight, parted where they differ most."""
    columns = (cards.seconds, cards.seconds_unasked, cards.seconds_missed)
    per_weight = np.stack(columns, axis=1) / cards.weight[:, None]
    size = np.round(np.log(per_weight.sum(axis=1)), 9)
    levels = np.unique(size)
    widest = np.sort(np.argsort(-np.diff(levels), kind="stable")[: MOST_CLASSES - 1])
    of = np.searchsorted(levels[widest], size)
    seconds, least = (
        np.stack([take(per_weight[of == k], axis=0) for k in range(len(widest) + 1)])
        for take in (np.mean, np.min)
    )
    least[:, 0] = least[:, [0, 2]].min(axis=1)
    return Classes(of, seconds, least)
