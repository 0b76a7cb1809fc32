"""How the tests of the reader look at a note: its blocks as lines that a person can review."""

from collections.abc import Callable, Iterable, Iterator

import pytest

from recall.notes.model import Block, Code, Definitions, Heading, List, Paragraph, Table, Text
from recall.notes.reader import read_note

_BOLD = {"none": "", "some": "*", "all": "**"}


def _outline(note: str) -> list[str]:
    """Each block of a note as lines, then its findings and its local references.

    `line:column` begins what has a place; `*` stands around words that are bold in part, `**` around those that
    are bold as a whole; `⏎` is a line end.
    """
    read, findings = read_note(note, "note.md")
    lines = list(_blocks(read.blocks, ""))
    lines += [f"finding {said.place.line}:{said.place.column} {said.rule}" for said in findings]
    lines += [f"reference {kept.place.line}:{kept.place.column} {kept.target}" for kept in read.references]
    return lines


@pytest.fixture(scope="session")
def outline() -> Callable[[str], list[str]]:
    """A note's outline."""
    return _outline


def _words(text: Text) -> str:
    mark = _BOLD[text.bold]
    return f"{text.place.line}:{text.place.column} {mark}{text.plain}{mark}".rstrip().replace("\n", "⏎")


def _lead(lead: Text | None) -> str:
    return f" under `{lead.plain}`" if lead else ""


def _blocks(blocks: Iterable[Block], indent: str) -> Iterator[str]:
    for block in blocks:
        match block:
            case Heading(text=text, level=level, topic=topic, id=name):
                above = f" below {' / '.join(topic)}" if topic else ""
                yield f"{indent}heading {level} {_words(text)}{above}{' #' + name if name else ''}"
            case Paragraph(text=text):
                yield f"{indent}paragraph {_words(text)}"
            case Table(headers=headers, rows=rows, place=place, lead=lead):
                yield f"{indent}table {place.line}:{place.column}{_lead(lead)}"
                yield f"{indent}  headers {' | '.join(map(_words, headers))}"
                for row in rows:
                    spare = " spare " + " | ".join(map(_words, row.spare)) if row.spare else ""
                    yield f"{indent}  row {row.place.line}: {' | '.join(map(_words, row.cells))}{spare}"
            case List(items=items, ordered=ordered, place=place, lead=lead):
                kind = "ordered list" if ordered else "list"
                yield f"{indent}{kind} {place.line}:{place.column}{_lead(lead)}"
                for item in items:
                    yield f"{indent}  item {item.place.line}: {_words(item.text)}"
                    yield from _blocks(item.below, indent + "    ")
            case Definitions(entries=entries, place=place):
                yield f"{indent}definitions {place.line}:{place.column}"
                for entry in entries:
                    yield f"{indent}  {_words(entry.term)} = {'; '.join(map(_words, entry.meanings))}"
            case Code(plain=plain, place=place):
                yield f"{indent}code {place.line}:{place.column} {plain.strip()}".replace("\n", "⏎")
