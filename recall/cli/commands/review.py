"""`recall review`: a sitting."""

import random
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.cli.options import StoreOption, decimal, known_kind, store_path, whole

if TYPE_CHECKING:
    from recall.session.planned import Today
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
OfKind = Annotated[str | None, typer.Option("--kind", metavar="KIND", help="Only this kind, such as limit.")]


def review(
    path: Notes = None,
    minutes: Minutes = None,
    cards: Cards = None,
    topic: Topic = None,
    kind: OfKind = None,
    for_checkride: ForCheckride = False,
    store: StoreOption = None,
) -> None:
    """Review what is due, then begin what hasn't been asked.

    Example: recall review decks/skerry --minutes 10
    """
    from recall.cli.loading import load_path, open_store
    from recall.cli.screen import CAUTIONARY, Screen
    from recall.cli.sitting import FromPipe
    from recall.cli.sources import SourceText
    from recall.session.desk import Desk, order_of
    from recall.session.engine import Session
    from recall.session.order import Order

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
        screen.usual = frozenset(str(deck.record.get("applies_to", "")) for deck in opened.store.decks())
        at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
        session = Session(
            Desk(opened.store),
            Order([]),
            clock,
            random.Random(),
            minutes=minutes,
            cards=cards,
            timed=at_terminal,
            each=opened.store.usual_seconds(),
        )
        if for_checkride:
            today = _planned(opened.store, decks, topic, kind, at_terminal)
            session.order, session.mode = today.order, today.mode
            session.each = today.each or session.each
            if at_terminal and minutes is None:
                session.minutes = today.minutes
            screen.line(today.said)
        else:
            session.order = order_of(opened.store, decks=decks, topic=topic, kind=kind)
        if not session.order.left:
            if session.mode == "daily":
                screen.line(opened.nothing_due(topic, kind))
            return
        sources = SourceText(opened.store)
        if at_terminal:
            from recall.cli.keys import Keyboard
            from recall.cli.sitting import AtTerminal

            AtTerminal(session, screen, Keyboard(), sources.lines).run()
        else:
            FromPipe(session, screen, iter(sys.stdin.readline, ""), sources.lines).run()
        screen.end(session.summary(), opened.weak_lines())


def _planned(
    store: "Store", decks: list[str], topic: str | None, kind: str | None, at_terminal: bool
) -> "Today":
    """Today's sitting by the plan, whose topics are its own."""
    from recall.cli.progress import working
    from recall.session.planned import sitting_today

    if topic or kind:
        raise RecallError("the plan chooses what is asked", "set its topics: recall plan --topic TOPIC")
    with working("planning today"):
        rng = random.Random(str(store.today()))
        return sitting_today(store, rng, decks=tuple(decks), reserve=at_terminal)
