"""`recall tune`: the memory model fitted to the person's own history."""

from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.text import count
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import json_line, say

Try = Annotated[bool, typer.Option("--try", help="Only show what a fit would bring.")]


def tune(only_try: Try = False, json: JsonOption = False, store: StoreOption = None) -> None:
    """Fit the memory model to your own answers.

    It is adopted where it foretells them better.

    Example: recall tune --try
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        fit = opened.tune(adopt=not only_try)
    if json:
        json_line(
            {
                "answers": fit.answers,
                "held_out": fit.held_out,
                "before": fit.before,
                "after": fit.after,
                "adopted": fit.adopted,
            }
        )
        return
    say(
        f"{count(fit.answers, 'answer')}; log loss on the last {fit.held_out}, kept apart: "
        f"{fit.before:.4f} before, {fit.after:.4f} after."
    )
    if fit.adopted:
        say("Adopted: due days follow the new fit.")
    elif fit.after < fit.before:
        say("Better; not adopted, since it was only tried.")
    else:
        say("Not better, so it is not adopted.")
