"""Topics by how likely a miss is."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from recall.base.dataclass import dataclass
from recall.insight.rates import wilson

FEW_ANSWERS = 5
"""Below so many answers little is known of a topic, and it isn't called weak."""


@dataclass(frozen=True, slots=True)
class TopicRecord:
    """Cards and answers of a topic, or of a card. asked: cards that were; recall: their mean predicted recall,
    None where none was; right: of the first answers of each day."""

    topic: tuple[str, ...]
    cards: int
    asked: int
    recall: float | None
    right: int
    answers: int

    @property
    def accuracy(self) -> float | None:
        """Share of answers that were right; None where nothing was asked."""
        return self.right / self.answers if self.answers else None

    @property
    def low(self) -> float:
        """Lower end of the share's 95 % interval."""
        return wilson(self.right, self.answers)[0]

    @property
    def high(self) -> float:
        """Upper end of the share's 95 % interval."""
        return wilson(self.right, self.answers)[1]


def weak_topics(records: Iterable[TopicRecord]) -> list[TopicRecord]:
    """Topics, weakest first: by the lower end of the miss rate's interval, so that a small topic doesn't lead by
    bad luck; then by predicted recall. records: of their cards."""
    groups: dict[tuple[str, ...], list[TopicRecord]] = defaultdict(list)
    for record in records:
        groups[record.topic].append(record)
    return sorted((_joined(topic, group) for topic, group in groups.items()), key=_weakness)


def _weakness(one: TopicRecord) -> tuple[float, float, tuple[str, ...]]:
    return one.high, 1.0 if one.recall is None else one.recall, one.topic


def _joined(topic: tuple[str, ...], parts: Sequence[TopicRecord]) -> TopicRecord:
    asked = sum(one.asked for one in parts)
    recall = sum((one.recall or 0.0) * one.asked for one in parts) / asked if asked else None
    right, answers = sum(one.right for one in parts), sum(one.answers for one in parts)
    return TopicRecord(topic, sum(one.cards for one in parts), asked, recall, right, answers)


def by_system(topics: Sequence[TopicRecord]) -> list[tuple[TopicRecord, list[TopicRecord]]]:
    """The systems with their topics, weakest first in both. A system is the heading at the first level where topics
    differ."""
    level = level_apart([one.topic for one in topics])
    groups: dict[tuple[str, ...], list[TopicRecord]] = defaultdict(list)
    for one in topics:
        groups[one.topic[:level]].append(one)
    systems = [(_joined(system, own), own) for system, own in groups.items()]
    return sorted(systems, key=lambda pair: _weakness(pair[0]))


def level_apart(paths: Sequence[tuple[str, ...]]) -> int:
    """The number of headings from the top that tell topics apart."""
    level = 1
    while len({path[:level] for path in paths}) == 1 and all(len(path) > level for path in paths):
        level += 1
    return level
