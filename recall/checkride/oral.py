"""The draw for a mock oral, by the blueprint: as many cards of each area as it asks questions."""

from random import Random

from recall.checkride.odds import Examination


def draw(examination: Examination, rng: Random) -> list[int]:
    """Indices of the cards to ask, in a fresh order, areas mixed; each card once.

    A card that stands in two areas is drawn for one of them only, as long as the other has cards left.
    """
    drawn: set[int] = set()
    for area in sorted(examination.areas, key=lambda area: len(area.cards) - area.questions):
        free = [int(card) for card in area.cards if int(card) not in drawn]
        drawn.update(rng.sample(free, min(area.questions, len(free))))
    order = sorted(drawn)
    rng.shuffle(order)
    return order


def shares(sizes: dict[str, int], questions: int) -> dict[str, int]:
    """Spread a number of questions over topics by their number of cards (largest remainders), none over its cards."""
    total = sum(sizes.values())
    questions = min(questions, total)
    if not questions:
        return dict.fromkeys(sizes, 0)
    exact = {topic: questions * size / total for topic, size in sizes.items()}
    whole = {topic: int(share) for topic, share in exact.items()}
    by_rest = sorted(sizes, key=lambda topic: whole[topic] - exact[topic])
    for topic in by_rest[: questions - sum(whole.values())]:
        whole[topic] += 1
    return whole
