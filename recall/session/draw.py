"""The draw of a mock oral from the store, with what to expect of it."""

import random
from collections.abc import Sequence

from recall.base.text import key_form
from recall.checkride.oral import draw
from recall.insight.known import recalls
from recall.kinds.marking import pose_open
from recall.session.desk import Desk
from recall.session.oral import Drawn
from recall.session.paper import area_of_each, chosen, paper_of
from recall.session.target import Scope, target_of
from recall.store import Known, Store

MOST_OPEN = 3
"""Open questions of one oral."""


def draw_oral(store: Store, scope: Scope | None, rng: random.Random, questions: int | None = None) -> Drawn:
    """Draw a mock oral. scope: None for that of the checkride that is set, or all decks. RecallError where it holds
    no card."""
    if scope is None:
        target = target_of(store.settings())
        scope = target.scope if target is not None else Scope()
    known = chosen(store, scope)
    paper = paper_of(known, store.decks(), questions)
    drawn = draw([(cards, count) for _, cards, count in paper.parts], rng)
    asked_open = _open(store, [known[at] for at in drawn])
    drawn = sorted(drawn, key=lambda at: known[at].id not in asked_open)
    recall = {card.id: found for card, found in recalls(store, store.clock.now())}
    return Drawn(
        cards=tuple(known[at].id for at in drawn),
        area_of=tuple(area_of_each(paper, drawn)),
        predicted=tuple(recall[known[at].id] or 0.0 for at in drawn),
        topics=paper.topics,
        pass_mark=paper.pass_mark,
        each_area=paper.each_area,
        said=(f"{paper.rules}: {paper.origin}.", *(f"{remark}." for remark in paper.remarks)),
        open=asked_open,
    )


def _open(store: Store, drawn: Sequence[Known]) -> tuple[str, ...]:
    """Critical points that are asked openly, with all that is said of their subject: each subject once."""
    desk, found = Desk(store), dict[tuple[object, ...], str]()
    for known in drawn:
        card = store.card(known.id)
        subject = (card.deck, card.topic, key_form(card.subject))
        if (
            card.critical
            and subject not in found
            and len(found) < MOST_OPEN
            and card.answer.amount is not None
            and pose_open(card, desk.told_with(card)) is not None
        ):
            found[subject] = card.id
    return tuple(found.values())
