"""The store as a sitting needs it, and the order of a sitting made from it."""

import json
import random
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from recall.answers import NOT_KNOWN, Lore, Verdict
from recall.base.dataclass import dataclass
from recall.base.marks import MARKS, Mark, rank
from recall.base.text import key_form
from recall.insight.weak import level_apart
from recall.kinds.marking import pose, pose_open, wordings
from recall.kinds.model import Card
from recall.session.effort import spent_on
from recall.session.model import DONT_KNOW, Kept, Mode, Was
from recall.session.oral import Drawn
from recall.session.order import Order, Waiting
from recall.session.pace import Pace
from recall.store import Known, Review, Store
from recall.store.answers import given_in, not_right_yet
from recall.store.events import milliseconds
from recall.store.query import Wanted
from recall.store.words import abbreviations, answered_elsewhere, knows, look_alikes, texts_with

_LOOK_AHEAD = 300
"""Unasked cards looked over to begin a day's, so that sides of one point are spread."""
SITTING = 1_000
"""The most due cards that one sitting puts: those behind them wait for the next."""


class Desk:
    """Questions and answers of one person, kept in their store."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._short: dict[str, dict[str, tuple[str, ...]]] = {}
        self._noted = ""
        self.spent_before = spent_on(store, store.today())

    @cached_property
    def pace(self) -> Pace:
        """The person's times so far: known from the first answer on, so that no question waits for them."""
        return Pace.of(self.store.pace())

    @cached_property
    def _confused(self) -> Mapping[str, list[str]]:
        pairs: dict[str, list[str]] = defaultdict(list)
        for confusion in self.store.confusions():
            pairs[confusion.card].append(confusion.other)
            pairs[confusion.other].append(confusion.card)
        return pairs

    def near(self, card: str) -> Sequence[str]:
        """With which others a card was confused, the most often first, and which invite confusion."""
        return [*self._confused.get(card, ()), *sorted(look_alikes(self.store, card))]

    def ready(self, card: Card) -> None:
        """Have ready what a first answer would wait for: times, what was confused, what marking needs."""
        self.pace, self._confused  # noqa: B018 - kept once they were asked for
        lore = self.lore(card.deck)
        lore.knows("")
        card.mark(card.answer.text, lore)

    def new_id(self) -> str:
        """An id for a sitting: the moment, and something drawn."""
        writer = self.store.writer
        return f"{milliseconds(self.store.clock.now()):013d}-{writer.random.getrandbits(32):08x}"

    def spent(self) -> float:
        """Seconds that this run has added to those of the day."""
        return spent_on(self.store, self.store.today()) - self.spent_before

    def put(self, waiting: Waiting, rng: random.Random, drawn: Drawn | None = None) -> Card:
        """A card as a question: from one day to the next in another wording. drawn: the oral that it is of; it asks
        critical points in the wording that no review uses, where there are three, and some of them openly."""
        card, known = self.store.card(waiting.card), self.store.known(waiting.card)
        if drawn is not None and card.id in drawn.open:
            return pose_open(card, self.told_with(card)) or card
        ways = len(wordings(card))
        reserved = ways > 2
        if drawn is not None and card.critical and reserved:
            return pose(card, rng, ways - 1)
        today = self.store.today().toordinal()
        days = known.asked - (known.memory is not None and known.memory.last_day == today)
        return pose(card, rng, days % (ways - reserved))

    def told_with(self, card: Card) -> list[Card]:
        """The cards that say an amount of the same subject under the same topic, itself among them."""
        topic = " / ".join(card.topic) or None
        near = self.store.cards(decks=[card.deck], topic=topic, kind=card.kind)
        cards = [self.store.card(known.id) for known in near if known.topic == card.topic]
        return [
            one
            for one in cards
            if one.answer.amount is not None and key_form(one.subject) == key_form(card.subject)
        ]

    def keep(self, kept: Kept, mode: Mode, sitting: str, of: int | None) -> str:
        """Keep a review, durable when it returns; its event's id."""
        assert kept.mark is not None
        self.pace, self._confused  # noqa: B018 - as they are before this answer
        return self.store.record(
            Review(
                card=kept.card.id,
                answer_hash=kept.card.answer_hash,
                mark=rank(kept.mark),
                right=kept.right if kept.verdict.right is None else kept.verdict.right,
                overruled=kept.overruled,
                marked_by=kept.marked_by,
                seconds=kept.seconds,
                given=kept.given,
                mode=mode,
                claimed=kept.claimed,
                drawn=kept.waiting.drawn,
                sitting=sitting,
                of=of,
            )
        )

    def lore(self, deck: str) -> Lore:
        """What a deck says, as far as marking needs it."""
        if deck not in self._short:
            self._short[deck] = abbreviations(self.store, deck)
        return Lore(
            lambda word: knows(self.store, deck, word),
            self._short[deck],
            says=lambda words: texts_with(self.store, deck, words),
        )

    def answered_instead(self, kept: Kept) -> list[Card]:
        """The cards whose right answer was given instead; none where it is that of many."""
        return answered_elsewhere(self.store, kept.card, kept.given)

    def was(self, card: Card, given: str) -> Was | None:
        """The answer before the last revision that changed it, where this is the first asking since."""
        if not self.store.known(card.id).fresh:
            return None
        was = self.store.was(card.id)
        if was is None or not (answer := was.card.answer.texts):
            return None
        right = was.card.mark(given, self.lore(card.deck)).right
        same = right if right is not None else key_form(given) == key_form("; ".join(answer))
        return Was(answer, was.revision, same)

    def remark(self, card: Card) -> str:
        """The student's own remark, empty where there is none."""
        return self.store.remark_on(card.id)

    # What is left behind for a sitting to go on, should this run end before it does

    @staticmethod
    def kept_as(mode: Mode) -> str:
        """The name under which the store holds it."""
        return f"{'oral' if mode == 'oral' else 'review'} left"

    def note(self, mode: Mode, note: Mapping[str, Any] | None) -> None:
        """Leave it, or nothing; inside a transaction."""
        self._noted = "" if note is None else json.dumps(note)
        self.store.set_local(self.kept_as(mode), self._noted)

    def noted(self, mode: Mode) -> bool:
        """Whether what was left last still stands: no other run went on from it."""
        return self.store.local(self.kept_as(mode)) == self._noted

    def left(self, mode: Mode, scope: Mapping[str, Any]) -> dict[str, Any] | None:
        """What a sitting of today, of these cards, left behind; None where there is none."""
        found = json.loads(self.store.local(self.kept_as(mode)) or "null")
        wanted = json.loads(json.dumps(dict(scope)))
        same = found and (found["scope"], found["day"]) == (wanted, self.store.today().isoformat())
        return found if same else None

    def answers_of(self, sitting: str) -> list[Kept]:
        """The answers of a sitting that are kept, in their order."""
        found: list[Kept] = []
        for event in given_in(self.store, sitting):
            card, mark_ = self.store.card(event["card"]), MARKS[event["mark"] - 1]
            claimed, overruled = event.get("claimed", False), event["overruled"]
            judged = event["marked_by"] == "program" or (card.answer.typed and (claimed or overruled))
            proposed: Mark | None = "missed" if judged or overruled else None
            if judged and event["right"]:  # which one an overruled answer led to isn't kept
                proposed = mark_ if not overruled else "sure" if mark_ != "sure" else "hesitant"
            found.append(
                Kept(
                    waiting=waits(self.store.known(card.id), unasked=event["first"]),
                    card=card,
                    given=event["given"],
                    verdict=Verdict(
                        event["right"] if judged else None, NOT_KNOWN if event["given"] == DONT_KNOW else ""
                    ),
                    mark=mark_,
                    proposed=proposed,
                    seconds=event.get("seconds"),
                    marked_by=event["marked_by"],
                    claimed=claimed,
                    event=event["id"],
                    first=all(other.card.id != card.id for other in found),
                )
            )
        return found


