"""The store as the engine needs it, and the order of a sitting made from it."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from recall.answers import Lore
from recall.base.marks import rank
from recall.base.text import key_form
from recall.kinds.marking import Question, mark
from recall.kinds.model import Card
from recall.session.model import Answered, Was
from recall.session.order import Order, Waiting
from recall.store import Known, Review, Store
from recall.store.answers import not_right_yet
from recall.store.before import before
from recall.store.query import in_topic
from recall.store.words import answered_elsewhere, knows, look_alikes

_LOOK_AHEAD = 300
"""Unasked cards looked over to begin a day's, so that sides of one point are spread."""
_SITTING = 1_000
"""More cards than a sitting puts: of those behind them nobody asks what they look like."""


class Desk:
    """Questions and answers of one person, kept in their store."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._paces: dict[str, list[float]] | None = None
        self._fresh: set[str] = set()

    def card(self, card: str) -> Card:
        """The card as its deck has it today."""
        if self.store.known(card).fresh:
            self._fresh.add(card)
        else:
            self._fresh.discard(card)
        return self.store.card(card)

    def keep(self, answered: Answered) -> str:
        """Keep a review, durable when it returns; its event's id."""
        return self.store.record(
            Review(
                card=answered.card.id,
                answer_hash=answered.card.answer_hash,
                mark=rank(answered.mark),
                right=answered.right,
                overruled=answered.overruled,
                marked_by=answered.marked_by,
                seconds=answered.seconds,
                given=answered.given,
                mode=answered.mode,
            )
        )

    def take_back(self, event: str) -> None:
        """Undo the review of that event."""
        self.store.undo(event)

    def pace(self, kind: str) -> Sequence[float]:
        """The person's seconds for right answers of a kind, latest ones."""
        if self._paces is None:
            self._paces = self.store.pace()
        return self._paces.get(kind, [])

    def knows(self, deck: str, word: str) -> bool:
        """Whether a word, case folded, stands in the deck."""
        return knows(self.store, deck, word)

    def confused_with(self, card: Card, given: str) -> Card | None:
        """The card whose right answer was given instead."""
        return answered_elsewhere(self.store, card, given)

    def was(self, card: Card, given: str) -> Was | None:
        """The answer before the last revision that changed it, where this is the first asking since."""
        if card.id not in self._fresh:
            return None
        was, old = self.store.was(card.id), before(self.store, card.id)
        if was is None or old is None or not was.answer:
            return None
        right = mark(Question(old, typed=True), given, Lore(lambda word: self.knows(card.deck, word))).right
        same = right if right is not None else key_form(given) == key_form("; ".join(was.answer))
        return Was(was.answer, was.revision, same)

    def remark(self, card: Card) -> str:
        """The student's own remark, empty where there is none."""
        return self.store.remark_on(card.id)


def order_of(
    store: Store, *, decks: Iterable[str] = (), topic: str | None = None, kind: str | None = None
) -> Order:
    """Cards missed today and not right yet, due cards, then as many unasked ones as the settings leave for today.

    decks: slugs, empty for all.
    """
    wanted: list[str | None] = [*decks] or [None]
    room = store.unasked_left_today()
    due: list[Known] = []
    unasked: list[Known] = []
    for deck in wanted:
        due += store.due_cards(store.today(), topic=topic, kind=kind, deck=deck)
        unasked += store.unasked_cards(max(_LOOK_AHEAD, 10 * room), topic=topic, kind=kind, deck=deck)
    if len(wanted) > 1:
        due.sort(key=lambda known: (not known.fresh, known.due))
    waiting = {known.id for known in due}
    missed = [store.known(card) for card in not_right_yet(store, store.today()) if card not in waiting]
    due = [known for known in missed if _wanted(known, wanted, topic, kind)] + due
    chosen = _spread(unasked)[:room]
    near = _near(store, [known.id for known in (*due[:_SITTING], *chosen[:_SITTING])])
    begun = [_waiting(known, near, unasked=True, first=known.critical) for known in chosen]
    urgent = {known.id for known in missed} | {known.id for known in due if known.fresh}
    return Order.of([_waiting(known, near, first=known.id in urgent) for known in due], begun)


def _wanted(known: Known, decks: Sequence[str | None], topic: str | None, kind: str | None) -> bool:
    return (
        (decks == [None] or known.deck in decks)
        and (kind is None or known.kind == kind)
        and (topic is None or in_topic(known.topic, topic))
    )


def _spread(unasked: Sequence[Known]) -> list[Known]:
    """Critical ones first; within each, points in the order of the notes, their sides spread over the days."""
    seen: dict[str, int] = defaultdict(int)
    turns: list[tuple[bool, int, int, Known]] = []
    for at, one in enumerate(unasked):
        turns.append((not one.critical, seen[one.point], at, one))
        seen[one.point] += 1
    return [one for *_, one in sorted(turns, key=lambda turn: turn[:3])]


def waiting_cards(store: Store, cards: Sequence[Known]) -> list[Waiting]:
    """Cards as they wait in an order, in the order given."""
    near = _near(store, [known.id for known in cards[:_SITTING]])
    return [_waiting(known, near, unasked=known.memory is None) for known in cards]


def _near(store: Store, cards: Sequence[str]) -> dict[str, frozenset[str]]:
    """With which others cards were confused, or invite confusion."""
    pairs: dict[str, set[str]] = defaultdict(set)
    for confusion in store.confusions():
        pairs[confusion.card].add(confusion.other)
        pairs[confusion.other].add(confusion.card)
    for card, others in look_alikes(store, cards).items():
        pairs[card] |= others
    return {card: frozenset(others) for card, others in pairs.items()}


def _waiting(
    known: Known, near: dict[str, frozenset[str]], *, unasked: bool = False, first: bool = False
) -> Waiting:
    return Waiting(known.id, known.point, known.topic, unasked, near.get(known.id, frozenset()), first)
