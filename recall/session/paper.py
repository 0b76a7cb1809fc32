"""The examination that a checkride is: areas and questions by the decks' blueprints, or a stated usual one."""

from collections.abc import Sequence
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.base.text import count as count_of
from recall.base.text import percent
from recall.checkride.oral import shares
from recall.deck.topics import in_topic, topic_named
from recall.insight.weak import level_apart
from recall.session.target import Scope
from recall.store import DeckInForce, Known, Store

if TYPE_CHECKING:
    from recall.checkride.model import Floats
    from recall.checkride.odds import Examination, Odds
    from recall.session.candidate import Candidate

USUAL_PASS = 70
"""Per cent; common practice, no source: a practical test goes by its standards, not by a share of right answers."""
USUAL_QUESTIONS = 40
ABSENT_NAMED = 3

Part = tuple[tuple[str, ...], list[int], int]
"""An area to be: topic, indices of its cards, questions."""


@dataclass(frozen=True, eq=False)
class Paper:
    """An examination over a candidate's cards, in plain values: a mock oral is drawn of it where there are no arrays.
    parts: its areas; pass_mark: share of right answers to reach; each_area: every area must reach it too; fails: of
    each card, whether the examination is failed by missing it; origin: where its rules come from, a phrase; given:
    whether a deck's record says them; remarks: what of the blueprint can't be asked."""

    parts: tuple[Part, ...]
    pass_mark: float
    each_area: bool
    fails: tuple[bool, ...]
    origin: str
    given: bool
    remarks: tuple[str, ...] = ()

    @cached_property
    def examination(self) -> "Examination":
        """As the odds compute with it."""
        import numpy as np

        from recall.checkride.odds import Area, Examination

        made = tuple(Area(" / ".join(topic), np.array(cards), count) for topic, cards, count in self.parts)
        return Examination(made, self.pass_mark, self.each_area, np.array(self.fails, dtype=np.bool_))

    @property
    def topics(self) -> tuple[tuple[str, ...], ...]:
        """Of each area."""
        return tuple(topic for topic, _, _ in self.parts)

    @property
    def critical(self) -> bool:
        """Whether a critical card can be drawn."""
        return any(self.fails[card] for _, cards, count in self.parts if count for card in cards)

    @property
    def critical_questions(self) -> float:
        """How many critical cards are drawn on average."""
        asked = ((cards, count) for _, cards, count in self.parts if count)
        return sum(count * sum(self.fails[card] for card in cards) / len(cards) for cards, count in asked)

    @property
    def rules(self) -> str:
        """Its rules in one sentence."""
        each = ", in each area too" if self.each_area and len(self.parts) > 1 else ""
        fail = "; a critical point missed fails it" if self.critical else ""
        areas = f" in {len(self.parts)} areas" if len(self.parts) > 1 else ""
        questions = count_of(sum(count for *_, count in self.parts), "question")
        return f"{questions}{areas}, {percent(self.pass_mark)} to pass{each}{fail}"


@dataclass(frozen=True, slots=True)
class Subject:
    """What of a card an examination goes by."""

    deck: str
    topic: tuple[str, ...]
    critical: bool


def no_cards(store: Store) -> RecallError:
    """Why a store without a deck in force has no cards."""
    waits = store.rows("SELECT slug, pending FROM deck WHERE pending IS NOT NULL ORDER BY pending LIMIT 1")
    for slug, day in waits:
        return RecallError(
            f"there are no cards yet: {slug} takes effect on {date.fromordinal(day)}",
            "wait for that day, or load the revision before it",
        )
    return RecallError("there are no cards yet", "name a folder of notes: recall review PATH")


def chosen(store: Store, scope: Scope) -> tuple[Known, ...]:
    """The cards of a scope that are for the person's aircraft. RecallError where there are none."""
    slugs = {deck.slug for deck in store.decks()}
    if not slugs:
        raise no_cards(store)
    if missing := [deck for deck in scope.decks if deck not in slugs]:
        raise RecallError(f"no deck is called `{missing[0]}`", "decks are: " + ", ".join(sorted(slugs)))
    found = [card for card in store.cards() if not scope.decks or card.deck in scope.decks]
    if scope.topics:
        topics = [topic_named([card.topic for card in found], topic) for topic in scope.topics]
        found = [card for card in found if any(in_topic(card.topic, topic) for topic in topics)]
    if not found:
        raise RecallError("there are no cards to plan", "load a deck, or choose another topic")
    return tuple(_by_turns(found))


def _by_turns(known: Sequence[Known]) -> list[Known]:
    """One side of every point before the next side of any: equal buys are then spread over the points."""
    seen: dict[str, int] = {}
    turns = []
    for at, card in enumerate(known):
        seen[card.point] = seen.get(card.point, -1) + 1
        turns.append((seen[card.point], at, card))
    return [card for *_, card in sorted(turns, key=lambda turn: turn[:2])]


def areas_of(known: Sequence[Any]) -> tuple[tuple[tuple[str, ...], ...], list[int]]:
    """The headings at the first level where topics differ, and the index of each card's."""
    paths = [card.topic or (card.deck,) for card in known]
    level = level_apart(paths)
    index: dict[tuple[str, ...], int] = {}
    at = [index.setdefault(path[:level], len(index)) for path in paths]
    return tuple(index), at


def paper_for(store: Store, candidate: "Candidate", questions: int | None = None) -> Paper:
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
        origin += f"; {USUAL_PASS} % is this program's own mark, since no record says what passes"
    if questions is not None:
        wanted = _scaled(wanted, questions)
        if (there := sum(count for *_, count in wanted)) < questions:
            remarks.append(f"{questions} were asked for, and there are {count_of(there, 'question')} here")
    return Paper(
        tuple(wanted),
        max(marks, default=USUAL_PASS) / 100,
        any(_blueprint(deck).get("each_area") is True for deck in decks),
        tuple(card.critical for card in known),
        origin,
        given,
        tuple(remarks),
    )


def odds_of(candidate: "Candidate", paper: Paper, recalls: "Sequence[Floats]") -> "Odds":
    """The odds from each card's recall at the hour of the examination as each of the minds has it, (n,)."""
    from recall.checkride.goal import Passing

    return Passing(paper.examination, candidate.forms).odds(candidate.minds, recalls)


def area_of_each(paper: Paper, drawn: Sequence[int]) -> list[int]:
    """The area of each drawn card."""
    of = {card: at for at, (_, cards, _) in enumerate(paper.parts) for card in cards}
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
    sizes = {area: len(cards) for area, cards in own.items()}
    return [(area, own[area], count) for area, count in shares(sizes, questions, sizes).items() if count]


def _scaled(wanted: list[Part], questions: int) -> list[Part]:
    """Fewer or more questions in the blueprint's proportions, no area over its cards."""
    most = {at: len(cards) for at, (_, cards, _) in enumerate(wanted)}
    spread = shares({at: count for at, (*_, count) in enumerate(wanted)}, questions, most)
    return [(*wanted[at][:2], count) for at, count in spread.items() if count]
