"""A block as plain text, and the footnotes of a note."""

from recall.base import regex as re
from recall.base.text import one_line
from recall.notes.model import Block, Code, Definitions, Heading, Note, Paragraph, Table

_NOTE_BELOW = re.compile(r"\[\^([\w-]{1,30})\]:\s+(\S.*)|\\?((?:[†‡§]|(?<=\\)\*)(?:\\?[*†‡§]){0,2})\s+(\S.*)")


def plain_of(block: Block) -> str:
    """A block as plain text, for an answer that is a whole section."""
    if isinstance(block, Heading | Paragraph):
        return block.text.plain.strip()
    if isinstance(block, Code):
        return block.plain.rstrip()
    if isinstance(block, Table):
        rows = [[header.plain for header in block.headers]] if any(block.headers) else []
        rows += [[cell.plain for cell in (*row.cells, *row.spare)] for row in block.rows]
        return "\n".join(" | ".join(one_line(cell) for cell in row) for row in rows)
    if isinstance(block, Definitions):
        return "\n".join(
            f"{one_line(entry.term.plain)}: {'; '.join(one_line(m.plain) for m in entry.meanings)}"
            for entry in block.entries
        )
    lines: list[str] = []
    for number, item in enumerate(block.items, 1):
        lines.append((f"{number}. " if block.ordered else "- ") + one_line(item.text.plain))
        for below in item.below:
            lines += ["  " + line for line in plain_of(below).splitlines()]
    return "\n".join(lines)


def footnotes_of(note: Note) -> dict[str, str]:
    """The footnotes of a note (`[^1]: 5 min`, `† In climb.`), the first of each mark."""
    found: dict[str, str] = {}
    for line in note.lines:
        if line[:1] in "[\\†‡§" and line and (said := _NOTE_BELOW.match(line)):
            mark, words = said[1] or said[3].replace("\\", ""), said[2] or said[4]
            found.setdefault(mark, one_line(words).rstrip("."))
    return found
