"""Pictures that notes name: which belong to a point, and the one gate that a picture's file goes through.

A point holds them among what is shown with its answer, under PICTURE: `its words (path)`, as the note names the file.
So they stand in its cards, in stores and in published files, in words that any version can show.
"""

import posixpath
from collections.abc import Mapping, Sequence
from pathlib import Path

from recall.base import regex as re
from recall.base.errors import RecallError
from recall.base.text import one_line, shown
from recall.kinds.kind import Kind
from recall.kinds.model import Point
from recall.notes.model import Heading, Note, Table

PICTURE = "Picture"
MOST_BYTES = 4 * 1024 * 1024
"""Of one picture: enough for a scanned panel, and little enough for a tablet."""
_SVG = re.compile(r"\s*(?:<\?xml[^>]*>\s*)?(?:<!--.*?-->\s*)*<svg[\s>]", re.DOTALL)
_ACTIVE = re.any_case(
    r"<!(?:DOCTYPE|ENTITY)|<script|<foreignObject|\son\w+\s*=|javascript:|@import|(?:href|src)\s*=\s*[\"'](?!#|data:image/)"
)
_STARTS: Mapping[str, tuple[str, tuple[bytes, ...]]] = {
    ".png": ("image/png", (b"\x89PNG\r\n\x1a\n",)),
    ".jpg": ("image/jpeg", (b"\xff\xd8\xff",)),
    ".jpeg": ("image/jpeg", (b"\xff\xd8\xff",)),
    ".gif": ("image/gif", (b"GIF87a", b"GIF89a")),
    ".webp": ("image/webp", (b"RIFF",)),
    ".svg": ("image/svg+xml", ()),
}
"""The types by their ending, with what such a file begins with."""


def name_pictures(points: Sequence[Point], note: Note, kinds: Sequence[Kind]) -> None:
    """Give each point the pictures of its row, item or sentence; one that takes what stands under its heading, those
    of its section."""
    for one in note.references:
        if one.words is not None and not one.target.startswith("/") and "{" not in one.target:
            pair = PICTURE, f"{one_line(one.words)} ({one.target})".lstrip()
            for point in _owners(points, note, one.place.line, kinds):
                # A column of pictures alone says their words already.
                beside = tuple(kept for kept in point.extra if kept[1] != one_line(one.words))
                point.extra = (*beside, pair)


def _owners(points: Sequence[Point], note: Note, line: int, kinds: Sequence[Kind]) -> list[Point]:
    """The points that a picture on a line belongs to."""
    rows = {row.place.line for block in note.blocks if isinstance(block, Table) for row in block.rows}
    last = max((point.place.line for point in points if point.place.line <= line), default=0)
    goes_on = last and line not in rows and all(text.strip() for text in note.lines[last - 1 : line])
    if last == line or goes_on:
        return [point for point in points if point.place.line == last]
    if line in rows:
        return []
    heads = [0, *(block.text.place.line for block in note.blocks if isinstance(block, Heading))]
    start = max(head for head in heads if head <= line)
    end = min((head for head in heads if head > line), default=len(note.lines) + 1)
    sections = {kind.name for kind in kinds if kind.by_heading}
    return [
        point
        for point in points
        if start <= point.place.line < end and (point.kind in sections or point.place.line == start)
    ]


def in_card(extra: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Words and path of each picture that is shown with an answer."""
    told = (text[:-1].rpartition("(") for header, text in extra if header == PICTURE and text.endswith(")"))
    return [(words.strip(), path) for words, _, path in told if path]


def place_in(note: str, path: str) -> str:
    """Where the picture that a note names stands below the deck's folder. Raises RecallError where it leads out."""
    place = posixpath.normpath(posixpath.join(posixpath.dirname(note), path))
    if place.startswith(("/", "../")) or "\\" in place:
        raise RecallError(f"the picture `{shown(path)}` lies outside the deck", _INSIDE)
    return place


_INSIDE = "put it into the deck's folder, and name it from the note's own"


def picture_file(root: Path, note: str, path: str) -> bytes:
    """The picture that a note of a folder names. Raises RecallError where it isn't one, or may not be shown."""
    from recall.base.files import read_plain

    file = root / place_in(note, path)
    if not file.resolve().is_relative_to(root.resolve()):
        raise RecallError(f"the picture `{shown(path)}` is a link that leads out of the deck", _INSIDE)
    try:
        content = read_plain(file, MOST_BYTES)
    except OSError as fault:
        raise RecallError(f"the picture `{shown(path)}` can't be read: {fault.strerror}", _INSIDE) from fault
    type_of(path, content)
    return content


def type_of(path: str, content: bytes) -> str:
    """The media type of a picture. Raises RecallError where it isn't one that any browser shows and that does no more
    than show."""
    name, starts = _STARTS.get(posixpath.splitext(path)[1].lower(), ("", ()))
    if not name:
        raise RecallError(f"`{shown(path)}` is no picture that can be shown", f"one of {', '.join(_STARTS)}")
    if len(content) > MOST_BYTES:
        raise RecallError(
            f"the picture `{shown(path)}` is larger than {MOST_BYTES >> 20} MiB", "make it smaller"
        )
    text = "" if starts else content.decode("utf-8", "replace").removeprefix("\ufeff")
    if not (content.startswith(starts) if starts else _SVG.match(text)):
        raise RecallError(f"`{shown(path)}` isn't what its name says", "save it anew under its own type")
    if found := _ACTIVE.search(text):
        what = f"the picture `{shown(path)}` does more than show: `{shown(one_line(found[0]))}`"
        raise RecallError(what, "save it as plain SVG")
    return name
