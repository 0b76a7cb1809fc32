"""Options that several commands share, and where the store is."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from recall.base.errors import RecallError

JsonOption = Annotated[bool, typer.Option("--json", help="Write JSON Lines.")]
StoreOption = Annotated[Path | None, typer.Option("--store", help="The store to use.", show_default=False)]
PathArgument = Annotated[Path, typer.Argument(help="A folder of notes, or one note.", show_default=False)]


@dataclass
class _Said:
    store: Path | None = None


_said = _Said()


def remember_store(store: Path | None) -> None:
    """Keep the store named before the command."""
    _said.store = store


def store_path(store: Path | None) -> Path:
    """The store named behind the command, before it, in RECALL_STORE, or the person's own."""
    chosen = store or _said.store
    if chosen is not None:
        return chosen
    import platformdirs

    folder = Path(platformdirs.user_data_dir("recall", appauthor=False))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RecallError(
            f"can't make the folder `{folder}`: {error.strerror}", "name a store with --store FILE"
        ) from None
    return folder / "store.db"
