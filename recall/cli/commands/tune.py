"""`recall tune`: the memory model fitted to the person's own history."""

from typing import Annotated

from recall.base.text import count, fields_of
from recall.cli.options import JsonOption, StoreOption, option, stored
from recall.cli.output import json_line, say


def tune(
    only_try: Annotated[bool, option("--try", "Only show what a fit would bring.")] = False,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Fit the memory model to your own answers.

    It is adopted where it foretells them better.

    Example: recall tune --try
    """
    from recall.store.tune import tune as tuned

    with stored(store) as opened:
        fit = tuned(opened, adopt=not only_try)
    if json:
        json_line(fields_of(fit, "answers", "held_out", "before", "after", "adopted"))
        return
    say(
        f"{count(fit.answers, 'answer')}. How far the forecast was from the last {fit.held_out}, which were kept "
        f"apart (log loss, less is better): {fit.before:.4f} as it is, {fit.after:.4f} fitted to you."
    )
    if fit.adopted:
        say("Adopted: due days follow the new fit.")
    elif fit.after < fit.before:
        say("Better; not adopted, since it was only tried.")
    else:
        say("Not better, so it is not adopted.")
