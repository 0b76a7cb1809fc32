"""A store belongs to its person alone: 0600 for its files, 0700 for the folders that are made for it."""

import os
import warnings
from contextlib import suppress
from pathlib import Path

_TAILS = ("-wal", "-shm", "-journal")
_OTHERS, _MINE_ALONE, _WRITE = 0o077, 0o700, 0o200


class OpenToOthersWarning(UserWarning):
    """A store that others could read, or their backups; now they can't."""


def make(path: Path) -> None:
    """An empty file that nobody else can read; one that is there stays. SQLite gives the files beside it its mode."""
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def make_folder(path: Path) -> None:
    """A folder with those above it, 0700 where they are made."""
    if not path.exists():
        make_folder(path.parent)
        path.mkdir(mode=_MINE_ALONE, exist_ok=True)


def tighten(path: Path) -> None:
    """Take from others what they may do with a store, the files beside it and its backups, and warn of it."""
    folder = path.with_name(f"{path.stem}-backups")
    closed = [*map(_closed, (path, *_beside(path), folder))]
    if any(closed):
        warnings.warn(
            f"others could read the store; now it is yours alone: {path}", OpenToOthersWarning, stacklevel=2
        )


def open_beside(path: Path) -> None:
    """Let files beside a store that were made while it couldn't be written be written again where it can."""
    with suppress(OSError):
        if path.stat().st_mode & _WRITE:
            for beside in _beside(path):
                with suppress(FileNotFoundError):
                    mode = beside.stat().st_mode
                    if not mode & _WRITE:
                        beside.chmod((mode | _WRITE) & _MINE_ALONE)


def _beside(path: Path) -> list[Path]:
    """Where SQLite keeps files beside a store: where a link leads, not where it stands."""
    real = path.resolve()
    return [real.with_name(real.name + tail) for tail in _TAILS]


def _closed(path: Path) -> bool:
    """Close a file or folder of this person to others; whether it was open. Another's is left as it is."""
    try:
        found = path.stat()
        if os.name != "posix" or not found.st_mode & _OTHERS or found.st_uid != os.getuid():
            return False
        path.chmod(found.st_mode & _MINE_ALONE)
    except OSError:
        return False
    return True
