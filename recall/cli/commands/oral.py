"""`recall oral`: a mock oral."""

import random
import sys
from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, store_path, whole
from recall.cli.output import json_line

Notes = Annotated[
    Path | None,
    typer.Argument(
        help="Notes to load first and to ask; without it, what the checkride asks.", show_default=False
    ),
]
Examiner = Annotated[bool, typer.Option("--examiner", help="Another person reads the questions and marks.")]
Questions = Annotated[
    int | None,
    typer.Option(
        "--questions",
        metavar="QUESTIONS",
        parser=whole("questions", 1),
        help="How many; as the blueprint says unless told.",
    ),
]


def oral(
    path: Notes = None,
    examiner: Examiner = False,
    questions: Questions = None,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Sit a mock oral.

    A draw by the deck's blueprint, no feedback until the end. With --json the result is one object, and questions
    go to standard error.

    Example: recall oral decks/skerry --questions 20
    """
    from recall.cli.loading import load_path, open_store
    from recall.cli.oral_screen import result_row, show_result
    from recall.cli.oral_sitting import OralAtTerminal, OralFromPipe
    from recall.cli.progress import working
    from recall.cli.screen import Screen
    from recall.session.desk import Desk
    from recall.session.mock import draw_oral
    from recall.session.target import Scope
    from recall.store.answers import sittings

    clock = SystemClock()
    with open_store(store_path(store), clock) as opened:
        screen = Screen.on(errors=json)
        if opened.first_use():
            screen.caution()
        scope = None if path is None else Scope(tuple(load_path(opened, path, screen.line)))
        screen.usual = frozenset(str(deck.record.get("applies_to", "")) for deck in opened.store.decks())
        with working("drawing questions"):
            drawn = draw_oral(opened.store, scope, random.Random(), questions)
        at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
        sitting = drawn.sit(Desk(opened.store), clock, random.Random(), timed=at_terminal, examiner=examiner)
        screen.line(f"Mock oral: {drawn.paper.rules}: {drawn.paper.origin}.")
        for remark in drawn.paper.remarks:
            screen.line(f"{remark}.")
        if at_terminal:
            from recall.cli.keys import Keyboard

            OralAtTerminal(sitting, screen, Keyboard()).run()
        else:
            OralFromPipe(sitting, screen, iter(sys.stdin.readline, "")).run()
        result = drawn.result(sitting)
        past = sittings(opened.store)
        if json:
            json_line(result_row(result, opened.store.today().isoformat(), past))
        else:
            show_result(screen, result, past)
