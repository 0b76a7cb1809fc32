"""`broken-reference`: a link or picture to a file that isn't there, a picture that can't be shown."""

from collections.abc import Iterator
from contextlib import suppress
from urllib.parse import unquote

from recall.base.errors import RecallError
from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.deck.pictures import in_card, picture_file
from recall.deck.source import file_shown


def check(material: Material) -> Iterator[Finding]:
    """Local targets that no template has yet to fill in; what lies outside the deck is looked for, never read."""
    files = {file_shown(file): file for file in material.source.files}
    for note in material.notes:
        folder = (material.source.root / files.get(note.file, note.file)).parent
        for reference in note.references:
            target = unquote(reference.target.split("#")[0].split("?")[0])
            if not target or target.startswith("/") or "{" in target:
                continue
            there, path = False, folder / target
            with suppress(OSError, ValueError):
                # A site generator makes `tanks.html`, `tanks/` and `tanks` of `tanks.md`.
                page = path.suffix in ("", ".html")
                there = path.exists() or (page and path.with_suffix(".md").exists())
            if not there:
                message = f"`{shown(reference.target)}` isn't there"
                help = "correct the path; it is taken from the note's own folder"
                yield finding("broken-reference", reference.place, message, help)
    yield from _unfit(material)


def _unfit(material: Material) -> Iterator[Finding]:
    """Pictures of points that are there and can't be shown, or can't go along in a published revision."""
    named = {
        (one.point.place.file, path): one.point.place
        for one in material.asked
        for _, path in in_card(one.point.extra)
    }
    for (file, path), place in named.items():
        try:
            if (material.source.root / file).parent.joinpath(path).exists():
                picture_file(material.source.root, file, path)
        except (OSError, ValueError):
            continue
        except RecallError as fault:
            yield finding("broken-reference", place, fault.what, fault.help)
