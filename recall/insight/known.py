"""The store's cards as insight counts them."""

from collections.abc import Iterator
from datetime import timedelta

from recall.base.clock import day_of
from recall.insight.weak import CardRecord, TopicRecord, weak_topics
from recall.store import Store


def card_records(store: Store) -> Iterator[CardRecord]:
    """One record for each card that is asked. Predicted recall counts the hours of today."""
    from recall.schedule import recall_at

    settings = store.settings()
    now = store.clock.now()
    today = day_of(now, settings.home, settings.turn)
    local = now.astimezone(settings.home)
    turned = local.replace(hour=settings.turn, minute=0, second=0, microsecond=0)
    if local.hour < settings.turn:
        turned -= timedelta(days=1)
    part = (local - turned) / timedelta(days=1)
    parameters = store.parameters()
    for known in store.cards():
        recall = None
        if known.memory is not None:
            elapsed = max(0.0, today.toordinal() - known.memory.last_day + part)
            recall = recall_at(known.memory, elapsed, parameters)
        yield CardRecord(known.topic, recall, known.asked, known.right)


def topics_of(store: Store) -> list[TopicRecord]:
    """The person's topics, weakest first."""
    return weak_topics(card_records(store))
