"""A mock oral from the store: the draw, what to expect of it, the result."""

import random
from dataclasses import dataclass

from recall.base.clock import Clock
from recall.checkride.oral import draw
from recall.session.candidate import gather, now_at_home
from recall.session.model import Reviews
from recall.session.oral import Oral, Result, result_of
from recall.session.paper import Paper, area_of_each, paper_for
from recall.session.target import Scope, target_of
from recall.store import Store


@dataclass(frozen=True, slots=True)
class Drawn:
    """Questions of one oral. cards, area_of, predicted: id, area and recall now of each, in their order."""

    paper: Paper
    cards: tuple[str, ...]
    area_of: tuple[int, ...]
    predicted: tuple[float, ...]

    def sit(self, reviews: Reviews, clock: Clock, rng: random.Random, *, timed: bool, examiner: bool) -> Oral:
        """An oral with these questions."""
        return Oral(reviews, self.cards, clock, rng, timed, examiner)

    def result(self, oral: Oral) -> Result:
        """What came of it."""
        return result_of(oral, self.paper.examination, self.paper.topics, self.area_of, self.predicted)


def draw_oral(store: Store, scope: Scope | None, rng: random.Random, questions: int | None = None) -> Drawn:
    """Draw a mock oral. scope: None for that of the checkride that is set, or all decks. RecallError where it holds
    no card."""
    if scope is None:
        target = target_of(store.settings())
        scope = target.scope if target is not None else Scope()
    candidate = gather(store, scope)
    paper = paper_for(store, candidate, questions)
    drawn = draw(paper.examination, rng)
    recall = candidate.recall_at(now_at_home(store))
    return Drawn(
        paper=paper,
        cards=tuple(candidate.known[at].id for at in drawn),
        area_of=tuple(area_of_each(paper, drawn)),
        predicted=tuple(float(recall[at]) for at in drawn),
    )
