"""`recall new`: a starter deck."""

from importlib.resources import files
from pathlib import Path
from shlex import quote
from typing import Annotated

from recall.base.errors import RecallError
from recall.base.files import make_folder, write_whole
from recall.cli.options import argument
from recall.cli.output import say


def new(
    folder: Annotated[Path, argument("The folder to begin; it is made.")],
) -> None:
    """Begin a deck that shows each kind, to be written over.

    Example: recall new decks/curlew
    """
    from recall.deck.record import slug_from
    from recall.deck.source import HEAD

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise RecallError(f"`{folder}` isn't an empty folder", "name one that isn't there yet")
    starter = files("recall.deck").joinpath("starter.md").read_text(encoding="utf-8")
    make_folder(folder)
    named = starter.replace("deck: starter\n", f"deck: {slug_from(folder.resolve().name)}\n", 1)
    write_whole(folder / HEAD, named.encode())
    say(f"Begun {folder / HEAD}, about an invented boat: write your own over it.")
    typed = quote(str(folder))
    say(f"See its questions with `recall cards {typed}`, and what is wrong with `recall lint {typed}`.")
