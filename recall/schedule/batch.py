"""Many cards at once, in numpy: the same memories as one answer at a time, within 1e-9.

Formulas: FSRS-6 as `fsrs` 6 computes them. All arrays are float64 and broadcast; marks are 1 to 4.
"""

from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from recall.base.dataclass import dataclass
from recall.schedule.model import DEFAULT, LONGEST, LONGEST_CRITICAL, TARGET, Parameters, check_target

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
SHORTEST = 0.001
"""Least that a card holds, days."""


class Several(Parameters):
    """Several sets of parameters of one bend at once: each weight an array (k, 1)."""

    def __post_init__(self) -> None:
        """Each set was checked when it was made."""

    @classmethod
    def at_once(cls, sets: Sequence[Parameters]) -> "Several":
        """From the sets themselves."""
        return cls(tuple(np.array([one.weights for one in sets]).T[:, :, None]), sets[0].bend)

    @cached_property
    def factor(self) -> Any:
        """Scale of the forgetting curves."""
        return 0.9 ** (1 / self.decay) - 1


@dataclass(frozen=True, slots=True)
class Memories:
    """Memories of n cards (NaN and -1 where a card has no answers), and of m reviews the recall before each
    (NaN for a first answer), in the order of the input; a row for each of several sets of parameters."""

    holds: Floats
    difficulty: Floats
    last_day: Ints
    recall_before: Floats


def recall_curve(holds: Floats, elapsed: Any, parameters: Parameters = DEFAULT) -> Floats:
    """Probability of a right answer, `elapsed` days after the last one."""
    late = np.maximum(elapsed, 0.0) / holds
    if parameters.bend != 1.0:
        late = late**parameters.bend
    curve: Floats = (1 + parameters.factor * late) ** parameters.decay
    return curve


def intervals(holds: Floats, target: Any, critical: Any, parameters: Parameters = DEFAULT) -> Ints:
    """Whole days until recall has fallen to the target, one or one a card, as `model.interval`. critical: bool
    array."""
    for end in (np.min, np.max):
        check_target(float(end(target, initial=TARGET)))
    late = (np.asarray(target) ** (1 / parameters.decay) - 1) / parameters.factor
    longest = np.where(critical, LONGEST_CRITICAL, LONGEST)
    days = np.minimum(holds * late ** (1 / parameters.bend), longest + 1.0)
    whole: Ints = np.clip(np.floor(np.round(days, 6) + 0.5), 1, longest).astype(np.int64)
    return whole


def first_memory(marks: Any, parameters: Parameters = DEFAULT) -> tuple[Floats, Floats]:
    """(holds, difficulty) after a first answer."""
    w = np.array(parameters.weights)
    marks = np.asarray(marks)
    first = w[marks - 1] if w.ndim == 1 else w[marks - 1, :, 0].T
    holds = np.maximum(first, SHORTEST)
    return holds, np.clip(w[4] - np.exp(w[5] * (marks - 1)) + 1, 1.0, 10.0)


def next_difficulty(difficulty: Floats, marks: Any, parameters: Parameters = DEFAULT) -> Floats:
    """Difficulty after an answer, on the same day or later."""
    w = parameters.weights
    home = w[4] - np.exp(w[5] * 3) + 1
    moved = difficulty - w[6] * (np.asarray(marks) - 3.0) * (10.0 - difficulty) / 9.0
    after: Floats = np.clip(w[7] * home + (1 - w[7]) * moved, 1.0, 10.0)
    return after


def after_recall(
    holds: Floats, difficulty: Floats, recall: Floats, marks: Any, parameters: Parameters = DEFAULT
) -> Floats:
    """Days a card holds after a right answer (marks 2 to 4) a day or more after the last one."""
    w = parameters.weights
    marks = np.asarray(marks)
    weight = np.where(marks == 2, w[15], 1.0) * np.where(marks == 4, w[16], 1.0)
    gain = np.exp(w[8]) * (11 - difficulty) * holds ** -w[9] * (np.exp((1 - recall) * w[10]) - 1) * weight
    after: Floats = np.maximum(holds * (1 + gain), SHORTEST)
    return after


