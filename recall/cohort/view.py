"""All that is told of a class, gathered once for every surface: screen, JSON, spreadsheet, printed page,
notes."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

import numpy as np

from recall.base.dataclass import dataclass, field, replace
from recall.base.errors import RecallError
from recall.base.text import count, key_form, percent
from recall.cohort import ask
from recall.cohort.columns import cards_table
from recall.cohort.contrast import Contrast, drift, weak_topics
from recall.cohort.engine import HERE, Engine, Tables, open_tables
from recall.cohort.handin import pseudonym
from recall.cohort.items import fit, log_odds, suspects
from recall.cohort.rates import Rate
from recall.cohort.ready import Ready, paper, readiness
from recall.cohort.taken import Person, Taken, take_in
from recall.cohort.taught import Taught, taught
from recall.deck.source import find_sources, notes_digest
from recall.kinds.model import Card
from recall.store.revisions import revision_key

JUDGED = 60_000
"""By so many people times points are points judged; of more people a part is drawn."""
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
class Side:
    """One card of a point. rate: None from too few people; typed: what people typed instead, the most frequent
    first: words, people, people of whom that is known."""

    card: Card
    rate: Rate | None
    typed: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class PointView:
    """One point: how often it is right, its cards, and what speaks against its note."""

    rate: Rate
    sides: tuple[Side, ...]
    doubt: Doubt | None
    drift: Contrast | None
    since: str

    @property
    def card(self) -> Card:
        """Its first card."""
        return self.sides[0].card

    @property
    def typed(self) -> tuple[str, int, int] | None:
        """What most people typed instead."""
        return max((one for side in self.sides for one in side.typed), key=lambda one: one[1], default=None)

    @property
    def named(self) -> str:
        """Its subject, with its condition in brackets."""
        card = self.card
        return f"{card.subject} ({card.condition})" if card.condition else card.subject

    @property
    def place(self) -> str:
        """The line of the note that it is from."""
        return f"{self.card.file}:{self.card.line}"

    @property
    def drifted(self) -> str:
        """How it drifted, in words; empty where it didn't."""
        if (one := self.drift) is None:
            return ""
        way = "less" if one.by < 0 else "more"
        return (
            f"right {way} often since revision {self.since}, by {percent(abs(one.by))} of answers"
            f" ({percent(min(abs(one.low), abs(one.high)))} to {percent(max(abs(one.low), abs(one.high)))})"
        )


@dataclass(frozen=True, slots=True)
class TopicView:
    """One topic. weak: how far people fall behind what they do elsewhere, where they surely do."""

    system: str
    topic: str
    rate: Rate
    weak: Contrast | None


WEEKS = 16
"""The newest weeks of a map."""
FEW = "Fewer than five people answered: any figure would tell of one of them."


