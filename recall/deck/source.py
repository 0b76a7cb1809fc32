"""Where decks are: folders and notes on disk, found without ever leaving the folder that was named."""

import hashlib
import os
from pathlib import Path

from recall import __version__
from recall.base.errors import RecallError
from recall.deck.model import Source

_ENDINGS = (".md", ".markdown")
HEAD = "deck.md"
LARGEST_FILE = 16 * 1024 * 1024
READING = "2"
"""Raised when the same notes would be read into other cards, so that stores read them again."""


def find_sources(path: Path) -> list[Source]:
    """The decks at a path: a lone note; a folder; below a folder, each folder with a `deck.md` of its own.

    Raises RecallError where there is nothing to read.
    """
    if not path.exists():
        raise RecallError(f"there is no `{path}`", "name a folder of Markdown notes, or one note")
    if path.is_file():
        return [Source(path.parent, (path.name,), _shown(path.parent), lone=True)]
    if not os.access(path, os.R_OK | os.X_OK):
        raise RecallError(f"no permission to read `{path}`", "ask its owner, or name another folder")
    found: dict[Path, list[Path]] = {}
    _collect(path, path.resolve(), path, found, set())
    sources = []
    for root in sorted(found):
        files = tuple(sorted(file.relative_to(root).as_posix() for file in found[root]))
        if files:
            head = tuple(file for file in files if file == HEAD)
            sources.append(Source(root, head + tuple(f for f in files if f != HEAD), _shown(root)))
    if not sources:
        raise RecallError(f"there are no notes in `{path}`", "notes are files that end in .md or .markdown")
    return sources


def _shown(root: Path) -> str:
    text = root.as_posix()
    return "" if text == "." else text


def _collect(folder: Path, top: Path, root: Path, found: dict[Path, list[Path]], seen: set[Path]) -> None:
    """Notes of a folder, by deck. A link is followed once, and never out of the folder named."""
    real = folder.resolve()
    if real in seen or not real.is_relative_to(top):
        return
    seen.add(real)
    try:
        entries = sorted(folder.iterdir())
    except OSError:
        return
    if folder != root and any(entry.name == HEAD for entry in entries):
        root = folder
    notes = found.setdefault(root, [])
    for entry in entries:
        if entry.name.startswith("."):
            continue
        if entry.is_dir():
            _collect(entry, top, root, found, seen)
        elif entry.suffix.lower() in _ENDINGS and entry.is_file():
            target = entry.resolve()
            if target.is_relative_to(top) and target not in seen:
                seen.add(target)
                notes.append(entry)


def fingerprint(source: Source) -> str:
    """A digest of all that a deck is read from; another one whenever a note changes, comes or goes."""
    whole = hashlib.sha256(f"{__version__}/{READING}".encode())
    for file in source.files:
        try:
            path = source.root / file
            large = path.stat().st_size > LARGEST_FILE
            content = b"too large" if large else path.read_bytes()
        except OSError:
            content = b"unreadable"
        whole.update(f"\0{file}\0{len(content)}\0".encode(errors="surrogateescape"))
        whole.update(content)
    return whole.hexdigest()
