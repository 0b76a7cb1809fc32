"""The reader against the examples of the CommonMark specification (see data/SOURCES.md)."""

import json
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from recall.notes.model import Block, Code, Definitions, Heading, List, Paragraph, Table
from recall.notes.reader import read_note

EXAMPLES = json.loads((Path(__file__).parent / "data" / "commonmark-0.31.2.json").read_text(encoding="utf-8"))

OTHERWISE = {
    96: "begins with a line of dashes, which is front matter here",
    166: "struck-out words keep a mark",
    167: "struck-out words keep a mark",
    168: "struck-out words keep a mark",
    170: "a script is no words",
    172: "a style sheet is no words",
    176: "a style sheet is no words",
    178: "a script is no words",
    191: "an HTML table is one table over its blank lines",
    626: "the standard library's HTML reader doesn't know the comments `<!-->` and `<!--->`",
}
"""Examples whose words differ on purpose from the specification's HTML."""


class _Words(HTMLParser):
    """The words of an HTML page, a picture's by its description."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_data(self, data: str) -> None:
        self.found.append(data)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "img":
            self.found.append(dict(attrs).get("alt") or "")


def _words(blocks: Iterable[Block]) -> Iterator[str]:
    for block in blocks:
        match block:
            case Heading(text=text) | Paragraph(text=text):
                yield text.plain
            case Code(plain=plain):
                yield plain
            case List(items=items):
                for item in items:
                    yield item.text.plain
                    yield from _words(item.below)
            case Table(headers=headers, rows=rows):
                yield from (cell.plain for cell in headers)
                yield from (cell.plain for row in rows for cell in row.cells + row.spare)
            case Definitions(entries=entries):
                yield from (text.plain for entry in entries for text in (entry.term, *entry.meanings))


def _squeezed(words: Iterable[str]) -> str:
    return "".join("".join(words).split())


def test_all_examples_are_here() -> None:
    """Version 0.31.2 has 652 examples."""
    assert 652 == len(EXAMPLES)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: str(example["example"]))
def test_words_are_those_of_the_specification(example: dict[str, str | int]) -> None:
    """All words of an example come through, in their order, and no others."""
    page = _Words()
    page.feed(str(example["html"]))
    page.close()

    note, findings = read_note(str(example["markdown"]), "note.md")

    same = _squeezed(page.found) == _squeezed(_words(note.blocks))
    assert (example["example"] not in OTHERWISE) == same
    assert "unreadable-file" not in {said.rule for said in findings}
