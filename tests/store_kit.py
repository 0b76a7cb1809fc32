"""For the store's tests: small decks written as tables of facts, answers, what a store knows."""

from collections.abc import Mapping
from datetime import date, datetime, timezone
from pathlib import Path

from recall.answers import WordsAnswer
from recall.base.finding import Place
from recall.deck.model import Deck, Record, Source
from recall.kinds.model import Draft, Point, digest, make_card
from recall.store import Known, Review, Store

MORNING = datetime(2026, 3, 1, 9, 0, tzinfo=timezone.utc)

Facts = Mapping[str, str]
"""Subject to answer; a subject may be `Topic / subject`."""


def deck(
    facts: Facts,
    *,
    slug: str = "skerry",
    revision: str = "1",
    effective: date | None = None,
    formerly: str = "",
    critical: frozenset[str] = frozenset(),
    applies: Mapping[str, str] | None = None,
    paused: frozenset[str] = frozenset(),
    aspects: tuple[str, ...] = ("value",),
    kind: str = "setting",
    reading: str = "this version",
) -> Deck:
    """A deck with a point a fact. paused: subjects with an error; reading: the program that read it."""
    points, cards, stopped = [], [], set()
    for line, (name, answer) in enumerate(facts.items(), start=3):
        *topic, subject = name.split(" / ")
        point = Point(
            kind=kind,
            topic=tuple(topic) or ("Systems",),
            subject=subject,
            place=Place("systems.md", line),
            critical=name in critical,
            applies=(applies or {}).get(name, ""),
            faulty=name in paused,
            source=digest((name, answer)),
        )
        points.append(point)
        if point.faulty:
            stopped.add(point.digest(slug))
            continue
        for aspect in aspects:
            cards.append(make_card(point, Draft(aspect, f"{subject}?", WordsAnswer((answer,))), slug))
    return Deck(
        record=Record(slug, revision=revision, effective=effective, formerly=formerly),
        points=tuple(points),
        cards=tuple(cards),
        source=Source(Path("notes"), ("systems.md",), "notes"),
        mark=f"{slug} {revision} {sorted(facts.items())}",
        paused_points=frozenset(stopped),
        notes=digest((revision, *(f"{name}: {answer}" for name, answer in facts.items()))),
        read_by=reading,
    )


def card_of(store: Store, subject: str, aspect: str = "value") -> str:
    """Id of the card in force whose subject and aspect they are."""
    found = [
        known.id
        for known in store.cards()
        if known.aspect == aspect and store.card(known.id).subject == subject
    ]
    assert len(found) == 1, (subject, found)
    return found[0]


def known_of(store: Store, subject: str, aspect: str = "value") -> Known:
    """What is known of the card in force of a subject."""
    return store.known(card_of(store, subject, aspect))


def answer(store: Store, subject: str, mark: int = 3, **more: object) -> str:
    """Answer the card of a subject; the id of the review."""
    known = known_of(store, subject)
    return store.record(Review(known.id, known.answer_hash, mark, right=mark > 1, **more))  # type: ignore[arg-type]


def knowledge(store: Store) -> dict[str, object]:
    """All that a store has derived, for comparing; holds and difficulty at 9 digits."""
    found: dict[str, object] = {}
    for known in store.cards(everything=True):
        memory, was = known.memory, store.was(known.id)
        found[known.id] = (
            *(known.standing, known.due, known.fresh, known.asked, known.right, known.first_day),
            None if memory is None else (f"{memory.holds:.9g}", f"{memory.difficulty:.9g}", memory.last_day),
            was and f"Was(answer={was.card.answer.texts!r}, revision={was.revision!r})",
            *(known.answer_hash, known.critical, store.remark_on(known.id)),
        )
    found["decks"] = [(deck.slug, deck.revision, deck.cards, deck.pending) for deck in store.decks()]
    found["settings"] = dict(store.rows("SELECT name, value FROM setting"))
    found["asking"] = sorted(known.id for known in store.cards())
    return found