@dataclass(frozen=True, slots=True)
class Selection:
    """What a review was asked for. decks: slugs, empty for all; topic: a path of headings and all below it; more:
    unasked ones beyond those that today has time for; minutes, cards: where it ends; plan: what the plan has for
    today."""

    decks: tuple[str, ...] = ()
    topic: str | None = None
    kind: str | None = None
    critical: bool = False
    more: bool = False
    minutes: float | None = None
    cards: int | None = None
    plan: bool = False

    @classmethod
    def of(cls, plain: Mapping[str, Any]) -> "Selection":
        """What `asdict` wrote as a sitting's scope, out of JSON."""
        return cls(**{**plain, "decks": tuple(plain["decks"])})

    @property
    def wanted(self) -> Wanted:
        """As the store is asked for them."""
        return {"decks": self.decks, "topic": self.topic, "kind": self.kind, "critical": self.critical}


ALL = Selection()


def order_of(store: Store, selection: Selection = ALL) -> Order:
    """Changed cards, those missed today and not right yet, those due, and as many unasked ones as today has time for;
    while there are such, what is due comes first once it is as likely lost as kept, else behind them; critical and
    longest due first. The day's minutes don't count where a person said how much is to be asked."""
    timed = not (selection.cards or selection.minutes)
    room = store.unasked_left_today(timed=timed) if not selection.more else SITTING
    due, today = due_of(store, selection, SITTING), store.today()
    missed = [known for known in due if known.fresh or (known.due or today) > today]
    missed.sort(key=lambda known: not known.fresh)
    chosen = _by_topic(store.unasked_cards(max(_LOOK_AHEAD, 10 * room), **selection.wanted))[:room]
    due = sorted(
        (known for known in due if known not in missed), key=lambda known: (not known.critical, known.due)
    )
    ahead = store.coming_first(due) if chosen else due
    first = {known.id for known in ahead}
    behind = [known for known in due if known.id not in first]
    return Order(
        [waits(known, first=1 + known.fresh) for known in missed]
        + list(map(waits, ahead))
        + [waits(known, unasked=True) for known in chosen]
        + list(map(waits, behind))
    )


