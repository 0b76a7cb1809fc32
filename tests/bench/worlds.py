"""Simulated learners: what they really remember. Each moves n cards at once; a program sees only right or wrong.

Times are days. A missed card is shown and asked again in the same session until right.
"""

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from recall.checkride.model import Model
from recall.schedule import batch
from recall.schedule.model import DEFAULT, Parameters

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
FIRST_RIGHT = 0.3


class World(Protocol):
    """A learner."""

    def first_chance(self, at: Ints) -> Floats:
        """Chance of a right answer at first sight."""
        ...

    def chance(self, at: Ints, day: float) -> Floats:
        """True chance of a right answer for these cards."""
        ...

    def answered(self, at: Ints, right: Bools, day: int) -> None:
        """These cards were asked (a missed one repeated until right)."""
        ...


class Scheduled:
    """The scheduler's own model, with any parameters, scattered from card to card."""

    def __init__(
        self, count: int, dice: np.random.Generator, weights: tuple[float, ...] = DEFAULT.weights
    ) -> None:
        self.parameters = Parameters.of(weights)
        self.model = Model(self.parameters, FIRST_RIGHT)
        self.holds, self.difficulty = np.ones(count), np.full(count, 5.0)
        self.last = np.full(count, -1_000_000)
        self.scatter = np.ones(count)

    def chance(self, at: Ints, day: float) -> Floats:
        """True chance of a right answer for these cards."""
        seen = self.last[at] > -1_000_000
        recall = batch.recall_curve(self.holds[at], day - self.last[at], self.parameters)
        return np.where(seen, recall, 0.0)

    def first_chance(self, at: Ints) -> Floats:
        """Chance of a right answer at first sight."""
        return np.full(len(at), FIRST_RIGHT)

    def answered(self, at: Ints, right: Bools, day: int) -> None:
        """These cards were asked (a missed one repeated until right)."""
        marks = np.where(right, 3, 1)
        fresh = self.last[at] <= -1_000_000
        holds, difficulty = batch.first_memory(marks, self.parameters)
        after, harder, _ = batch.answered_all(
            self.holds[at], self.difficulty[at], np.maximum(day - self.last[at], 0), marks, self.parameters
        )
        holds = np.where(fresh, holds * self.scatter[at], after)
        difficulty = np.where(fresh, difficulty, harder)
        again = batch.within_day(holds, 3, self.parameters)
        harder = batch.next_difficulty(difficulty, 3, self.parameters)
        self.holds[at] = np.where(right, holds, again)
        self.difficulty[at] = np.where(right, difficulty, harder)
        self.last[at] = day


class HalfLife:
    """Recall halves every h days; h doubles by a right answer after one half-life, and halves by a miss."""

    def __init__(self, count: int, dice: np.random.Generator, median: float = 4.0, gain: float = 2.0) -> None:
        self.start = median * np.exp(dice.normal(0.0, 0.5, count))
        self.half, self.gain = np.zeros(count), gain
        self.last = np.full(count, -1_000_000.0)

    def chance(self, at: Ints, day: float) -> Floats:
        """True chance of a right answer for these cards."""
        half = self.half[at]
        late = np.maximum(day - self.last[at], 0.0)
        return np.where(half > 0.0, 2.0 ** (-late / np.maximum(half, 1e-9)), 0.0)

    def first_chance(self, at: Ints) -> Floats:
        """Chance of a right answer at first sight."""
        return np.full(len(at), FIRST_RIGHT)

    def answered(self, at: Ints, right: Bools, day: int) -> None:
        """These cards were asked (a missed one repeated until right)."""
        half = self.half[at]
        grown = half * (1.0 + self.gain * (1.0 - self.chance(at, day)))
        fallen = np.maximum(0.5 * half, 0.5 * self.start[at])
        begun = self.start[at] * np.where(right, 1.5, 0.75)
        self.half[at] = np.where(half > 0.0, np.where(right, grown, fallen), begun)
        self.last[at] = day


