"""Decks for the page in a folder."""

from pathlib import Path

from cli_kit import recall

ROWS = "".join(
    f"| Parameter {letter} | {number} | mm | Handbook 1-1 |\n"
    for number, letter in enumerate("ABCDEFGHJKLMNPQRSTUVWXYZ", start=11)
)
NOTE = f"""\
---
deck: parts
title: Parts
revision: 1
effective: 2026-01-01
---
# Parts

| Parameter | Maximum | Unit | Source |
|---|---|---|---|
{ROWS}"""


def parts(folder: Path) -> Path:
    """A signed revision of 24 limits."""
    notes = folder / "parts"
    notes.mkdir()
    notes.joinpath("deck.md").write_text(NOTE, encoding="utf-8")
    recall("keys", "new", folder / "me.key")
    assert 0 == recall("publish", notes, "--sign", folder / "me.key", "--out", folder / "out").code
    return folder / "out" / "parts-r1.zip"


def all_forms(folder: Path) -> tuple[Path, Path]:
    """Two signed revisions of a deck with every kind and form of answer; the second changes a limit's answer."""
    recall("new", folder / "notes")
    note = folder / "notes" / "deck.md"
    text = f"{note.read_text(encoding='utf-8')}\n# Parts{NOTE.rpartition('# Parts')[2]}"
    recall("keys", "new", folder / "me.key")
    for revision, limit in (("1", "640"), ("2", "620")):
        note.write_text(
            text.replace("revision: 1", f"revision: {revision}").replace("640", limit), encoding="utf-8"
        )
        words = ("--sign", folder / "me.key", "--out", folder / "out")
        assert 0 == recall("publish", folder / "notes", *words).code
    first, second = sorted((folder / "out").glob("*.zip"))
    return first, second
