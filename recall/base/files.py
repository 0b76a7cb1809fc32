"""Files that somebody names: plain ones of a bounded size, so that nothing waits for a pipe or reads without end."""

import errno
import os
import shutil
from pathlib import Path

from recall.base.errors import RecallError


def read_plain(path: Path, most: int) -> bytes:
    """The bytes of a plain file of at most so many. Raises OSError, and RecallError for anything else."""
    if path.exists() and not path.is_file():
        raise RecallError(f"`{path}` isn't a plain file", "name a file")
    with path.open("rb") as opened:
        content = opened.read(most + 1)
    if len(content) > most:
        raise RecallError(f"`{path}` is larger than {most >> 10} KiB", "name another file")
    return content


def see_folder(path: Path) -> None:
    """Raise RecallError where what is to be written has no folder: only the last name of a path is ever made."""
    if not path.parent.is_dir():
        raise RecallError(f"there is no folder `{path.parent}`", "make it first, or name another place")


def make_folder(path: Path) -> None:
    """Make a folder that isn't there yet. Raises OSError, and RecallError where the one above it is missing."""
    see_folder(path)
    path.mkdir(exist_ok=True)


def _sort(content: bytes) -> bytes:
    """By what sorts of files are told apart: `%PDF`, `<svg`, `deck`; of a zip archive the first name in it, too."""
    name = (
        int.from_bytes(content[26:28], "little") if content.startswith(b"PK\3\4") else 0
    )  # APPNOTE 6.3, 4.3.7
    return content[:4] + content[30 : 30 + name]


def _sort_at(path: Path) -> bytes:
    with path.open("rb") as opened:
        return _sort(opened.read(1024))


def write_file(path: Path, content: bytes) -> None:
    """Write a file, or a pipe that somebody reads. Raises OSError, and RecallError where nobody does (it would wait
    for ever), where there is no folder, and where another sort of file stands there: notes, a key, a store, named by
    mistake."""
    see_folder(path)
    if path.is_file() and _sort_at(path) not in (b"", _sort(content)):
        raise RecallError(
            f"`{path}` is another sort of file, and stays",
            "name one that isn't there yet, or delete it first",
        )
    if path.is_file() or not path.exists():
        write_whole(path.resolve(), content)
        return
    try:
        handle = os.open(path, os.O_WRONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError as fault:
        if fault.errno != errno.ENXIO:
            raise
        raise RecallError(
            f"nobody reads from the pipe `{path}`", "name a file, or start its reader first"
        ) from fault
    with open(handle, "wb") as opened:  # noqa: PTH123
        os.set_blocking(handle, True)
        opened.write(content)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file, or leave what was there: a full disk leaves neither half a file nor an empty one."""
    fresh = path.with_name(f"{path.name}.{os.getpid()}.part")
    opened = fresh.open("xb")  # of nobody else
    try:
        with opened:
            opened.write(content)
        if path.exists():
            shutil.copymode(path, fresh)
        fresh.replace(path)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
