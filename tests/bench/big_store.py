"""Large stores for the benchmarks: many cards, many reviews, written straight into the event table."""

import random
from datetime import datetime, timedelta, timezone
from pathlib import Path

from recall.answers import WordsAnswer
from recall.base.clock import SetClock
from recall.base.finding import Place
from recall.deck.model import Deck, Record, Source
from recall.kinds.model import Draft, Point, make_card
from recall.store import Store
from recall.store.derive import rebuild
from recall.store.events import INSERT, row_of

NOW = datetime(2026, 11, 1, 12, 0, tzinfo=timezone.utc)


def big_deck(points: int, aspects: int = 4, slug: str = "big", revision: str = "1") -> Deck:
    """A deck of `points` × `aspects` cards."""
    made, cards = [], []
    for at in range(points):
        point = Point(
            kind=("limit", "setting", "interlock")[at % 3],
            topic=("Systems", f"System {at % 40}", f"Part {at % 400}"),
            subject=f"Item {at}",
            place=Place(f"system-{at % 40}.md", 10 + at),
            critical=at % 25 == 0,
            cite="Invented manual, 1-2",
        )
        made.append(point)
        for aspect in range(aspects):
            draft = Draft(
                f"aspect-{aspect}",
                f"Item {at}, aspect {aspect}?",
                WordsAnswer((f"{(at * 7 + aspect) % 97} V",)),
            )
            cards.append(make_card(point, draft, slug))
    source = Source(Path("notes"), ("notes.md",), "notes")
    return Deck(
        Record(slug, revision=revision), tuple(made), tuple(cards), source, f"{slug} {revision} {points}"
    )


def big_store(path: Path, *, points: int, reviews: int, seed: int, deck: Deck | None = None) -> Store:
    """A store of `points` × 4 cards and so many reviews over the four years before NOW."""
    clock = SetClock(NOW - timedelta(days=1500))
    store = Store.open(path, clock, rng=random.Random(seed))
    deck = deck or big_deck(points)
    store.load(deck)
    rng = random.Random(seed)
    with store.writing():
        store.db.executemany(INSERT, _reviews(store, deck, reviews, rng))
        clock.at = NOW
        rebuild(store)
    return store


def _reviews(store: Store, deck: Deck, count: int, rng: random.Random):  # type: ignore[no-untyped-def]
    start = NOW - timedelta(days=1500)
    step = timedelta(days=1499) / count
    picks = rng.choices(range(len(deck.cards) * 9 // 10), k=count)
    marks = rng.choices([1, 2, 3, 4], [12, 10, 70, 8], k=count)
    for at, (pick, mark) in enumerate(zip(picks, marks, strict=True)):
        if at % 200 == 0:
            store.writer.id = ""
        moment = start + step * at
        card = deck.cards[pick]
        yield row_of(
            store.writer.next_id(moment),
            "reviewed",
            {
                "day": moment.date().toordinal(),
                "card": card.id,
                "answer_hash": card.answer_hash,
                "deck": deck.record.deck,
                "revision": deck.record.revision,
                "mark": mark,
                "right": mark > 1,
                "overruled": False,
                "marked_by": "program",
                "seconds": 1 + rng.random() * 9,
                "given": card.answer.texts[0] if mark > 1 else f"{pick % 97} V",
                "mode": "daily",
            },
        )