@dataclass(frozen=True, slots=True)
class View:
    """One deck of a class. people: who handed in; whole: None where they are too few for any figure; points and
    topics: most missed first; weeks: topic and Monday → rate; confusions: two cards and how many people; since:
    the revision that drift is told of; on: the date that `ready` is for; absent: who should have handed in."""

    taught: Taught
    people: tuple[Person, ...]
    taken: Taken
    absent: tuple[str, ...]
    on: date | None
    whole: Rate | None = None
    topics: tuple[TopicView, ...] = ()
    points: tuple[PointView, ...] = ()
    weeks: Mapping[tuple[str, date], Rate] = field(default_factory=dict)
    confusions: tuple[tuple[Card, Card, int], ...] = ()
    since: str = ""
    ready: tuple[Ready, ...] = ()

    @property
    def title(self) -> str:
        """Of the deck."""
        return str(self.taught.record.get("title") or self.taught.slug)

    @property
    def headline(self) -> str:
        """What is here, in a sentence."""
        revision = f", revision {self.taught.revisions[-1]}" if self.taught.revisions else ""
        every = sum(each.answers for each in self.people)
        answers = "" if self.whole is None else f" with {count(every, 'answer')}"
        return f"{self.title}{revision}: {count(len(self.people), 'hand-in')}{answers}."

    @property
    def notices(self) -> list[str]:
        """What isn't here, and why, a sentence each."""
        taken = self.taken
        said = [f"Not taken: {file} {why}." for file, why in taken.refused]
        if taken.waiting:
            said.append(f"Not opened yet, name the class key with --key: {', '.join(taken.waiting)}.")
        if taken.older:
            said.append(f"Passed over, since a newer one is here: {', '.join(taken.older)}.")
        if taken.withdrawn:
            said.append(
                f"Their trainees asked to be taken out, so delete them: {', '.join(taken.withdrawn)}."
            )
        if self.absent:
            said.append(f"Nothing yet from: {', '.join(self.absent)}.")
        return said

    @property
    def suspects(self) -> list[tuple[PointView, str]]:
        """Points whose notes are to be looked at, each with why."""
        found = []
        for one in self.points:
            doubt = "" if one.doubt is None else one.doubt.words
            if why := "; ".join(filter(None, (doubt, one.drifted))):
                found.append((one, why))
        return found

    @property
    def latest(self) -> list[date]:
        """The newest weeks that have figures, as Mondays, in order; none while there is but one."""
        found = sorted({monday for _, monday in self.weeks})[-WEEKS:]
        return found if len(found) > 1 else []

    @property
    def grid(self) -> list[tuple[TopicView, list[Rate | None]]]:
        """Topics, each with its rate in each of the latest weeks."""
        return [(one, [self.weeks.get((one.topic, week)) for week in self.latest]) for one in self.topics]

    @property
    def ready_told(self) -> str:
        """What the odds are of, and what they assume."""
        assert self.on is not None
        return (
            f"Ready on {self.on.day} {self.on:%B %Y}, without another review ({paper(self.taught).rules}). Odds"
            " assume these cards in these words, marks that are true, and a memory that follows the model."
        )

    def called(self, person: str) -> str:
        """What a person is called in the class; with a pseudonym where two have one name."""
        names = {each.person: each.called for each in self.people}
        name = names.get(person, "")
        return name if list(names.values()).count(name) == 1 else f"{name} ({pseudonym(person)})".strip()


@dataclass(frozen=True, slots=True)
class Class:
    """A class to be asked. folder: with its hand-ins and what was published; key: seed of the class key, None
    where new hand-ins wait; against: notes that count as the newest revision."""

    folder: Path
    key: bytes | None = None
    against: Path | None = None
    engine: Engine = HERE

    def mark(self) -> object:
        """The same as long as no file in the folder came, went or changed."""
        files = sorted(each for end in ("*.handin", "*.zip", ROSTER) for each in self.folder.glob(end))
        notes = tuple(map(notes_digest, find_sources(self.against))) if self.against else ()
        return tuple((each.name, each.lstat().st_mtime_ns, each.lstat().st_size) for each in files), notes

    def views(self, today: date, *, since: str = "", on: date | None = None) -> "list[View]":
        """Take in what is new, and ask all that is told of each deck. since: a revision, the newest that has
        answers on both sides unless told; on: a date, for who is ready. Raises RecallError where nothing can be
        asked."""
        taken = take_in(self.folder, self.key, today)
        if taken.waiting and not taken.people:
            waiting = count(len(taken.waiting), "hand-in waits", "hand-ins wait")
            raise RecallError(f"{waiting} to be opened", "name the class key: --key FILE")
        if not taken.people and self.engine.data is None:
            refused = "".join(f"; {file} {why}" for file, why in taken.refused)
            raise RecallError(
                f"there are no hand-ins in `{self.folder}`{refused}",
                "trainees make them: recall export hand-in --deck DECK --for CLASS-KEY --out NAME.handin",
            )
        decks = taught(self.folder, self.against, today)
        strange = {each.deck for each in taken.people} - {deck.slug for deck in decks}
        taken.refused += [
            (f"what was handed in of `{slug}`:", "it isn't published here") for slug in sorted(strange)
        ]
        if since and not any(since in deck.revisions for deck in decks):
            known = ", ".join(one for deck in decks for one in deck.revisions)
            raise RecallError(f"no revision `{since}` is here", f"revisions are: {known or 'none'}")
        return [_view(self, deck, taken, since, on) for deck in decks]


