"""A person as a candidate: what a plan and the odds need to know of them, gathered from their store."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.form import Form
from recall.checkride.learner import Log, fits, form_of, remembered
from recall.checkride.model import Floats
from recall.checkride.state import CardState, Mind, over
from recall.session.effort import effort_of, spent_by_day
from recall.session.paper import areas_of, chosen
from recall.session.target import Scope, share_of_day
from recall.store import Known, Store
from recall.store.answers import Answer, newest_answers
from recall.store.histories import COUNTS, read_many, targets_of

CRITICAL_WEIGHT = 3.0
USUAL_HOUR = 0.5


@dataclass(frozen=True, eq=False)
class Candidate:
    """n cards and the person who learns them.

    known: the cards, one side of every point in the order of the notes before the next side of any. areas:
    headings that tell their topics apart. minds: how the person may remember, the likeliest first, each with the
    memories of the cards, topic an index into areas. forms: what past days tell, as each mind foretold them.
    answered_at: moment of each card's last answer, a day number with its fraction, NaN while unasked (n,).
    review_hour: the usual time of reviews as a share of a day. spent: seconds used on each of the last days.
    followed: earlier days with a plan's reviews, in order.
    """

    today: date
    known: tuple[Known, ...]
    areas: tuple[tuple[str, ...], ...]
    minds: tuple[Mind, ...]
    forms: tuple[Form, ...]
    answered_at: Floats
    review_hour: float
    spent: Mapping[date, float]
    followed: tuple[date, ...]

    @property
    def cards(self) -> CardState:
        """The cards with their memories under the likeliest mind; all but the memories is the same for all."""
        return self.minds[0].cards

    def recalls_at(self, moment: float) -> list[Floats]:
        """Recall of each card at a moment as each of the minds has it, without any further review, hours counted;
        unasked: 0. Shapes (n,)."""
        elapsed = np.maximum(np.where(self.cards.asked, moment - self.answered_at, 0.0), 0.0)
        return [
            np.where(mind.cards.asked, mind.model.recall(elapsed, mind.cards.stability), 0.0)
            for mind in self.minds
        ]

    def recall_at(self, moment: float) -> Floats:
        """The mean of these over the minds."""
        return np.asarray(over(self.minds, self.recalls_at(moment)))


def gather(store: Store, scope: Scope) -> Candidate:
    """All that is known of a person and the cards of a scope. RecallError where it holds no card."""
    known = chosen(store, scope)
    today = store.today()
    answers = newest_answers(store)
    every = {card.id: card for card in store.cards(everything=True)}
    effort = effort_of(answers, {card.id: card.first_day for card in every.values()})
    with store.reading():
        found = read_many(store, targets_of(store, None))
        base = store.parameters()
    counts = found.kind == COUNTS
    guess = np.array([_guess(every.get(target.id)) for target in found.targets])
    log = Log(found.card[counts], found.day[counts], found.mark[counts], guess[found.card[counts]])
    found_fits = fits(log, base)
    index = {target.id: at for at, target in enumerate(found.targets)}
    own = np.array([index[card.id] for card in known])
    areas, topic = areas_of(known)
    minds = []
    for one in found_fits:
        memories = remembered(log, one.model, len(found.targets), today.toordinal())
        stability, difficulty, since, asked = (column[own] for column in memories)
        cards = CardState.of(
            stability,
            difficulty,
            np.maximum(since, 0.0),
            asked,
            weight=[CRITICAL_WEIGHT if card.critical else 1.0 for card in known],
            seconds=[effort.of(card.kind, "right") for card in known],
            seconds_unasked=[effort.first(card.kind, one.model.first_right) for card in known],
            seconds_missed=[effort.missed(card.kind) for card in known],
            topic=topic,
        )
        minds.append(Mind(cards, one.model, one.weight))
    followed = tuple(sorted({one.day for one in answers if one.mode == "plan" and one.day < today}))
    at_random = {(one.card, one.day.toordinal()) for one in answers if one.drawn}
    drawn = np.array(
        [
            (found.targets[card].id, day) in at_random
            for card, day in zip(log.card.tolist(), log.day.tolist(), strict=True)
        ],
        dtype=np.bool_,
    )
    hour = _usual_hour(store, answers)
    return Candidate(
        today=today,
        known=known,
        areas=areas,
        minds=tuple(minds),
        forms=tuple(form_of(log, mind.model, drawn) for mind in minds),
        answered_at=_answered_at(store, known, minds[0].cards, answers, hour, today),
        review_hour=hour,
        spent=spent_by_day(answers),
        followed=followed,
    )


def _guess(known: Known | None) -> float:
    """Chance of guessing a card: a reading is inside or outside."""
    return 0.5 if known is not None and known.aspect == "reading" else 0.0


def now_at_home(store: Store) -> float:
    """The present moment as a day number with its fraction, at home."""
    return _moment(store.clock.now().astimezone(store.settings().home))


def _moment(local: datetime) -> float:
    return local.toordinal() + share_of_day(local.time())


def _usual_hour(store: Store, answers: Sequence[Answer]) -> float:
    """The median time of day of the newest answers; noon while there are none."""
    home = store.settings().home
    shares = [_moment(one.at.astimezone(home)) - one.day.toordinal() for one in answers[-500:]]
    return float(np.clip(np.median(shares), 0.0, 0.999)) if shares else USUAL_HOUR


def _answered_at(
    store: Store,
    known: Sequence[Known],
    cards: CardState,
    answers: Sequence[Answer],
    hour: float,
    today: date,
) -> Floats:
    """The hour of each card's last answer; the usual one where just its day is known."""
    home = store.settings().home
    newest = {one.card: one for one in answers}
    moments = np.where(cards.asked, today.toordinal() - cards.since + hour, np.nan)
    for at in np.flatnonzero(cards.asked).tolist():
        last = newest.get(known[at].id)
        if last is not None and last.day == today - timedelta(days=int(cards.since[at])):
            moments[at] = _moment(last.at.astimezone(home))
    return moments
