"""Files that somebody names: plain ones of a bounded size, so that nothing waits for a pipe or reads without end."""

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
