"""A mark proposed from a person's own pace: the time that they thought, apart from the time that they read."""

from collections.abc import Iterable, Mapping, Sequence

from recall.base.dataclass import dataclass
from recall.base.marks import Mark

ENOUGH = 20
USUAL_READING = 0.042
"""Seconds a letter: 238 words a minute, silent reading of non-fiction (Brysbaert 2019, Journal of Memory and Language
109:104047; from memory), at six letters a word with its blank."""
PRIOR_PAIRS = 5
"""The usual speed weighs like so many pairs of the person's own answers."""
LEAST_READING, MOST_READING = 0.01, 0.15

Timed = tuple[float, int]
"""Seconds to the first key, letters of the question."""


def reading_speed(past: Iterable[Sequence[Timed]]) -> float:
    """Seconds that a letter takes a person to read: the median slope between shorter and longer questions of one kind
    (Theil 1950, the incomplete method), under a prior. past: right answers by kind."""
    slopes = []
    for times in past:
        ordered = sorted(times, key=lambda one: one[1])
        half = len(ordered) // 2
        for (short, few), (long, many) in zip(ordered[:half], ordered[-half:] if half else (), strict=True):
            if many > few:
                slopes.append((long - short) / (many - few))
    own = USUAL_READING
    if slopes:
        from statistics import median

        own = median(slopes)
    speed = (len(slopes) * own + PRIOR_PAIRS * USUAL_READING) / (len(slopes) + PRIOR_PAIRS)
    return min(max(speed, LEAST_READING), MOST_READING)


@dataclass(slots=True)
class Pace:
    """A person's right answers by kind, and their speed of reading in seconds a letter."""

    past: dict[str, list[Timed]]
    reading: float

    @classmethod
    def of(cls, past: Mapping[str, Sequence[Timed]]) -> "Pace":
        """The pace that past answers show."""
        return cls({kind: list(times) for kind, times in past.items()}, reading_speed(past.values()))

    def proposed(self, kind: str, timed: Timed | None, *, guessed: bool = False) -> Mark:
        """The mark for a right answer, by the time thought: slowest quarter of that kind `hesitant`, quickest quarter
        `instant`; `sure` until there are 20, and where no time was measured. guessed: one of two choices, which tells
        too little to be instant."""
        past = self.past.get(kind, [])
        if timed is None or len(past) < ENOUGH:
            return "sure"
        ordered = sorted(map(self._thought, past))
        quick, slow = ordered[(len(ordered) - 1) // 4], ordered[(3 * (len(ordered) - 1) + 3) // 4]
        thought = self._thought(timed)
        if quick == slow:
            return "sure"
        if thought >= slow:
            return "hesitant"
        return "instant" if thought <= quick and not guessed else "sure"

    def _thought(self, timed: Timed) -> float:
        seconds, letters = timed
        return seconds - self.reading * letters

    def take(self, kind: str, timed: Timed) -> None:
        """Count one more right answer."""
        self.past.setdefault(kind, []).append(timed)

    def give_back(self, kind: str, timed: Timed) -> None:
        """Count it no more, where it was counted."""
        if timed in self.past.get(kind, ()):
            self.past[kind].remove(timed)
