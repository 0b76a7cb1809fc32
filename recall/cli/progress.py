"""A sign of life during long work, on a terminal only."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def working(text: str) -> Iterator[None]:
    """Say on standard error what is being worked on, until it is done; nothing where that is no terminal."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    with Console(stderr=True).status(text, spinner="line"):
        yield
