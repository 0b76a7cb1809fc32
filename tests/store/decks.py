"""Small decks for the store's tests, written as tables of facts."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from recall.base.finding import Place
from recall.deck.model import Deck, Record, Source
from recall.kinds.model import Draft, Point, make_card

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
) -> Deck:
    """A deck with a point a fact. paused: subjects with an error."""
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
        )
        points.append(point)
        if point.faulty:
            stopped.add(point.digest(slug))
            continue
        for aspect in aspects:
            cards.append(make_card(point, Draft(aspect, f"{subject}?", (answer,), "words"), slug))
    return Deck(
        record=Record(slug, revision=revision, effective=effective, formerly=formerly),
        points=tuple(points),
        cards=tuple(cards),
        source=Source(Path("notes"), ("systems.md",), "notes"),
        fingerprint=f"{slug} {revision} {sorted(facts.items())}",
        paused_points=frozenset(stopped),
    )
