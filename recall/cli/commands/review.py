"""`recall review`: a sitting."""

import random
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.cli.options import StoreOption, decimal, known_kind, store_path, whole

if TYPE_CHECKING:
    from recall.session.model import Today
    from recall.store import Store

Notes = Annotated[
    Path | None,
    typer.Argument(help="Notes to load first; without it, all decks loaded before.", show_default=False),
]
Minutes = Annotated[
    float | None,
    typer.Option(
        "--minutes",
        metavar="MINUTES",
        parser=decimal("minutes", 0.5, 1440),
        help="End after so many minutes.",
    ),
]
Cards = Annotated[
    int | None,
    typer.Option("--cards", metavar="CARDS", parser=whole("cards", 1), help="End after so many cards."),
]
Topic = Annotated[
    str | None, typer.Option("--topic", metavar="TOPIC", help="Only this topic and those below it.")
]
ForCheckride = Annotated[
    bool, typer.Option("--for-checkride", help="What the plan has for today, until the date; see `plan`.")
]
Critical = Annotated[bool, typer.Option("--critical", help="Only critical points.")]
More = Annotated[
    bool, typer.Option("--more", help="Begin more unasked cards than the settings leave for today.")
]
OfKind = Annotated[str | None, typer.Option("--kind", metavar="KIND", help="Only this kind, such as limit.")]


def review(
    path: Notes = None,
    minutes: Minutes = None,
    cards: Cards = None,
    topic: Topic = None,
    kind: OfKind = None,
    critical: Critical = False,
    more: More = False,
    for_checkride: ForCheckride = False,
    store: StoreOption = None,
) -> None:
    """Review what is due, then begin what hasn't been asked.

    Example: recall review decks/skerry --minutes 10
    """
    from recall.cli.loading import load_path, open_store
    from recall.cli.screen import CAUTIONARY, Screen
    from recall.cli.sitting import at_terminal, run
    from recall.cli.sources import SourceText
    from recall.session.course import Course
    from recall.session.desk import Desk, Selection, order_of
    from recall.session.end import ahead
    from recall.session.model import Today
    from recall.session.sitting import Sitting

    known_kind(kind)
    if path is not None:
        from recall.deck.source import find_sources

        find_sources(path)  # a place without notes is refused before a store is made and its caution said
    clock = SystemClock()
    with open_store(store_path(store), clock) as opened:
        screen = Screen.on()
        if opened.first_use():
            screen.caution()
        decks = load_path(opened, path, screen.line) if path is not None else []
        for text in opened.cautions():
            screen.line(text, CAUTIONARY)
        screen.usual = opened.usual()
        if for_checkride and (topic or kind or critical or more):
            raise RecallError("the plan chooses what is asked", "set its topics: recall plan --topic TOPIC")
        selection = Selection(tuple(decks), opened.topic(topic), kind, critical, more)
        if for_checkride:
            today = _planned(opened.store, decks, at_terminal())
            screen.line(today.said)
        else:
            today = Today(order_of(opened.store, selection))
            if not today.order.left:
                screen.line(opened.nothing_due(selection))
        if not today.order.left:
            return
        most = today.minutes if at_terminal() else None
        sitting = Sitting.begin(
            Desk(opened.store),
            Course(today.order, clock, minutes or most, cards, today.each or opened.store.usual_seconds()),
            scope=asdict(selection) | {"minutes": minutes, "cards": cards, "plan": for_checkride},
            mode=today.mode,
            pause=opened.store.settings().wait_after,
            lines=SourceText(opened.store).lines,
            ahead=lambda: ahead(opened.store, selection),
        )
        end = run(sitting, screen, clock).end
        if end is not None:
            screen.end(end, opened.weak_lines())


def _planned(store: "Store", decks: list[str], at_terminal: bool) -> "Today":
    """Today's sitting by the plan."""
    from recall.cli.progress import working
    from recall.session.planned import sitting_today

    with working("planning today"):
        rng = random.Random(str(store.today()))
        return sitting_today(store, rng, decks=tuple(decks), reserve=at_terminal)
