"""Topics by how likely a miss is."""

from collections.abc import Iterable
from dataclasses import dataclass

from recall.insight.rates import wilson

FEW_ANSWERS = 5
"""Below so many answers little is known of a topic, and it isn't called weak."""


@dataclass(frozen=True, slots=True)
class CardRecord:
    """What is known of one card. recall: predicted now, None for an unasked card; answers: its first answers of
    each day, right: how many of those were."""

    topic: tuple[str, ...]
    recall: float | None
    answers: int
    right: int


@dataclass(frozen=True, slots=True)
class TopicRecord:
    """A topic's cards and answers. recall: mean predicted recall of asked cards; accuracy: share of first answers
    that were right, with its 95 % interval low to high. None where nothing was asked."""

    topic: tuple[str, ...]
    cards: int
    asked: int
    recall: float | None
    accuracy: float | None
    low: float
    high: float
    answers: int


def weak_topics(records: Iterable[CardRecord]) -> list[TopicRecord]:
    """Topics, weakest first: by the lower end of the miss rate's interval, so that a small topic doesn't lead by
    bad luck; then by predicted recall."""
    groups: dict[tuple[str, ...], list[CardRecord]] = {}
    for record in records:
        groups.setdefault(record.topic, []).append(record)
    topics = [_topic(topic, group) for topic, group in groups.items()]
    return sorted(topics, key=lambda one: (one.high, 1.0 if one.recall is None else one.recall, one.topic))


def _topic(topic: tuple[str, ...], group: list[CardRecord]) -> TopicRecord:
    recalls = [record.recall for record in group if record.recall is not None]
    answers = sum(record.answers for record in group)
    right = sum(record.right for record in group)
    low, high = wilson(right, answers)
    return TopicRecord(
        topic=topic,
        cards=len(group),
        asked=len(recalls),
        recall=sum(recalls) / len(recalls) if recalls else None,
        accuracy=right / answers if answers else None,
        low=low,
        high=high,
        answers=answers,
    )
