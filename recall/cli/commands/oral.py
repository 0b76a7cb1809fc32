"""`recall oral`: a mock oral."""

import random
from pathlib import Path
from typing import Annotated

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, StoreOption, option, place, store_path, whole
from recall.cli.output import json_line

Notes = Annotated[Path | None, place("Notes to load first and to ask; without it, what the checkride asks.")]
Examiner = Annotated[bool, option("--examiner", "Another person reads the questions and marks.")]
Questions = Annotated[
    int | None,
    option("--questions QUESTIONS", "How many; as the blueprint says unless told.", whole("questions", 1)),
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
    from recall.cli.loading import begin, open_store
    from recall.cli.oral_screen import show_result
    from recall.cli.progress import working
    from recall.cli.screen import Screen
    from recall.cli.sitting import run
    from recall.publish.sources import SourceText
    from recall.session.begin import begin_oral, oral_drawn, oral_scope
    from recall.store.answers import sittings

    clock = SystemClock()
    with open_store(store_path(store), clock, notes=path) as opened:
        screen = Screen.on(errors=json)
        scope = oral_scope(begin(opened, path, screen) or None, questions, examiner)
        with working("drawing questions"):
            drawn = oral_drawn(opened, scope, random.Random())
        sitting = begin_oral(opened, scope, drawn, SourceText(opened))
        end = run(sitting, screen, clock).end
        past = sittings(opened)
        if end is not None and json:
            before = [{"date": one.day.isoformat(), "asked": one.asked, "right": one.right} for one in past]
            json_line({"date": opened.today().isoformat(), **end, "past": before})
        elif end is not None:
            show_result(screen, end, past)
