"""`unclosed-block` for bold: a `**` that is opened and never closed, so that nobody knows what it marks."""

from collections.abc import Iterator, Sequence

from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.deck.material import Material
from recall.notes.model import Block, Definitions, Heading, List, Paragraph, Table, Text


def check(material: Material) -> Iterator[Finding]:
    """The points of its row, of its paragraph or of its whole list are faulty: a memory item may lack a step."""
    doubtful: set[tuple[str, int]] = set()
    for note in material.notes:
        if not any("**" in line for line in note.lines):
            continue
        for texts in _together(note.blocks):
            stray = [text for text in texts if text.stray]
            for text in stray:
                what = f"bold is opened and never closed in `{shown(one_line(text.plain))[:60]}`"
                yield finding("unclosed-block", text.place, what, "write `**` on both sides of what is bold")
            if stray:
                doubtful.update((text.place.file, text.place.line) for text in texts)
    for asked in material.asked:
        if (asked.point.place.file, asked.point.place.line) in doubtful:
            asked.point.faulty = True


def _together(blocks: Sequence[Block]) -> Iterator[list[Text]]:
    """Texts that stand or fall together: a row, a paragraph, a list with all its items."""
    for block in blocks:
        if isinstance(block, Paragraph | Heading):
            yield [block.text]
        elif isinstance(block, Table):
            yield list(block.headers)
            yield from (list(row.cells) for row in block.rows)
        elif isinstance(block, Definitions):
            yield from ([entry.term, *entry.meanings] for entry in block.entries)
        elif isinstance(block, List):
            yield [text for item in block.items for text in _of(item.text, item.below)]


def _of(text: Text, below: Sequence[Block]) -> Iterator[Text]:
    yield text
    for texts in _together(below):
        yield from texts
