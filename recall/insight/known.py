"""The store's cards as insight counts them."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta

from recall.base.clock import day_of
from recall.base.text import percent
from recall.insight.weak import FEW_ANSWERS, TopicRecord, weak_topics
from recall.store import Known, Store
from recall.store.answers import newest_answers

NEWEST = 5_000
"""Answers of which the hour matters; of older ones the day is enough."""
MORNING = time(9)
"""The hour at which recall is told, as that of an examination unless told otherwise."""


def tomorrow_morning(store: Store) -> datetime:
    """The moment for which recall is told: what was just answered says nothing by itself. At home."""
    home = store.settings().home
    return datetime.combine(store.today() + timedelta(days=1), MORNING, home)


def recalls(store: Store, moment: datetime) -> Iterator[tuple[Known, float | None]]:
    """Each card that is asked with its predicted recall, which counts the hours from the last answer to the moment;
    None for one that was never answered."""
    from recall.schedule import recall_at

    settings = store.settings()
    day = day_of(moment, settings.home, settings.turn)
    local = moment.astimezone(settings.home)
    turned = datetime.combine(day, time(settings.turn), settings.home)
    part = (local - turned) / timedelta(days=1)
    last: dict[str, tuple[date, datetime]] = {
        one.card: (one.day, one.at) for one in newest_answers(store, NEWEST)
    }
    parameters = store.parameters()
    for known in store.cards():
        recall = None
        if known.memory is not None:
            on, at = last.get(known.id, (None, moment))
            if on is not None and on.toordinal() == known.memory.last_day:
                elapsed = (moment - at) / timedelta(days=1)
            else:
                elapsed = day.toordinal() - known.memory.last_day + part
            recall = recall_at(known.memory, max(0.0, elapsed), parameters)
        yield known, recall


def records_of(found: Iterable[tuple[Known, float | None]]) -> Iterator[TopicRecord]:
    """One record for each card with its recall."""
    for known, recall in found:
        asked = int(recall is not None)
        yield TopicRecord(known.topic or (known.deck,), 1, asked, recall, known.right, known.asked)


def shaky(found: Iterable[tuple[Known, float | None]], target: float) -> list[tuple[Known, float]]:
    """Critical cards that were never right at a day's first answer, then those whose recall is below the one aimed
    at, the shakiest first."""
    asked = [(known, one) for known, one in found if known.critical and one is not None]
    below = [(known, one) for known, one in asked if one < target or not known.right]
    return sorted(below, key=lambda pair: (pair[0].right > 0, pair[1]))


def topics_of(store: Store) -> list[TopicRecord]:
    """The person's topics, weakest first; recall as of tomorrow morning."""
    return weak_topics(records_of(recalls(store, tomorrow_morning(store))))


def weak_lines(topics: Iterable[TopicRecord]) -> list[str]:
    """The three weakest topics, a line each; those with a miss only. topics: weakest first."""
    return [
        f"{' / '.join(topic.topic)}: {percent(topic.accuracy)} right ({topic.answers} answers, each day's first)"
        for topic in topics
        if topic.accuracy is not None and topic.accuracy < 1 and topic.answers >= FEW_ANSWERS
    ][:3]
