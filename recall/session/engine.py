"""The review engine: puts questions, marks answers, records each at once. No input or output of its own."""

import random
from dataclasses import dataclass, field, replace

from recall.answers import Lore, Verdict
from recall.base.clock import Clock
from recall.base.marks import MARKS, Mark, rank
from recall.kinds.marking import Question, mark, pose
from recall.kinds.model import Card
from recall.session.model import Answered, MarkedBy, Mode, Outcome, Progress, Reviews, Summary
from recall.session.order import Order, Waiting
from recall.session.pace import proposed

EVERYDAY_SECONDS = 12.0
"""What a question takes where nothing is known of the person's pace."""
PACE_WEIGHT = 10
"""The seconds expected weigh like so many answers of this sitting, so that what is left doesn't jump."""


@dataclass(slots=True)
class _Kept:
    waiting: Waiting
    outcome: Outcome
    event: str
    seconds: float | None
    first: bool


def _paced(kept: _Kept) -> bool:
    """Whether its seconds say how fast the person is: a right answer, timed, marked as proposed."""
    return kept.seconds is not None and kept.outcome.mark != "missed" and not kept.outcome.overruled


@dataclass(slots=True)
class Session:
    """One sitting. minutes, cards: where it ends, None for all that waits; timed: whether seconds are measured;
    each: seconds that a question is expected to take."""

    reviews: Reviews
    order: Order
    clock: Clock
    rng: random.Random
    mode: Mode = "daily"
    minutes: float | None = None
    cards: int | None = None
    timed: bool = True
    each: float = EVERYDAY_SECONDS
    kept: list[_Kept] = field(default_factory=list)
    question: Question | None = None
    _waiting: Waiting | None = None
    _asked_at: float = 0.0
    _touched_at: float | None = None
    _began: float | None = None
    _first_put: set[str] = field(default_factory=set)
    _paces: dict[str, list[float]] = field(default_factory=dict)

    def ask(self) -> Question | None:
        """Put the next question; None when the session is at its end."""
        now = self.clock.ticks()
        if self._began is None:
            self._began = now
        waiting = self.order.next(only_again=self._spent(now))
        if waiting is None:
            self.question = self._waiting = None
            return None
        self._waiting = waiting
        self._first_put.add(waiting.card)
        self.question = pose(self.reviews.card(waiting.card), self.rng)
        self._asked_at, self._touched_at = now, None
        return self.question

    def _spent(self, now: float) -> bool:
        """No further card is begun: as many as wanted, or time for the missed ones only."""
        if self.cards is not None and len(self._first_put) >= self.cards:
            return True
        if self.minutes is None or self._began is None:
            return False
        kept_for_again = len(self.order.again) * self._seconds_each()
        return now - self._began + kept_for_again >= self.minutes * 60

    def touched(self) -> None:
        """The first key was pressed, or the answer revealed: the time that counts stops here."""
        if self._touched_at is None:
            self._touched_at = self.clock.ticks()

    def answer(self, given: str) -> Outcome:
        """Mark a typed answer and keep it."""
        question, _ = self._at()
        self.touched()
        verdict = mark(question, given, Lore(lambda word: self.reviews.knows(question.card.deck, word)))
        if verdict.right is None:
            raise ValueError("prose is marked by the person: call judge")
        seconds = self._seconds()
        wish = proposed(verdict.right, seconds, self._pace(question.card.kind))
        return self._keep(given, verdict, wish, wish, marked_by="program")

    def propose(self) -> Mark:
        """The mark to propose for prose that the person says was right."""
        question, _ = self._at()
        self.touched()
        return proposed(True, self._seconds(), self._pace(question.card.kind))

    def judge(self, wish: Mark, given: str = "", marked_by: MarkedBy = "self") -> Outcome:
        """The person's own mark for revealed prose."""
        self._at()
        self.touched()
        verdict = Verdict(wish != "missed")
        return self._keep(given, verdict, wish, wish, marked_by=marked_by)

    def may_overrule(self) -> tuple[Mark, ...]:
        """The marks that the last answer may be given. On a critical point an overrule upwards gives at most
        `hesitant`."""
        before = self.kept[-1].outcome
        most = max("hesitant", before.proposed, key=rank) if before.card.critical else "instant"
        return tuple(mark for mark in MARKS if rank(mark) <= rank(most))

    def overrule(self, wish: Mark) -> Outcome:
        """Mark the last answer otherwise, as far as `may_overrule` allows; on a critical point that was talked up the
        card comes back in this session."""
        last = self.kept[-1]
        before = last.outcome
        allowed = min(wish, self.may_overrule()[-1], key=rank)
        capped = allowed != wish
        if allowed == before.mark:
            last.outcome = replace(before, capped=capped)
            return last.outcome
        self._forget(last)
        if before.returns:
            self.order.withdraw(last.waiting)
        self.kept.pop()
        self._waiting = last.waiting
        return self._keep(
            before.given,
            before.verdict,
            allowed,
            before.proposed,
            marked_by="self",
            capped=capped,
            seconds=last.seconds,
            card=before.card,
        )

    def _keep(
        self,
        given: str,
        verdict: Verdict,
        wish: Mark,
        proposal: Mark,
        *,
        marked_by: MarkedBy,
        capped: bool = False,
        seconds: float | None = None,
        card: Card | None = None,
    ) -> Outcome:
        waiting = self._waiting
        assert waiting is not None
        overruled = wish != proposal
        if card is None:
            question, _ = self._at()
            card = question.card
            seconds = self._seconds()
        right = wish != "missed"
        was = self.reviews.was(card, given)
        judged = bool(verdict.right)
        event = self.reviews.keep(
            Answered(card, wish, judged, given, seconds, overruled, marked_by, self.mode)
        )
        again = not right or (overruled and card.critical and rank(wish) > rank(proposal))
        outcome = Outcome(
            card=card,
            given=given,
            verdict=verdict,
            mark=wish,
            proposed=proposal,
            overruled=overruled,
            returns=again and self.order.missed(waiting),
            was=was,
            confused=None if verdict.right is not False else self.reviews.confused_with(card, given),
            remark=self.reviews.remark(card),
            capped=capped,
        )
        first = all(kept.waiting.card != waiting.card for kept in self.kept)
        self.kept.append(_Kept(waiting, outcome, event, seconds, first))
        if _paced(self.kept[-1]):
            self._pace(card.kind).append(seconds or 0.0)
        self.question = self._waiting = None
        return outcome

    def _forget(self, kept: _Kept) -> None:
        """Take an answer back, out of the pace too."""
        self.reviews.take_back(kept.event)
        if _paced(kept):
            self._pace(kept.outcome.card.kind).remove(kept.seconds or 0.0)

    def undo(self) -> Card | None:
        """Take the last answer back; its card is put next. None where there is none in this session."""
        if not self.kept:
            return None
        if self._waiting is not None:
            self.order.take_back(self._waiting)
        last = self.kept.pop()
        self._forget(last)
        self.order.take_back(last.waiting)
        self.question = self._waiting = None
        return last.outcome.card

    def progress(self) -> Progress:
        """How far the session is; with minutes given, the time left is what is left of them."""
        left = self.order.left + (self._waiting is not None)
        if self.cards is not None:
            begun = self.cards - len(self._first_put)
            left = min(left, max(begun, 0) + len(self.order.again) + (self._waiting is not None))
        seconds = left * self._seconds_each()
        if self.minutes is not None:
            gone = self.clock.ticks() - self._began if self._began is not None else 0.0
            rest = max(0.0, self.minutes * 60 - gone)
            sure = len(self.order.again) + (self._waiting is not None)
            left = min(left, max(sure, round(rest / self._seconds_each())))
            seconds = min(seconds, rest)
        return Progress(len(self.kept), left, seconds)

    def summary(self) -> Summary:
        """What the session brought so far."""
        last: dict[str, Outcome] = {kept.waiting.card: kept.outcome for kept in self.kept}
        missed = {kept.waiting.card for kept in self.kept if kept.outcome.mark == "missed"}
        learned = [
            kept.outcome.card
            for kept in self.kept
            if kept.first and kept.waiting.unasked and last[kept.waiting.card].mark != "missed"
        ]
        gone = self.clock.ticks() - self._began if self._began is not None else 0.0
        return Summary(
            answers=len(self.kept),
            right=sum(kept.outcome.mark != "missed" for kept in self.kept),
            cards=len(last),
            seconds=gone,
            learned=tuple(learned),
            missed=tuple(
                (outcome.card, outcome.mark != "missed") for card, outcome in last.items() if card in missed
            ),
        )

    def _at(self) -> tuple[Question, Waiting]:
        if self.question is None or self._waiting is None:
            raise ValueError("no question is put")
        return self.question, self._waiting

    def _seconds(self) -> float | None:
        if not self.timed:
            return None
        return (self._touched_at if self._touched_at is not None else self.clock.ticks()) - self._asked_at

    def _seconds_each(self) -> float:
        if not self.kept or self._began is None:
            return self.each
        gone = self.clock.ticks() - self._began
        return (gone + PACE_WEIGHT * self.each) / (len(self.kept) + PACE_WEIGHT)

    def _pace(self, kind: str) -> list[float]:
        if kind not in self._paces:
            self._paces[kind] = list(self.reviews.pace(kind))
        return self._paces[kind]