def after_miss(holds: Floats, difficulty: Floats, recall: Floats, parameters: Parameters = DEFAULT) -> Floats:
    """Days a card holds after a missed answer a day or more after the last one."""
    w = parameters.weights
    late = w[11] * difficulty ** -w[12] * ((holds + 1) ** w[13] - 1) * np.exp((1 - recall) * w[14])
    after: Floats = np.maximum(np.minimum(late, holds / np.exp(w[17] * w[18])), SHORTEST)
    return after


def within_day(holds: Floats, marks: Any, parameters: Parameters = DEFAULT) -> Floats:
    """Days a card holds after another answer on the same day."""
    w = parameters.weights
    marks = np.asarray(marks)
    change = np.exp(w[17] * (marks - 3.0 + w[18])) * holds ** -w[19]
    change = np.where(marks >= 2, np.maximum(change, 1.0), change)
    after: Floats = np.maximum(holds * change, SHORTEST)
    return after


def answered_all(
    holds: Floats, difficulty: Floats, elapsed: Any, marks: Any, parameters: Parameters = DEFAULT
) -> tuple[Floats, Floats, Floats]:
    """(holds, difficulty, recall before) after one more answer to each card, `elapsed` whole days later."""
    elapsed, marks = np.asarray(elapsed), np.asarray(marks)
    recall = recall_curve(holds, elapsed, parameters)
    after = np.empty_like(holds)
    same, missed = elapsed < 1, marks == 1
    for group in (same, ~same & missed, ~same & ~missed):
        at = np.flatnonzero(group)
        if not at.size:
            continue
        if group is same:
            after[..., at] = within_day(holds[..., at], marks[at], parameters)
        elif missed[at[0]]:
            after[..., at] = after_miss(holds[..., at], difficulty[..., at], recall[..., at], parameters)
        else:
            after[..., at] = after_recall(
                holds[..., at], difficulty[..., at], recall[..., at], marks[at], parameters
            )
    return after, next_difficulty(difficulty, marks, parameters), recall


def replay(
    cards: Any, days: Any, marks: Any, parameters: Parameters = DEFAULT, count: int | None = None
) -> Memories:
    """Memories of cards 0 to count - 1 from all their reviews, cards in step: every card's first review at once, then
    every second one, and so on.

    cards, days, marks: integer arrays of one length, a card's reviews in the order in which they count. A day
    before a card's last one counts as the last one.
    """
    cards, days = np.asarray(cards, np.int64), np.asarray(days, np.int64)
    marks = np.asarray(marks, np.int64)
    count = int(cards.max(initial=-1)) + 1 if count is None else count
    sets = np.shape(parameters.decay)[:1]
    holds, difficulty = np.full((*sets, count), np.nan), np.full((*sets, count), np.nan)
    last_day = np.full(count, -1, np.int64)
    before = np.full((*sets, len(cards)), np.nan)
    if not len(cards):
        return Memories(holds, difficulty, last_day, before)

    by_card = np.argsort(cards, kind="stable")
    sizes = np.bincount(cards, minlength=count)
    starts = np.cumsum(sizes) - sizes
    step = np.arange(len(cards)) - starts[cards[by_card]]
    in_step = by_card[np.argsort(step, kind="stable")]
    ends = np.cumsum(np.bincount(step))

    first = in_step[: ends[0]]
    which = cards[first]
    holds[..., which], difficulty[..., which] = first_memory(marks[first], parameters)
    last_day[which] = days[first]
    for start, end in pairwise(ends):
        rows = in_step[start:end]
        which = cards[rows]
        elapsed = np.maximum(days[rows] - last_day[which], 0)
        holds[..., which], difficulty[..., which], before[..., rows] = answered_all(
            holds[..., which], difficulty[..., which], elapsed, marks[rows], parameters
        )
        last_day[which] += elapsed
    return Memories(holds, difficulty, last_day, before)
