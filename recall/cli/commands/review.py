"""`recall review`: a sitting."""

import random
import sys
from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import StoreOption, store_path

Notes = Annotated[
    Path | None,
    typer.Argument(help="Notes to load first; without it, all decks loaded before.", show_default=False),
]
Minutes = Annotated[float | None, typer.Option("--minutes", min=0.5, help="End after so many minutes.")]
Cards = Annotated[int | None, typer.Option("--cards", min=1, help="End after so many cards.")]
Topic = Annotated[str | None, typer.Option("--topic", help="Only this topic and those below it.")]
OfKind = Annotated[str | None, typer.Option("--kind", help="Only this kind, such as limit.")]


def review(
    path: Notes = None,
    minutes: Minutes = None,
    cards: Cards = None,
    topic: Topic = None,
    kind: OfKind = None,
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

    clock = SystemClock()
    with open_store(store_path(store), clock) as opened:
        screen = Screen.on()
        if opened.first_use():
            screen.caution()
        decks = load_path(opened, path, screen.line) if path is not None else []
        for text in opened.cautions():
            screen.line(text, CAUTIONARY)
        screen.usual = frozenset(str(deck.record.get("applies_to", "")) for deck in opened.store.decks())
        order = order_of(opened.store, decks=decks, topic=topic, kind=kind)
        at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
        session = Session(
            Desk(opened.store), order, clock, random.Random(), minutes=minutes, cards=cards, timed=at_terminal
        )
        if not order.left:
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