def all_or(store: Store, decks: Sequence[str]) -> tuple[str, ...]:
    """Decks as a selection names them: none where there is no other, so that one review isn't taken for two."""
    return tuple(decks) if {deck.slug for deck in store.decks()}.difference(decks) else ()


def due_of(store: Store, selection: Selection, most: int | None = None) -> list[Known]:
    """Cards of a selection that were missed today and aren't right yet, then those due, most urgent first, at most so
    many."""
    due = store.due_cards(store.today(), most, **selection.wanted)
    here = {known.id for known in due}
    missed = [card for card in not_right_yet(store, store.today()) if card not in here]
    return [*store.among(missed, **selection.wanted), *due][:most]


def _by_topic(unasked: Sequence[Known]) -> list[Known]:
    """Topic after topic in the order of the notes; in each critical ones first, the sides of a point spread."""
    level = level_apart([one.topic for one in unasked])
    topics: dict[tuple[str, ...], int] = {}
    seen: dict[str, int] = defaultdict(int)
    turns: list[tuple[int, bool, int, int, Known]] = []
    for at, one in enumerate(unasked):
        topic = topics.setdefault((one.deck, *one.topic[:level]), len(topics))
        turns.append((topic, not one.critical, seen[one.point], at, one))
        seen[one.point] += 1
    return [one for *_, one in sorted(turns, key=lambda turn: turn[:4])]


def waits(known: Known, *, unasked: bool = False, first: int = 0) -> Waiting:
    """A card as it waits in an order."""
    return Waiting(known.id, known.point, known.topic, unasked, first)