def _view(asked: Class, taught: Taught, taken: Taken, since: str, on: date | None) -> View:
    every = (*taught.cards, *taught.gone)
    people = tuple(each for each in taken.people if each.deck == taught.slug and not each.withdrawn)
    bare = View(taught, people, taken, _absent(asked.folder, people), on)
    tables = open_tables(asked.folder, taught.slug, cards_table(every, taught.level), asked.engine)
    whole = ask.whole(tables)
    if whole is None:
        return bare
    numbers = sorted(ask.revisions(tables), key=revision_key)
    since = since or (numbers[-1] if len(numbers) > 1 else "")
    later = [one for one in numbers if since and revision_key(one) >= revision_key(since)]
    drifts = {one.name: one for one in drift(tables, later)}
    points = _points(tables, every, since, drifts)
    weak = {one.name: one for one in weak_topics(tables, [one.card.point for one in points if one.doubt])}
    topics = [TopicView(system, topic, rate, weak.get(topic)) for (system, topic), rate in ask.topics(tables)]
    by_card = {card.id: card for card in every}
    ready = readiness(tables, taught, on, [each.person for each in people]) if on else ()
    return replace(
        bare,
        whole=whole.rate,
        topics=tuple(sorted(topics, key=lambda one: (one.rate.high, one.topic))),
        points=tuple(sorted(points, key=lambda one: (one.rate.high, one.card.file, one.card.line))),
        weeks=dict(ask.weeks(tables)),
        confusions=tuple((by_card[one], by_card[other], n) for one, other, n in ask.confusions(tables)),
        since=since,
        ready=tuple(sorted(ready, key=lambda one: one.odds.passed)),
    )


def _points(
    tables: Tables, every: Sequence[Card], since: str, drifts: Mapping[str, Contrast]
) -> list[PointView]:
    groups = ask.points(tables)
    doubted = doubts(tables, {name: rate.people for (name,), rate in groups})
    rates = ask.cards(tables)
    typed: dict[str, list[tuple[str, int, int]]] = {}
    for id, words, people_, of in ask.typed(tables):
        typed.setdefault(id, []).append((words, people_, of))
    sides: dict[str, list[Side]] = {}
    for card in every:
        side = Side(card, rates.get(card.id), tuple(typed.get(card.id, ())))
        sides.setdefault(card.point, []).append(side)
    return [
        PointView(rate, tuple(sides[name]), doubted.get(name), drifts.get(name), since)
        for (name,), rate in groups
    ]


def doubts(tables: Tables, counts: Mapping[str, int]) -> dict[str, Doubt]:
    """Points whose note is to be suspected. counts: people by point."""
    found = ask.judged(tables, max(ask.FEWEST, JUDGED // max(len(counts), 1))).to_pyarrow()
    if not found.num_rows:
        return {}
    names, point = np.unique(found["point"].to_pylist(), return_inverse=True)
    _, person = np.unique(found["person"].to_pylist(), return_inverse=True)
    right, of, foretold = (found[name].to_numpy() for name in ("right", "of", "foretold"))
    items = fit(person, point, right, of, log_odds(foretold))
    topics = {row["point"]: row["topic"] for row in ask.topic_of_points(tables)}
    _, twins = np.unique([topics[name] for name in names], return_inverse=True)
    far, turned = suspects(items, twins)
    return {
        str(name): Doubt(bool(far[at]), bool(turned[at]))
        for at, name in enumerate(names)
        if (far[at] or turned[at]) and counts.get(name, 0) >= ask.FEWEST
    }


def _absent(folder: Path, people: Sequence[Person]) -> tuple[str, ...]:
    """Those on the list of people of whom nothing came."""
    file = folder / ROSTER
    if not file.is_file():
        return ()
    here = {key_form(called) for each in people for called in (each.name, each.called) if called}
    try:
        names = [line.strip() for line in file.read_text(encoding="utf-8").splitlines()]
    except UnicodeDecodeError:
        raise RecallError(f"`{file}` isn't UTF-8", "save the list of people as UTF-8") from None
    return tuple(name for name in names if name and key_form(name) not in here)
