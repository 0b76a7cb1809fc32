"""Where decks are: folders and notes on disk, found without ever leaving the folder that was named."""

import hashlib
import os
from functools import cache
from pathlib import Path

from recall import __version__
from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.base.text import shown
from recall.deck.model import Source

_ENDINGS = (".md", ".markdown")
HEAD = "deck.md"
LARGEST_FILE = 16 * 1024 * 1024
_ROOMS = ("base", "quantity", "notes", "answers", "kinds", "deck")
"""What reads notes into cards."""


def find_sources(path: Path) -> list[Source]:
    """The decks at a path: a lone note; a folder; below a folder, each folder with a `deck.md` of its own.

    Raises RecallError where there is nothing to read.
    """
    if not path.exists():
        raise RecallError(f"there is no `{path}`", "name a folder of Markdown notes, or one note")
    if path.is_file():
        if not path.resolve().is_relative_to(path.parent.resolve()):
            what = f"`{path}` is a link that leads out of its folder"
            raise RecallError(what, "name the note that it leads to")
        return [Source(path.parent, (path.name,), _shown(path.parent), lone=True)]
    if not path.is_dir():
        raise RecallError(f"`{path}` is neither a file nor a folder", "name a folder of notes, or one note")
    if not os.access(path, os.R_OK | os.X_OK):
        raise RecallError(f"no permission to read `{path}`", "ask its owner, or name another folder")
    search = _Search(path.resolve())
    search.folder(path, path)
    sources = []
    for root in sorted(search.found):
        files = sorted(file.relative_to(root).as_posix() for file in search.found[root])
        left = sorted((file.relative_to(root).as_posix(), why) for file, why in search.left.get(root, ()))
        if files:
            files.sort(key=lambda file: file != HEAD)
            sources.append(Source(root, tuple(files), _shown(root), left=tuple(left)))
    if not sources:
        raise RecallError(f"there are no notes in `{path}`", "notes are files that end in .md or .markdown")
    return sources


def file_shown(file: str) -> str:
    """A note's name on one line, with what can't be shown escaped."""
    return shown(file).replace("\n", "\\u{000A}").replace("\t", "\\u{0009}")


def _shown(root: Path) -> str:
    text = root.as_posix()
    return "" if text == "." else text


@dataclass(slots=True)
class _Search:
    """Notes of a folder, by deck. A link is followed once, and never out of the folder named."""

    top: Path
    found: dict[Path, list[Path]] = field(default_factory=dict)
    left: dict[Path, list[tuple[Path, str]]] = field(default_factory=dict)
    seen: set[Path] = field(default_factory=set)

    def folder(self, first: Path, root: Path) -> None:
        """Look through a folder and those below it, each after the notes of the one above."""
        waiting = [(first, root)]
        while waiting:
            folder, root = waiting.pop()
            try:
                real = folder.resolve()
                if real in self.seen or not real.is_relative_to(self.top):
                    continue
                self.seen.add(real)
                entries = sorted(folder.iterdir(), key=lambda entry: (entry.is_symlink(), entry.name))
            except (OSError, RuntimeError):
                continue
            if folder != root and any(entry.name == HEAD for entry in entries):
                root = folder
            self.found.setdefault(root, [])
            below = [entry for entry in entries if not entry.name.startswith(".") and self.entry(entry, root)]
            waiting += [(entry, root) for entry in reversed(below)]

    def entry(self, entry: Path, root: Path) -> bool:
        """Whether an entry is a folder to look through; a note is kept."""
        try:
            if entry.is_dir():
                if entry.is_symlink() and entry.absolute().is_relative_to(entry.resolve()):
                    self.leave(entry, root, "the link leads back to a folder that it stands in")
                    return False
                return True
            if entry.suffix.lower() not in _ENDINGS:
                return False
            if entry.is_symlink() and not entry.exists():
                self.leave(entry, root, "the link leads nowhere, or to itself")
            elif entry.is_file():
                target = entry.resolve()
                if not target.is_relative_to(self.top):
                    self.leave(entry, root, "the link leads out of the deck")
                elif target not in self.seen:
                    self.seen.add(target)
                    self.found[root].append(entry)
        except (OSError, RuntimeError):
            self.leave(entry, root, "it can't be looked at")
        return False

    def leave(self, entry: Path, root: Path, why: str) -> None:
        """An entry that isn't read."""
        self.left.setdefault(root, []).append((entry, why))


def notes_digest(source: Source) -> str:
    """A digest of all that a deck is read from; another one whenever a note changes, comes or goes."""
    return whole_of(source).hexdigest()[:20]


def whole_of(source: Source, way: str = "") -> "hashlib._Hash":
    """All that a deck is read from, hashed behind some words."""
    whole = hashlib.sha256(way.encode())
    for file in source.files:
        try:
            path = source.root / file
            large = path.stat().st_size > LARGEST_FILE
            content = b"too large" if large else path.read_bytes()
        except OSError:
            content = b"unreadable"
        whole.update(f"\0{file}\0{len(content)}\0".encode(errors="surrogateescape"))
        whole.update(content)
    for file, _ in source.left:
        whole.update(f"\0{file}\0left\0".encode(errors="surrogateescape"))
    return whole


@cache
def reading() -> str:
    """A digest of the program that reads notes: of its rooms from text to cards. Another one, and the same notes may
    be read otherwise: stores then read them again, and take no difference for a change of the notes."""
    whole = hashlib.sha256(__version__.encode())
    top = Path(__file__).parents[1]
    for room in _ROOMS:
        for file in sorted((top / room).rglob("*.py")):
            whole.update(file.relative_to(top).as_posix().encode() + b"\0" + file.read_bytes())
    return whole.hexdigest()[:20]


def fingerprint(source: Source) -> str:
    """A digest of a deck's notes and of the program that reads them."""
    return f"{reading()} {notes_digest(source)}"
