"""The mock oral: questions of one draw, no feedback until the end, one result. No input or output of its own."""

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from recall.answers import Lore, Verdict
from recall.base.clock import Clock
from recall.base.marks import Mark
from recall.checkride.odds import Examination, needed
from recall.kinds.marking import Question, mark, pose
from recall.kinds.model import Card
from recall.session.model import Answered, MarkedBy, Reviews
from recall.session.pace import proposed


@dataclass(slots=True)
class Said:
    """A question that was answered. number: its place in the draw; verdict: None where a person decides; mark: None
    until it is marked; event: the id of the answer that was kept."""

    number: int
    card: Card
    given: str
    seconds: float | None
    verdict: Verdict | None = None
    mark: Mark | None = None
    event: str = ""

    @property
    def right(self) -> bool:
        """Whether it was marked right."""
        return self.mark is not None and self.mark != "missed"


@dataclass(slots=True)
class Oral:
    """One mock oral. cards: ids in the order of the draw; timed: whether seconds are measured; examiner: another
    person reads the questions and marks each answer.

    A typed answer is marked and kept at once, without a word; prose is kept when it is marked, after the last one.
    """

    reviews: Reviews
    cards: Sequence[str]
    clock: Clock
    rng: random.Random
    timed: bool = True
    examiner: bool = False
    said: list[Said] = field(default_factory=list)
    question: Question | None = None
    over: bool = False
    _asked_at: float = 0.0
    _touched_at: float | None = None

    def ask(self) -> Question | None:
        """Put the next question; None when all were put or the asking was ended."""
        if self.over or self.all_said:
            self.over, self.question = True, None
            return None
        self.question = pose(self.reviews.card(self.cards[len(self.said)]), self.rng)
        self._asked_at, self._touched_at = self.clock.ticks(), None
        return self.question

    def touched(self) -> None:
        """The first key was pressed: the time that counts stops here."""
        if self._touched_at is None:
            self._touched_at = self.clock.ticks()

    def answer(self, given: str) -> None:
        """Take the candidate's own answer, typed: marked now, but not told."""
        said = self._take(given)
        verdict = mark(
            Question(said.card, True), given, Lore(lambda word: self.reviews.knows(said.card.deck, word))
        )
        if verdict.right is None:
            return
        said.verdict = verdict
        wish = proposed(verdict.right, said.seconds, self.reviews.pace(said.card.kind))
        self._keep(said, wish, "program")

    def judge(self, wish: Mark) -> None:
        """Take the examiner's mark for the question that is put."""
        self._keep(self._take(""), wish, "examiner")

    def undo(self) -> bool:
        """Take the examiner's last mark back, so that its question is put next; False where there is none."""
        if not (self.examiner and self.said):
            return False
        self.reviews.take_back(self.said.pop().event)
        return True

    def stop(self) -> None:
        """Put no further question; what was answered counts."""
        self.over, self.question = True, None

    @property
    def all_said(self) -> bool:
        """Whether every question has its answer."""
        return len(self.said) == len(self.cards)

    @property
    def unmarked(self) -> list[Said]:
        """Prose that waits for its mark, in the order asked."""
        return [said for said in self.said if said.mark is None]

    def propose(self, said: Said) -> Mark:
        """The mark to propose for prose that the person says was right."""
        return proposed(True, said.seconds, self.reviews.pace(said.card.kind))

    def settle(self, said: Said, wish: Mark) -> None:
        """Keep the person's own mark for their prose; after the last question only."""
        if not self.over:
            raise ValueError("prose is marked after the last question")
        if said.mark is not None:
            raise ValueError("it is marked already")
        self._keep(said, wish, "self")

    def _take(self, given: str) -> Said:
        if self.question is None:
            raise ValueError("no question is put")
        self.touched()
        timed = self.timed and not self.examiner and self._touched_at is not None
        seconds = (self._touched_at or 0.0) - self._asked_at if timed else None
        said = Said(len(self.said), self.question.card, given, seconds)
        self.said.append(said)
        self.question = None
        return said

    def _keep(self, said: Said, wish: Mark, marked_by: MarkedBy) -> None:
        said.mark = wish
        right = wish != "missed"
        said.event = self.reviews.keep(
            Answered(said.card, wish, right, said.given, said.seconds, False, marked_by, "oral")
        )


@dataclass(frozen=True, slots=True)
class AreaResult:
    """One area. asked: questions answered and marked; drawn: questions in the draw; needed: right ones to reach the
    mark; predicted: share of right answers expected before."""

    topic: tuple[str, ...]
    drawn: int
    asked: int
    right: int
    needed: int
    predicted: float

    @property
    def passed(self) -> bool:
        """Whether the mark was reached."""
        return self.right >= self.needed


@dataclass(frozen=True, slots=True)
class Result:
    """A mock oral's result. needed: right answers to reach the mark; each_area: whether every area must reach it;
    missed: what was missed, in the order asked; unmarked: prose answers without a mark, which don't count."""

    areas: tuple[AreaResult, ...]
    needed: int
    each_area: bool
    missed: tuple[Said, ...]
    unmarked: int

    @property
    def drawn(self) -> int:
        """Questions of the draw."""
        return sum(area.drawn for area in self.areas)

    @property
    def asked(self) -> int:
        """Questions answered and marked."""
        return sum(area.asked for area in self.areas)

    @property
    def right(self) -> int:
        """Right answers."""
        return sum(area.right for area in self.areas)

    @property
    def predicted(self) -> float:
        """Share of right answers expected before, over the whole draw."""
        return sum(area.predicted * area.drawn for area in self.areas) / self.drawn

    @property
    def critical(self) -> tuple[Said, ...]:
        """Critical points that were missed."""
        return tuple(said for said in self.missed if said.card.critical)

    @property
    def failed_by(self) -> tuple[str, ...]:
        """Why it isn't passed, in words; empty where it is."""
        reasons = []
        if self.asked < self.drawn:
            reasons.append(f"{self.drawn - self.asked} of {self.drawn} questions have no marked answer")
        if self.right < self.needed:
            reasons.append(f"{self.right} right, {self.needed} needed")
        low = [area for area in self.areas if area.asked and not area.passed]
        if self.each_area and low:
            reasons.append(f"{len(low)} area{'s' if len(low) > 1 else ''} below the mark")
        if count := len(self.critical):
            reasons.append(f"{count} critical point{'s' if count > 1 else ''} missed")
        return tuple(reasons)

    @property
    def passed(self) -> bool:
        """Whether it would have been a pass."""
        return not self.failed_by


def result_of(
    oral: Oral,
    examination: Examination,
    topics: Sequence[tuple[str, ...]],
    area_of: Sequence[int],
    predicted: Sequence[float],
) -> Result:
    """The result by area. area_of, predicted: area and recall, before the oral, of each card in the order of the
    draw."""
    areas = []
    for at, topic in enumerate(topics):
        drawn = [number for number, area in enumerate(area_of) if area == at]
        if not drawn:
            continue
        marked = [said for said in oral.said if said.mark is not None and area_of[said.number] == at]
        areas.append(
            AreaResult(
                topic=topic,
                drawn=len(drawn),
                asked=len(marked),
                right=sum(said.right for said in marked),
                needed=needed(examination.pass_mark, len(drawn)),
                predicted=sum(predicted[number] for number in drawn) / len(drawn),
            )
        )
    return Result(
        areas=tuple(areas),
        needed=needed(examination.pass_mark, len(area_of)),
        each_area=examination.each_area,
        missed=tuple(said for said in oral.said if said.mark == "missed"),
        unmarked=len(oral.unmarked),
    )
