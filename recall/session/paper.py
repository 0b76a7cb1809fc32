"""The examination that a checkride is: areas and questions by the decks' blueprints, or a stated usual one."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from recall.base.text import count as count_of
from recall.base.text import percent
from recall.checkride.goal import Passing
from recall.checkride.model import Floats
from recall.checkride.odds import Area, Examination, Odds
from recall.checkride.oral import shares
from recall.session.candidate import Candidate, areas_of
from recall.store import DeckInForce, Known, Store
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
    given: whether a deck's record says them; remarks: what of the blueprint can't be asked."""

    examination: Examination
    topics: tuple[tuple[str, ...], ...]
    origin: str
    given: bool
    remarks: tuple[str, ...] = ()

    @property
    def critical(self) -> bool:
        """Whether a critical card can be drawn."""
        rule = self.examination.without_fail
        return rule is not None and any(
            rule[area.cards].any() for area in self.examination.areas if area.questions
        )

    @property
    def critical_questions(self) -> float:
        """How many critical cards are drawn on average."""
        rule = self.examination.without_fail
        if rule is None:
            return 0.0
        areas = [area for area in self.examination.areas if area.questions]
        return float(sum(area.questions * rule[area.cards].mean() for area in areas))

    @property
    def rules(self) -> str:
        """Its rules in one sentence."""
        exam = self.examination
        each = ", in each area too" if exam.each_area else ""
        fail = "; a critical point missed fails it" if self.critical else ""
        areas = f" in {len(exam.areas)} areas" if len(exam.areas) > 1 else ""
        return f"{count_of(exam.questions, 'question')}{areas}, {percent(exam.pass_mark)} to pass{each}{fail}"


@dataclass(frozen=True, slots=True)
class Subject:
    """What of a card an examination goes by."""

    deck: str
    topic: tuple[str, ...]
    critical: bool


def paper_for(store: Store, candidate: Candidate, questions: int | None = None) -> Paper:
    """The examination of a candidate. questions: in all, spread as the blueprint spreads them; None: as it says."""
    return paper_of(candidate.known, store.decks(), questions)


def paper_of(
    known: "Sequence[Known | Subject]", in_force: Sequence[DeckInForce], questions: int | None = None
) -> Paper:
    """The same over any cards, by the blueprints of the decks in force."""
    slugs = {card.deck for card in known}
    decks = [deck for deck in in_force if deck.slug in slugs and _blueprint(deck)]
    wanted: list[Part] = []
    remarks: list[str] = []
    absent: list[str] = []
    for deck in decks:
        asked = _questions(deck)
        own = _apart(
            {
                topic: [
                    at
                    for at, card in enumerate(known)
                    if card.deck == deck.slug and in_topic(card.topic, topic)
                ]
                for topic, count in asked.items()
                if count
            }
        )
        for topic, count in asked.items():
            cards = own.get(topic, [])
            if not cards and count:
                absent.append(topic)
            elif len(cards) < count:
                remarks.append(
                    f"{topic} has {count_of(len(cards), 'card')} for {count_of(count, 'question')}"
                )
            if cards and count:
                wanted.append((tuple(topic.split(" / ")), cards, min(count, len(cards))))
    if absent:
        more = f" and {len(absent) - ABSENT_NAMED} more topics" if len(absent) > ABSENT_NAMED else ""
        remarks.append(f"Left out, since no card here is of it: {', '.join(absent[:ABSENT_NAMED])}{more}")
    marks = [mark for deck in decks if isinstance(mark := _blueprint(deck).get("pass_mark"), int)]
    record = f"the record of {' and '.join(deck.slug for deck in decks)}"
    origin, given = f"as {record} says", bool(wanted)
    if not wanted:
        wanted = _by_topic(known, questions or USUAL_QUESTIONS)
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
    return Paper(examination, tuple(topic for topic, _, _ in wanted), origin, given, tuple(remarks))


def odds_of(candidate: Candidate, paper: Paper, recalls: Sequence[Floats]) -> Odds:
    """The odds from each card's recall at the hour of the examination as each of the minds has it, (n,)."""
    return Passing(paper.examination, candidate.days, candidate.drawn).odds(candidate.minds, recalls)


def area_of_each(paper: Paper, drawn: Sequence[int]) -> list[int]:
    """The area of each drawn card."""
    of = {card: at for at, area in enumerate(paper.examination.areas) for card in area.cards.tolist()}
    return [of[card] for card in drawn]


def _blueprint(deck: DeckInForce) -> dict[str, object]:
    found = deck.record.get("checkride")
    return found if isinstance(found, dict) else {}


def _questions(deck: DeckInForce) -> dict[str, int]:
    found = _blueprint(deck).get("questions")
    return found if isinstance(found, dict) else {}


def _apart(areas: dict[str, list[int]]) -> dict[str, list[int]]:
    """Each card in one area, the narrowest that names it: else a draw would ask it for either, at uneven chances."""
    taken: set[int] = set()
    found = {}
    for topic in sorted(areas, key=lambda topic: len(areas[topic])):
        found[topic] = [at for at in areas[topic] if at not in taken]
        taken.update(found[topic])
    return found


def _by_topic(known: "Sequence[Known | Subject]", questions: int) -> list[Part]:
    areas, topic_of = areas_of(known)
    own: dict[tuple[str, ...], list[int]] = {area: [] for area in areas}
    for at, topic in enumerate(topic_of):
        own[areas[topic]].append(at)
    names = {" / ".join(area): area for area in own}
    sizes = {name: len(own[area]) for name, area in names.items()}
    spread = shares(sizes, questions, sizes)
    return [(names[name], own[names[name]], count) for name, count in spread.items() if count]


def _scaled(wanted: list[Part], questions: int) -> list[Part]:
    """Fewer or more questions in the blueprint's proportions, no area over its cards."""
    asked = {str(at): count for at, (*_, count) in enumerate(wanted)}
    spread = shares(asked, questions, {str(at): len(cards) for at, (_, cards, _) in enumerate(wanted)})
    return [(topic, cards, spread[str(at)]) for at, (topic, cards, _) in enumerate(wanted) if spread[str(at)]]
