"""`broken-reference`: a link or picture to a file that isn't there."""

from pathlib import Path
from urllib.parse import unquote

from recall.base.finding import Finding, finding
from recall.base.text import shown
from recall.deck.checks.material import Material
from recall.deck.source import file_shown


def check(material: Material) -> list[Finding]:
    """Local targets that no template has yet to fill in; what lies outside the deck is looked for, never read."""
    findings = []
    files = {file_shown(file): file for file in material.source.files}
    for note in material.notes:
        folder = (material.source.root / files.get(note.file, note.file)).parent
        for reference in note.references:
            target = unquote(reference.target.split("#")[0].split("?")[0])
            if not target or target.startswith("/") or "{" in target:
                continue
            try:
                there = (folder / target).exists() or _as_note(folder / target).exists()
            except (OSError, ValueError):
                there = False
            if not there:
                message = f"`{shown(reference.target)}` isn't there"
                help = "correct the path; it is taken from the note's own folder"
                findings.append(finding("broken-reference", reference.place, message, help))
    return findings


def _as_note(target: Path) -> Path:
    """The note that a site generator makes a link's page from: `tanks.html`, `tanks/` and `tanks` of `tanks.md`."""
    return target.with_suffix(".md") if target.suffix in ("", ".html") else target
