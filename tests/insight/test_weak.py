"""Which topics are weak."""

from recall.insight.weak import TopicRecord, by_system, weak_topics


def _cards(topic: str, cards: int, answers: int, right: int, recall: float | None = 0.9) -> list[TopicRecord]:
    return [TopicRecord((topic,), 1, int(recall is not None), recall, right, answers) for _ in range(cards)]


def test_the_topic_most_likely_missed_comes_first() -> None:
    """Topics of the same size are ordered by their misses."""
    records = _cards("Fuel", 10, 4, 4) + _cards("Electrical", 10, 4, 2) + _cards("Gear", 10, 4, 3)

    assert ["Electrical", "Gear", "Fuel"] == [one.topic[0] for one in weak_topics(records)]


def test_a_small_topic_does_not_lead_by_bad_luck() -> None:
    """One miss in one answer says less than forty in a hundred."""
    records = _cards("Oxygen", 1, 1, 0) + _cards("Fuel", 10, 10, 6)

    assert ["Fuel", "Oxygen"] == [one.topic[0] for one in weak_topics(records)]


def test_unasked_cards_count_as_cards_and_not_in_recall() -> None:
    """Mean recall leaves unasked cards out."""
    records = _cards("Fuel", 2, 1, 1, recall=0.8) + _cards("Fuel", 3, 0, 0, recall=None)
    fuel = weak_topics(records)[0]

    assert (5, 2, 0.8, 1.0) == (fuel.cards, fuel.asked, fuel.recall, fuel.accuracy)


def test_an_unasked_topic_stands_last_without_a_rate() -> None:
    """Nothing asked: no accuracy, and no claim."""
    records = _cards("Gear", 2, 0, 0, recall=None) + _cards("Fuel", 2, 5, 5)
    last = weak_topics(records)[-1]

    assert (("Gear",), None, None) == (last.topic, last.accuracy, last.recall)


def _under(*topic: str, answers: int, right: int) -> TopicRecord:
    return TopicRecord(topic, 1, int(answers > 0), 0.9 if answers else None, right, answers)


def test_topics_stand_under_their_systems() -> None:
    """A system counts all its topics; below the heading that all share, and the weakest first."""
    records = [
        _under("Skerry", "Fuel", "Pumps", answers=10, right=9),
        _under("Skerry", "Fuel", "Tanks", answers=10, right=10),
        _under("Skerry", "Power", "Buses", answers=10, right=2),
        _under("Skerry", "Power", "Batteries", answers=0, right=0),
    ]
    systems = by_system(weak_topics(records))

    assert [("Skerry", "Power"), ("Skerry", "Fuel")] == [system.topic for system, _ in systems]
    assert [(2, 1, 2, 10), (2, 2, 19, 20)] == [
        (system.cards, system.asked, system.right, system.answers) for system, _ in systems
    ]
    assert [["Buses", "Batteries"], ["Pumps", "Tanks"]] == [
        [one.topic[-1] for one in own] for _, own in systems
    ]
