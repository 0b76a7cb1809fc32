"""Decks to compare: a folder, a lone note, a published file, or `REV:PATH` of a git repository."""

import io
import subprocess
import tarfile
from collections.abc import Mapping, Sequence
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.deck.source import find_sources
from recall.publish.difference import Difference
from recall.publish.places import is_published, read_all
from recall.publish.revision import verified

_PATIENCE = 120.0
_NAME = "name a folder of notes"


def decks_at(name: str) -> list[Deck]:
    """Every deck at a place as a person names it. Raises RecallError where there is none."""
    path = Path(name)
    if not path.exists() and ":" in name:
        return _from_git(name)
    return [deck for deck, _ in read_all(path)]


def renamed_in(name: str) -> Mapping[str, str]:
    """The renamings that a published file tells (new card id → old one); none of any other place."""
    path = Path(name)
    return verified(path).renamed if is_published(path) else {}


def compared(
    old: Sequence[Deck], new: Sequence[Deck], renamed: Mapping[str, str]
) -> list[tuple[Deck, Difference]]:
    """Each new deck with what differs from its old self: the one of its slug, of the slug it had formerly, or the
    only one there is. A deck that is gone is told as empty. renamed: what was decided, ids of cards."""
    left = {deck.record.deck: deck for deck in old}
    alone = len(old) == len(new) == 1
    found = []
    for deck in new:
        before = left.pop(deck.record.deck, None) or left.pop(deck.record.formerly, None)
        if before is None and alone:
            before = left.popitem()[1]
        before = before or replace(deck, points=(), cards=())
        found.append((deck, Difference.between(before, deck, renamed)))
    for deck in left.values():
        empty = replace(deck, points=(), cards=(), paused_points=frozenset(), paused_files=frozenset())
        found.append((empty, Difference.between(deck, empty)))
    return found


def _from_git(name: str) -> list[Deck]:
    """Decks of an object of the repository around the working directory."""
    if name.startswith("-"):
        raise RecallError(f"there is no `{name}`", "name a folder of notes, or REV:PATH")
    kind = _git("cat-file", "-t", name, asked=name).decode().strip()
    inside = name.partition(":")[2].strip("/")
    with TemporaryDirectory() as folder:
        root = Path(folder) / (PurePosixPath(inside).name or "notes")
        if kind == "blob":
            root.write_bytes(_git("cat-file", "blob", name, asked=name))
        else:
            root.mkdir()
            packed = io.BytesIO(_git("archive", "--format=tar", name, asked=name))
            with tarfile.open(fileobj=packed) as archive:
                archive.extractall(root, filter="data")
        try:
            sources = find_sources(root)
        except RecallError as fault:
            raise RecallError(f"there are no notes in `{name}`", fault.help) from fault
        decks = []
        for source in sources:
            below = source.root.relative_to(root) if source.root != root.parent else Path()
            above = f"{name.rpartition(':')[0]}:{PurePosixPath(inside).parent}"
            shown = above if kind == "blob" else name
            shown = shown if below == Path() else f"{shown}/{below.as_posix()}"
            deck, _ = read_deck(source)
            decks.append(replace(deck, source=replace(source, shown=shown)))
        return decks


def _git(*arguments: str, asked: str) -> bytes:
    try:
        done = subprocess.run(["git", *arguments], capture_output=True, timeout=_PATIENCE, check=False)
    except FileNotFoundError:
        raise RecallError(f"there is no `{asked}`, and no git to look it up with", _NAME) from None
    except subprocess.TimeoutExpired:
        raise RecallError(f"git takes too long over `{asked}`", _NAME) from None
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines() or ["it failed"]
        raise RecallError(
            f"git finds no `{asked}`: {said[-1].removeprefix('fatal: ')}",
            "name a folder of notes, or REV:PATH with the path from the top of the repository",
        )
    return done.stdout
