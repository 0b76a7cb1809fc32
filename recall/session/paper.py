"""The examination that a checkride is: areas and questions by the decks' blueprints, or a stated usual one."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from recall.base.text import percent
from recall.checkride.model import Floats
from recall.checkride.odds import Area, Examination, Odds, odds
from recall.checkride.oral import shares
from recall.session.candidate import Candidate
from recall.store import DeckInForce, Store
from recall.store.query import in_topic

USUAL_PASS = 70
"""Per cent: minimum passing grade of 14 CFR 63.17(b) and 65.17(b)."""
USUAL_QUESTIONS = 40
ABSENT_NAMED = 3

Part = tuple[tuple[str, ...], list[int], int]
"""An area to be: topic, indices of its cards, questions."""


@dataclass(frozen=True, eq=False)
class Paper:
    """An examination over a candidate's cards. topics: of each area; origin: where its rules come from, a phrase;
    remarks: what of the blueprint can't be asked."""

    examination: Examination
    topics: tuple[tuple[str, ...], ...]
    origin: str
    remarks: tuple[str, ...] = ()

    @property
    def rules(self) -> str:
        """Its rules in one sentence."""
        exam = self.examination
        each = ", in each area too" if exam.each_area else ""
        critical = exam.without_fail is not None and exam.without_fail.any()
        fail = "; a critical point missed fails it" if critical else ""
        areas = f" in {len(exam.areas)} areas" if len(exam.areas) > 1 else ""
        count = f"{exam.questions} question{'s' if exam.questions > 1 else ''}"
        return f"{count}{areas}, {percent(exam.pass_mark)} to pass{each}{fail}"


def paper_for(store: Store, candidate: Candidate, questions: int | None = None) -> Paper:
    """The examination of a candidate. questions: in all, spread as the blueprint spreads them; None: as it says."""
    known = candidate.known
    slugs = {card.deck for card in known}
    decks = [deck for deck in store.decks() if deck.slug in slugs and _blueprint(deck)]
    wanted: list[Part] = []
    remarks: list[str] = []
    absent: list[str] = []
    for deck in decks:
        for topic, count in _questions(deck).items():
            cards = [
                at for at, card in enumerate(known) if card.deck == deck.slug and in_topic(card.topic, topic)
            ]
            if not cards and count:
                absent.append(topic)
            elif len(cards) < count:
                remarks.append(f"{topic} has {len(cards)} cards for {count} questions")
            if cards and count:
                wanted.append((tuple(topic.split(" / ")), cards, min(count, len(cards))))
    if absent:
        more = f" and {len(absent) - ABSENT_NAMED} more topics" if len(absent) > ABSENT_NAMED else ""
        remarks.append(f"Left out, since no card here is of it: {', '.join(absent[:ABSENT_NAMED])}{more}")
    marks = [mark for deck in decks if isinstance(mark := _blueprint(deck).get("pass_mark"), int)]
    record = f"the record of {' and '.join(deck.slug for deck in decks)}"
    origin = f"as {record} says"
    if not wanted:
        wanted = _by_topic(candidate, questions or USUAL_QUESTIONS)
        lack = f"{record} names no topic of these" if decks else "no deck here has a blueprint in its record"
        origin = f"spread over the topics by their cards, since {lack}"
    if not marks:
        origin += f"; {USUAL_PASS} % from 14 CFR 63.17(b) and 65.17(b)"
    if questions is not None:
        wanted = _scaled(wanted, questions)
    areas = tuple(Area(" / ".join(topic), np.array(cards), count) for topic, cards, count in wanted)
    critical = np.array([card.critical for card in known], dtype=np.bool_)
    examination = Examination(
        areas,
        max(marks, default=USUAL_PASS) / 100,
        any(_blueprint(deck).get("each_area") is True for deck in decks),
        critical,
    )
    return Paper(examination, tuple(topic for topic, _, _ in wanted), origin, tuple(remarks))


def odds_of(candidate: Candidate, paper: Paper, recall: Floats) -> Odds:
    """The odds from each card's recall at the hour of the examination (n,)."""
    return odds(paper.examination, recall, candidate.days)


def area_of_each(paper: Paper, drawn: Sequence[int]) -> list[int]:
    """The area that each drawn card is asked for; a card in two areas counts for the one that still lacks cards."""
    areas = paper.examination.areas
    by_slack = sorted(range(len(areas)), key=lambda at: len(areas[at].cards) - areas[at].questions)
    found: dict[int, int] = {}
    for at in by_slack:
        inside = set(areas[at].cards.tolist())
        own = [card for card in drawn if card in inside and card not in found]
        found.update(dict.fromkeys(own[: areas[at].questions], at))
    for card in drawn:
        if card not in found:
            found[card] = next(at for at in by_slack if card in areas[at].cards)
    return [found[card] for card in drawn]


def _blueprint(deck: DeckInForce) -> dict[str, object]:
    found = deck.record.get("checkride")
    return found if isinstance(found, dict) else {}


def _questions(deck: DeckInForce) -> dict[str, int]:
    found = _blueprint(deck).get("questions")
    return found if isinstance(found, dict) else {}


def _by_topic(candidate: Candidate, questions: int) -> list[Part]:
    own: dict[tuple[str, ...], list[int]] = {area: [] for area in candidate.areas}
    for at, topic in enumerate(candidate.cards.topic.tolist()):
        own[candidate.areas[topic]].append(at)
    names = {" / ".join(area): area for area in own}
    spread = shares({name: len(own[area]) for name, area in names.items()}, questions)
    return [(names[name], own[names[name]], count) for name, count in spread.items() if count]


def _scaled(wanted: list[Part], questions: int) -> list[Part]:
    """Fewer or more questions in the same proportions, no area over its cards."""
    sizes = {str(at): len(cards) for at, (_, cards, _) in enumerate(wanted)}
    if questions <= sum(count for *_, count in wanted):
        sizes = {str(at): count for at, (*_, count) in enumerate(wanted)}
    spread = shares(sizes, questions)
    return [(topic, cards, spread[str(at)]) for at, (topic, cards, _) in enumerate(wanted) if spread[str(at)]]