class Activation:
    """ACT-R activation with decay that rises with activation (Pavlik & Anderson 2005, Cognitive Science 29:559).

    m = ln(sum of age**-decay); a presentation's decay = scale * exp(m at it) + least; chance =
    logistic((m - threshold) / noise). Ages in seconds; time between sessions is shortened to `between` of it.
    The form is theirs, scale and least too (from memory); threshold, noise and between are own choices: with the
    default threshold a card once learned has a recall of about .9 after a day and .55 after a month, with -1.15
    about .75 and .3.
    """

    ROOM = 200

    def __init__(
        self,
        count: int,
        dice: np.random.Generator,
        threshold: float = -1.55,
        least: float = 0.177,
        between: float = 0.01,
    ) -> None:
        self.threshold, self.least, self.scale, self.noise = threshold, least, 0.217, 0.3
        self.day_seconds = 86400.0 * between
        self.moments = np.full((count, self.ROOM), np.nan)
        self.decays = np.zeros((count, self.ROOM))
        self.seen = np.zeros(count, dtype=np.int64)
        self.lift = dice.normal(0.0, 0.25, count)

    def _activation(self, at: Ints, moment: float) -> Floats:
        wide = int(self.seen[at].max(initial=0))
        if not wide:
            return np.full(len(at), -np.inf)
        moments, decays = self.moments[at, :wide], self.decays[at, :wide]
        ages = np.maximum(moment - moments, 1.0)
        with np.errstate(divide="ignore"):
            return np.log(np.where(np.isnan(moments), 0.0, ages**-decays).sum(axis=1)) + self.lift[at]

    def chance(self, at: Ints, day: float) -> Floats:
        """True chance of a right answer for these cards."""
        m = self._activation(at, day * self.day_seconds)
        return 1.0 / (1.0 + np.exp(np.clip((self.threshold - m) / self.noise, -50, 50)))

    def first_chance(self, at: Ints) -> Floats:
        """Chance of a right answer at first sight."""
        return np.full(len(at), FIRST_RIGHT)

    def _present(self, at: Ints, moment: float) -> None:
        m = self._activation(at, moment)
        slot = np.minimum(self.seen[at], self.ROOM - 1)
        self.decays[at, slot] = self.scale * np.exp(m) + self.least
        self.moments[at, slot] = moment
        self.seen[at] = slot + 1

    def answered(self, at: Ints, right: Bools, day: int) -> None:
        """These cards were asked (a missed one repeated until right)."""
        now = day * self.day_seconds
        known = at[right & (self.seen[at] == 0)]
        if len(known):
            self._present(known, now - 3 * self.day_seconds)
        if len(at):
            self._present(at, now)
        if len(again := at[~right]):
            self._present(again, now + 120.0)


class Sigmoid:
    """Recall falls slowly, then fast: 1 / (1 + (t / h) ** bend), half after h days (a log-logistic survival curve).

    h grows by a right answer the more the longer it lay, and halves by a miss. scatter: of log h from card to card.
    Own choices, no source.
    """

    def __init__(
        self, count: int, dice: np.random.Generator, half: float, bend: float, scatter: float = 0.5
    ) -> None:
        self.start = half * np.exp(dice.normal(0.0, scatter, count))
        self.half, self.bend = np.zeros(count), bend
        self.last = np.full(count, -1_000_000.0)

    def chance(self, at: Ints, day: float) -> Floats:
        """True chance of a right answer for these cards."""
        half = self.half[at]
        late = np.maximum(day - self.last[at], 0.0) / np.maximum(half, 1e-9)
        return np.where(half > 0.0, 1.0 / (1.0 + late**self.bend), 0.0)

    def first_chance(self, at: Ints) -> Floats:
        """Chance of a right answer at first sight."""
        return np.full(len(at), FIRST_RIGHT)

    def answered(self, at: Ints, right: Bools, day: int) -> None:
        """These cards were asked (a missed one repeated until right)."""
        half = self.half[at]
        grown = half * (1.2 + 2.0 * (1.0 - self.chance(at, day)))
        fallen = np.maximum(0.5 * half, 0.6 * self.start[at])
        begun = self.start[at] * np.where(right, 1.5, 0.8)
        self.half[at] = np.where(half > 0.0, np.where(right, grown, fallen), begun)
        self.last[at] = day


class Savings:
    """Wickelgren's power law with savings: recall = start * (1 + rate * t) ** -fall (Wickelgren 1974, Memory &
    Cognition 2:775; the form as Wixted & Carpenter 2007, Psychological Science 18:133, have it, quoted; numbers are
    own choices). Each relearning leaves a flatter fall."""

    def __init__(
        self, count: int, dice: np.random.Generator, fall: float, rate: float = 1.0, scatter: float = 0.3
    ) -> None:
        self.fall = fall * np.exp(dice.normal(0.0, scatter, count))
        self.rate, self.last = rate, np.full(count, -1_000_000.0)

    def chance(self, at: Ints, day: float) -> Floats:
        """True chance of a right answer for these cards."""
        late = np.maximum(day - self.last[at], 0.0)
        recall = 0.97 * (1.0 + self.rate * late) ** -self.fall[at]
        return np.where(self.last[at] > -1_000_000.0, recall, 0.0)

    def first_chance(self, at: Ints) -> Floats:
        """Chance of a right answer at first sight."""
        return np.full(len(at), FIRST_RIGHT)

    def answered(self, at: Ints, right: Bools, day: int) -> None:
        """These cards were asked (a missed one repeated until right)."""
        late = np.maximum(day - self.last[at], 0.0)
        seen = self.last[at] > -1_000_000.0
        spaced = 0.5 + 0.5 * np.exp(-0.5 * np.minimum(late, 30.0))
        kept = np.where(right, spaced, 0.5 + 0.5 * spaced)
        self.fall[at] *= np.where(seen, kept, np.where(right, 0.8, 1.0))
        self.last[at] = day


def other_weights(first: float, growth: float, curve: float, loss: float = 1.0) -> tuple[float, ...]:
    """The scheduler's parameters with other first stabilities, growth, curve and loss."""
    w = list(DEFAULT.weights)
    w[:4] = [first * weight for weight in w[:4]]
    w[8] += growth
    w[11] *= loss
    w[20] = curve
    return tuple(w)
