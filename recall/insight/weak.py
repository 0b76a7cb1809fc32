"""Topics by how likely a miss is."""

from collections.abc import Iterable, Sequence

from recall.base.dataclass import dataclass
from recall.insight.rates import wilson

FEW_ANSWERS = 5
"""Below so many answers little is known of a topic, and it isn't called weak."""


@dataclass(frozen=True, slots=True)
class CardRecord:
    """What is known of one card. recall: predicted, None for an unasked card; answers: its first answers of
    each day, right: how many of those were."""

    topic: tuple[str, ...]
    recall: float | None
    answers: int
    right: int


@dataclass(frozen=True, slots=True)
class TopicRecord:
    """A topic's cards and answers. recall: mean predicted recall of asked cards; accuracy: share of first answers
    that were right (`right` of `answers`), with its 95 % interval low to high. None where nothing was asked."""

    topic: tuple[str, ...]
    cards: int
    asked: int
    recall: float | None
    accuracy: float | None
    low: float
    high: float
    right: int
    answers: int

    @classmethod
    def of(
        cls, topic: tuple[str, ...], cards: int, asked: int, recall: float | None, right: int, answers: int
    ) -> "TopicRecord":
        """With the rate and its interval."""
        accuracy = right / answers if answers else None
        return cls(topic, cards, asked, recall, accuracy, *wilson(right, answers), right, answers)


def weak_topics(records: Iterable[CardRecord]) -> list[TopicRecord]:
    """Topics, weakest first: by the lower end of the miss rate's interval, so that a small topic doesn't lead by
    bad luck; then by predicted recall."""
    groups: dict[tuple[str, ...], list[CardRecord]] = {}
    for record in records:
        groups.setdefault(record.topic, []).append(record)
    return sorted((_topic(topic, group) for topic, group in groups.items()), key=_weakness)


def _weakness(one: TopicRecord) -> tuple[float, float, tuple[str, ...]]:
    return one.high, 1.0 if one.recall is None else one.recall, one.topic


def _topic(topic: tuple[str, ...], group: Sequence[CardRecord]) -> TopicRecord:
    recalls = [record.recall for record in group if record.recall is not None]
    mean = sum(recalls) / len(recalls) if recalls else None
    right, answers = sum(record.right for record in group), sum(record.answers for record in group)
    return TopicRecord.of(topic, len(group), len(recalls), mean, right, answers)


def _joined(system: tuple[str, ...], topics: Sequence[TopicRecord]) -> TopicRecord:
    asked = sum(one.asked for one in topics)
    recall = sum((one.recall or 0.0) * one.asked for one in topics) / asked if asked else None
    right, answers = sum(one.right for one in topics), sum(one.answers for one in topics)
    return TopicRecord.of(system, sum(one.cards for one in topics), asked, recall, right, answers)


def by_system(topics: Sequence[TopicRecord]) -> list[tuple[TopicRecord, list[TopicRecord]]]:
    """The systems with their topics, weakest first in both. A system is the heading at the first level where topics
    differ."""
    level = level_apart([one.topic for one in topics])
    groups: dict[tuple[str, ...], list[TopicRecord]] = {}
    for one in topics:
        groups.setdefault(one.topic[:level], []).append(one)
    systems = {system: _joined(system, own) for system, own in groups.items()}
    return [(systems[one.topic], groups[one.topic]) for one in sorted(systems.values(), key=_weakness)]


def level_apart(paths: Sequence[tuple[str, ...]]) -> int:
    """The number of headings from the top that tell topics apart."""
    level = 1
    while len({path[:level] for path in paths}) == 1 and all(len(path) > level for path in paths):
        level += 1
    return level
