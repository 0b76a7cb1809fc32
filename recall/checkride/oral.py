"""The draw for a mock oral, by the blueprint: as many cards of each area as it asks questions."""

from random import Random

from recall.checkride.odds import Examination


def draw(examination: Examination, rng: Random) -> list[int]:
    """Indices of the cards to ask, in a fresh order, areas mixed; each card of an area is as likely as any other."""
    drawn = [card for area in examination.areas for card in rng.sample(area.cards.tolist(), area.questions)]
    rng.shuffle(drawn)
    return drawn


def shares(weights: dict[str, int], questions: int, most: dict[str, int]) -> dict[str, int]:
    """Spread a number of questions over topics by their weights (largest remainders), none over its most."""
    found = dict.fromkeys(weights, 0)
    left = {topic: weight for topic, weight in weights.items() if weight > 0}
    questions = min(questions, sum(most[topic] for topic in left))
    while full := [t for t in left if questions * left[t] >= most[t] * sum(left.values())]:
        for topic in full:
            found[topic] = most[topic]
            questions -= most[topic]
            del left[topic]
    total = sum(left.values())
    for topic, weight in left.items():
        found[topic] = questions * weight // total
    by_rest = sorted(left, key=lambda topic: -(questions * left[topic] % total))
    for topic in by_rest[: questions - sum(found[topic] for topic in left)]:
        found[topic] += 1
    return found
