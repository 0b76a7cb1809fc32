"""The draw of a mock oral from the store, with what to expect of it."""

import random

from recall.checkride.oral import draw
from recall.session.candidate import gather, now_at_home
from recall.session.oral import Drawn
from recall.session.paper import area_of_each, paper_for
from recall.session.target import Scope, target_of
from recall.store import Store


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
        cards=tuple(candidate.known[at].id for at in drawn),
        area_of=tuple(area_of_each(paper, drawn)),
        predicted=tuple(float(recall[at]) for at in drawn),
        topics=paper.topics,
        pass_mark=paper.examination.pass_mark,
        each_area=paper.examination.each_area,
        said=(f"{paper.rules}: {paper.origin}.", *(f"{remark}." for remark in paper.remarks)),
    )
