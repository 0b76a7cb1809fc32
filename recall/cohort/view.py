"""All that is told of a class, gathered once for every surface: screen, JSON, spreadsheet, printed page,
notes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from recall.base.text import key_form
from recall.cohort import ask
from recall.cohort.columns import cards_table
from recall.cohort.contrast import Contrast, drift, weak_topics
from recall.cohort.engine import Tables, open_tables
from recall.cohort.items import fit, log_odds, suspects
from recall.cohort.rates import Rate
from recall.cohort.ready import Ready, readiness
from recall.cohort.taken import Person, Taken
from recall.cohort.taught import Taught
from recall.kinds.model import Card
from recall.store.revisions import revision_key

ANSWERS_FITTED = 40_000
"""Answers that points are judged by at most; of more people's a part is drawn."""
ROSTER = "people.txt"
"""Names or pseudonyms of those who should hand in, one a line."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What speaks against a note. far: missed far more than its twins; turned: missed by those who know the
    rest."""

    far: bool
    turned: bool

    @property
    def words(self) -> str:
        """In words."""
        both = [
            self.far * "missed far more than points like it",
            self.turned * "missed by those who know the rest",
        ]
        return " and ".join(filter(None, both))


@dataclass(frozen=True, slots=True)
class PointView:
    """One point: its first card, how often it is right, what most people typed instead (words, people, people
    of whom that is known), and what speaks against its note."""

    card: Card
    rate: Rate
    typed: tuple[str, int, int] | None
    doubt: Doubt | None
    drift: Contrast | None

    @property
    def named(self) -> str:
        """Its subject, with its condition in brackets."""
        card = self.card
        return f"{card.subject} ({card.condition})" if card.condition else card.subject

    @property
    def way(self) -> str:
        """How it drifted: right less or more often."""
        return "less" if self.drift is not None and self.drift.by < 0 else "more"


@dataclass(frozen=True, slots=True)
class TopicView:
    """One topic. weak: how far people fall behind what they do elsewhere, where they surely do."""

    system: str
    topic: str
    rate: Rate
    weak: Contrast | None


@dataclass(frozen=True, slots=True)
class View:
    """One deck of a class. people: who handed in; whole: None where they are too few for any figure; points:
    most missed first; weeks: topic, Monday, rate; confusions: two cards and how many people; since: the
    revision that drift is told of; absent: who should have handed in."""

    taught: Taught
    people: tuple[Person, ...]
    whole: Rate | None
    topics: tuple[TopicView, ...]
    points: tuple[PointView, ...]
    weeks: tuple[tuple[str, date, Rate], ...]
    confusions: tuple[tuple[Card, Card, int], ...]
    since: str
    ready: tuple[Ready, ...]
    on: date | None
    absent: tuple[str, ...]
    taken: Taken

    def called(self, person: str) -> str:
        """What a person is called in the class."""
        return next((each.called for each in self.people if each.person == person), person[:8])


def view_of(
    folder: Path,
    taught: Taught,
    taken: Taken,
    *,
    engine: str = "duckdb",
    master: str = "",
    data: Path | None = None,
    since: str = "",
    on: date | None = None,
) -> View:
    """Ask all that is told. since: a revision, the newest that has answers on both sides unless told; on: a
    date, for who is ready."""
    every = (*taught.cards, *taught.gone)
    people = tuple(each for each in taken.people if each.deck == taught.slug and not each.withdrawn)
    absent = _absent(folder, people)
    tables = open_tables(folder, taught.slug, cards_table(every, taught.level), engine, master, data)
    whole = ask.whole(tables)
    if whole is None:
        return View(taught, people, None, (), (), (), (), "", (), on, absent, taken)
    groups = ask.points(tables)
    doubts = _doubts(tables, people, {group.name[0]: group.rate.people for group in groups})
    weak = {one.name: one for one in weak_topics(tables, without=list(doubts))}
    numbers = sorted(ask.revisions(tables), key=revision_key)
    since = since or (numbers[-1] if len(numbers) > 1 else "")
    drifts = {}
    if since:
        later = [number for number in numbers if revision_key(number) >= revision_key(since)]
        drifts = {one.name: one for one in drift(tables, later)}
    by_card = {card.id: card for card in every}
    first: dict[str, Card] = {}
    for card in every:
        first.setdefault(card.point, card)
    typed: dict[str, tuple[str, int, int]] = {}
    for card_id, words, count, of in ask.typed(tables):
        point = by_card[card_id].point if card_id in by_card else ""
        if point and (point not in typed or typed[point][1] < count):
            typed[point] = (words, count, of)
    points = [
        PointView(first[name], group.rate, typed.get(name), doubts.get(name), drifts.get(name))
        for group in groups
        for (name,) in [group.name]
    ]
    topics = [
        TopicView(system, topic, group.rate, weak.get(topic))
        for group in ask.topics(tables)
        for system, topic in [group.name]
    ]
    return View(
        taught,
        people,
        whole.rate,
        tuple(sorted(topics, key=lambda one: (one.rate.high, one.topic))),
        tuple(sorted(points, key=lambda one: (one.rate.high, one.card.file, one.card.line))),
        tuple((topic, monday, group.rate) for group in ask.weeks(tables) for topic, monday in [group.name]),
        tuple((by_card[one], by_card[other], count) for one, other, count in ask.confusions(tables)),
        since,
        tuple(readiness(tables, taught, on, [each.person for each in people])) if on else (),
        on,
        absent,
        taken,
    )


def _doubts(tables: Tables, people: Sequence[Person], counts: Mapping[str, int]) -> dict[str, Doubt]:
    """Points whose note is to be suspected. counts: people by point."""
    answers = sum(each.answers for each in people)
    drawn = max(ask.FEWEST, int(len(people) * min(1.0, ANSWERS_FITTED / max(answers, 1))))
    found = ask.foretold(tables, drawn).to_pyarrow()
    if not found.num_rows:
        return {}
    names, point = np.unique(_texts(found, "point"), return_inverse=True)
    _, person = np.unique(_texts(found, "person"), return_inverse=True)
    right, told = (found[name].to_numpy() for name in ("right", "told"))
    items = fit(person, point, right.astype(bool), log_odds(told))
    topics = {row["point"]: row["topic"] for row in ask.topic_of_points(tables)}
    _, twins = np.unique(np.array([topics[name] for name in names]), return_inverse=True)
    far, turned = suspects(items, twins)
    return {
        str(name): Doubt(bool(far[at]), bool(turned[at]))
        for at, name in enumerate(names)
        if (far[at] or turned[at]) and counts.get(name, 0) >= ask.FEWEST
    }


def _texts(table: Any, name: str) -> Any:
    return np.array(table[name].to_pylist())


def _absent(folder: Path, people: Sequence[Person]) -> tuple[str, ...]:
    """Those on the list of people of whom nothing came."""
    file = folder / ROSTER
    if not file.is_file():
        return ()
    here = {key_form(called) for each in people for called in (each.name, each.called) if called}
    names = [line.strip() for line in file.read_text(encoding="utf-8", errors="replace").splitlines()]
    return tuple(name for name in names if name and key_form(name) not in here)
