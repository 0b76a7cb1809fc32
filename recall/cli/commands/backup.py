"""`recall backup`: a copy of the store, read back."""

from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.cli.options import StoreOption, store_path
from recall.cli.output import say

To = Annotated[
    Path | None, typer.Argument(help="Where to; without it, beside the store.", show_default=False)
]


def backup(to: To = None, store: StoreOption = None) -> None:
    """Copy the store, and read the copy back.

    Example: recall backup /media/stick/recall.db
    """
    from recall.store import Store

    with Store.open(store_path(store), SystemClock(), create=False, derived=False) as opened:
        path = opened.backup(to)
    say(f"Copied to {path}, and read back.")
