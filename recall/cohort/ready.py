"""Who of a class is ready for the date: each person's odds, as their own plan would tell them."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby
from typing import Any

import numpy as np

from recall.base.dataclass import dataclass
from recall.checkride.form import Foretold, form
from recall.checkride.odds import Odds, View, odds
from recall.cohort import ask
from recall.cohort.engine import Tables
from recall.cohort.taught import Taught
from recall.schedule import DEFAULT, Parameters
from recall.schedule.batch import recall_curve
from recall.session.paper import Paper, Subject, paper_of
from recall.store import DeckInForce

MORNING = 9 / 24
"""The hour of an examination unless told otherwise, as a share of a day."""
AT_ONCE = 100
"""People whose memories are looked at together."""
USUAL_HOUR = 0.5
"""When on its day an answer was given: a hand-in doesn't say."""


@dataclass(frozen=True, slots=True)
class Ready:
    """One person. recall: mean of all cards, unasked ones as nothing."""

    person: str
    odds: Odds
    recall: float


def paper(taught: Taught) -> Paper:
    """The examination that the deck's blueprint asks for."""
    newest = taught.revisions[-1] if taught.revisions else ""
    deck = DeckInForce(taught.slug, newest, dict(taught.record), 0, None)
    return paper_of([Subject(card.deck, card.topic, card.critical) for card in taught.cards], [deck])


def readiness(tables: Tables, taught: Taught, on: date, people: Sequence[str]) -> Iterator[Ready]:
    """Each person's odds on a date, without another review until then; never the memories of all at once."""
    for at in range(0, len(people), AT_ONCE):
        yield from _ready(tables, taught, on, people[at : at + AT_ONCE])


def _ready(tables: Tables, taught: Taught, on: date, people: Sequence[str]) -> Iterator[Ready]:
    exam = paper(taught).examination
    index = {card.id: at for at, card in enumerate(taught.cards)}
    days = _by_person(ask.days(tables), people)
    moment = on.toordinal() + MORNING
    for person, rows in _by_person(ask.memories(tables), people).items():
        recall = np.zeros(len(index))
        known = [row for row in rows if row["card"] in index]
        if known:
            # Of a model its curve is what is asked.
            model = Parameters.of((*DEFAULT.weights[:-1], -known[0]["decay"]))
            held, last = (np.array([row[name] for row in known], np.float64) for name in ("holds", "day"))
            since = moment - last - USUAL_HOUR
            recall[[index[row["card"]] for row in known]] = recall_curve(held, since, model)
        own = days.get(person, [])
        told = Foretold.of_days(
            *(np.array([row[name] for row in own], np.float64) for name in ("predicted", "variance", "right"))
        )
        yield Ready(person, odds(exam, [View(recall, form(told))]), float(recall.mean()))


def _by_person(expression: Any, people: Sequence[str]) -> dict[str, list[Mapping[str, Any]]]:
    rows = expression.filter(expression.person.isin(list(people))).order_by("person").to_pyarrow().to_pylist()
    return {person: list(own) for person, own in groupby(rows, key=lambda row: str(row["person"]))}
