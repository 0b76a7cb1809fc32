"""`recall backup`: a copy of the store, read back."""

from pathlib import Path
from typing import Annotated

from recall.cli.options import StoreOption, argument, stored
from recall.cli.output import say


def backup(
    to: Annotated[Path | None, argument("Where to; without it, beside the store.")] = None,
    store: StoreOption = None,
) -> None:
    """Copy the store, and read the copy back.

    Example: recall backup /media/stick/recall.db
    """

    with stored(store, derived=False) as opened:
        path = opened.backup(to)
    say(f"Copied to {path}, and read back.")
