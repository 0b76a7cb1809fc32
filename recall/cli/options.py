"""Options that several commands share, what they may be, and where the store is."""

import os
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer

from recall.base.clock import SystemClock
from recall.base.dataclass import dataclass
from recall.base.errors import DamagedError, RecallError
from recall.base.text import count
from recall.cli.output import NO_CARDS, say

if TYPE_CHECKING:
    from recall.deck.model import Deck
    from recall.store import Store

N = TypeVar("N", int, float)


def option(named: str, help: str, parser: Callable[[object], Any] | None = None) -> Any:
    """An option as help names it: `--out FILE`, or `--critical` for yes or no. parser: what reads its value."""
    flag, _, metavar = named.partition(" ")
    return typer.Option(flag, metavar=metavar or None, help=help, parser=parser)


def argument(help: str, metavar: str | None = None, parser: Callable[[object], Any] | None = None) -> Any:
    """What is named without an option. parser: as for an option."""
    return typer.Argument(metavar=metavar, help=help, show_default=False, parser=parser)


def place(help: str) -> Any:
    """Notes that are named, as `argument`; an empty name is none, and not the folder one is in."""

    def read(typed: object) -> Path:
        if not typed:
            raise RecallError("the name of the notes is empty", "name a folder of notes, or one note")
        return Path(str(typed))

    return argument(help, "PATH", read)


def see_errors(path: str | Path, decks: "Iterable[Deck]") -> None:
    """Raise DamagedError where errors stand in the notes of decks, once all else was done with them."""
    if errors := sum(deck.errors for deck in decks):
        raise DamagedError(
            f"{count(errors, 'error')} in the notes of `{path}`: what is wrong there was left out",
            f"`recall lint` shows {'it' if errors == 1 else 'them'}",
        )


JsonOption = Annotated[bool, option("--json", "Write JSON Lines.")]
StoreOption = Annotated[Path | None, option("--store FILE", "The store to use.")]
PathArgument = Annotated[Path, place("A folder of notes, or one note.")]


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
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if os.name == "posix" and folder.stat().st_mode & 0o077:
            folder.chmod(0o700)
    except OSError as error:
        raise RecallError(
            f"can't make the folder `{folder}`: {error.strerror}", "name a store with --store FILE"
        ) from None
    return folder / "store.db"


def stored(store: Path | None, *, create: bool = False, derived: bool = True) -> "Store":
    """The store of `store_path`, opened. create, derived: as for `Store.open`."""
    from recall.store import Store

    return Store.open(store_path(store), SystemClock(), create=create, derived=derived)


def no_store_yet(store: Path | None, json: bool) -> bool:
    """Whether the person's usual store isn't there yet, which is said; one that they name now must be there."""
    chosen = store or _said.store
    usual = chosen is None or str(chosen) == os.environ.get("RECALL_STORE")
    missing = usual and not store_path(store).exists()
    if missing and not json:
        say(NO_CARDS)
    return missing


def known_kind(kind: str | None) -> None:
    """Refuse a kind that isn't one."""
    if kind is None:
        return
    from recall.kinds.registry import NAMES

    if kind not in NAMES:
        raise RecallError(f"there is no kind `{kind}`", f"kinds are: {', '.join(NAMES)}")


def format_of(format: str, json: bool, known: Iterable[str]) -> str:
    """The one format that was asked for, out of those that are known."""
    if json and format not in ("text", "json"):
        raise RecallError(f"--json and --format {format} are two formats", "leave one of them out")
    if format not in (names := list(known)):
        raise RecallError(f"there is no format `{format}`", f"formats are: {', '.join(names)}")
    return "json" if json else format


def whole(what: str, low: int, high: int = 1_000_000) -> Callable[[object], int]:
    """Reads a whole number from `low` to `high`. what: what is counted, in the plural."""

    return _number(int, f"whole number of {what}", what, low, high)


def decimal(what: str, low: float, high: float) -> Callable[[object], float]:
    """Reads a number from `low` to `high`. what: what is counted, in the plural."""

    return _number(float, f"number of {what}", what, low, high)


def _number(
    convert: Callable[[str], N], said: str, what: str, low: float, high: float
) -> Callable[[object], N]:
    def read(typed: object) -> N:
        help = f"give a number from {low:g} to {high}"
        try:
            number = convert(str(typed))
        except ValueError:
            raise RecallError(f"`{typed}` is no {said}", help) from None
        if not low <= number <= high:  # neither is what is no number
            raise RecallError(f"{what} can't be `{typed}`", help)
        return number

    return read


def day(typed: object) -> date:
    """Reads a date."""
    try:
        found = date.fromisoformat(str(typed))
    except ValueError:
        raise RecallError(f"`{typed}` is no date", "write it as 2027-03-31") from None
    if not 1970 <= found.year <= 2199:
        raise RecallError(f"`{typed}` is no day from 1970 to 2199", "write it as 2027-03-31")
    return found
