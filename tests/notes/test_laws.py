"""Laws of the reader, on notes made at random."""

from hypothesis import given, settings
from hypothesis import strategies as st

from recall.base.finding import Place
from recall.base.text import has_hidden
from recall.notes.inline import Words, gather, read_text
from recall.notes.model import Block, Heading, List, Paragraph, Row, Table, Text
from recall.notes.page import Page
from recall.notes.reader import read_note

_ODD = """
# ¦## h {#a}⏎¦---⏎¦⏎¦⏎⏎¦> ¦- ¦1. ¦    ¦→¦| a | b |⏎¦|---|---|⏎¦|¦\\¦*¦**¦`¦```⏎¦[¦](¦[a](b)¦![c](d)¦<table>
</table>⏎¦<tr>¦<td colspan=3>¦<th rowspan=4>¦<br>¦<!--¦-->¦<sup>2</sup>¦<b>¦<h1>¦<script>¦</script>¦<?¦<![CDATA[
&¦<¦*[AB]: x⏎¦⏎: def⏎¦:::¦!!! note⏎¦> [!NOTE]⏎¦[x]: y⏎¦&nbsp;¦&#8238;¦$V_{S}$¦V~S~¦word ¦12 ¦é
"""
_MARKS = _ODD.strip("\n").replace("\n", "¦").replace("⏎", "\n").replace("→", "\t").split("¦")
_PIECES = st.sampled_from([*_MARKS, "\0", "\u202e", "\xa0", "\x1c", "\u2028", "\r"])
_ANY = st.one_of(st.text(max_size=200), st.lists(_PIECES, max_size=40).map("".join))
_WORD = st.text("abcdefghXYZ0123456789°%()/,.", min_size=1, max_size=8).filter(
    lambda word: word[0] not in "0123456789"
)
_WORDS = st.lists(_WORD, min_size=1, max_size=3).map(" ".join)
_CELL = st.one_of(
    _WORDS.map(lambda words: (words, words)),
    _WORDS.map(lambda words: (f"**{words}x**", words + "x")),
    _WORDS.map(lambda words: (f"{words} \\| x", f"{words} | x")),
    st.just(("", "")),
)


def _table(rows: list[list[tuple[str, str]]]) -> tuple[str, list[str]]:
    lines = ["| " + " | ".join(source for source, _ in row) + " |" for row in rows]
    return "\n".join([lines[0], "|---" * len(rows[0]) + "|", *lines[1:]]), [
        plain for row in rows for _, plain in row
    ]


_TABLE = st.integers(1, 4).flatmap(
    lambda width: st.lists(st.lists(_CELL, min_size=width, max_size=width), min_size=1, max_size=5).map(
        _table
    )
)
_LIST = st.lists(_WORDS, min_size=1, max_size=4).map(
    lambda items: ("\n".join("- " + words for words in items), items)
)
_HEADING = st.tuples(st.integers(1, 4), _WORDS).map(lambda made: ("#" * made[0] + " " + made[1], [made[1]]))
_PARAGRAPH = st.lists(_WORDS, min_size=1, max_size=3).map(lambda lines: ("\n".join(lines), [" ".join(lines)]))
_NOTE = st.lists(st.one_of(_TABLE, _LIST, _HEADING, _PARAGRAPH), max_size=8)


def _texts(block: Block) -> list[Text]:
    match block:
        case Heading(text=text) | Paragraph(text=text):
            return [text]
        case List(items=items):
            return [item.text for item in items]
        case Table(headers=headers, rows=rows):
            return [*headers, *(cell for row in rows for cell in row.cells)]
        case _:
            return []


@given(_ANY)
@settings(max_examples=400, deadline=None)
def test_any_text_is_read(text: str) -> None:
    """No text raises, and every finding stands in the note."""
    note, findings = read_note(text, "note.md")

    assert all(1 <= said.place.line <= max(1, len(note.lines)) for said in findings)


@given(_NOTE)
@settings(max_examples=80, deadline=None)
def test_every_word_comes_in_order_from_its_place(parts: list[tuple[str, list[str]]]) -> None:
    """Headings, lists, tables and paragraphs come in order, and each text stands in its line at its column."""
    note, _ = read_note("\n\n".join(source for source, _ in parts) + "\n", "note.md")
    texts = [(block, text) for block in note.blocks for text in _texts(block)]

    assert [words for _, expected in parts for words in expected] == [text.plain for _, text in texts]
    for block, text in texts:
        source = (
            note.lines[text.place.line - 1][text.place.column - 1 :].replace("\\|", "|").replace("**", "")
        )
        assert (
            text.plain.startswith(source) if isinstance(block, Paragraph) else source.startswith(text.plain)
        )


@given(_NOTE, st.sampled_from(["> ", "  ", ">> ", "> - "]))
@settings(max_examples=60, deadline=None)
def test_quoting_moves_columns_only(parts: list[tuple[str, list[str]]], mark: str) -> None:
    """The rows of a quoted note are those of the note itself, further right by the mark."""
    plain = "\n\n".join(source for source, _ in parts) + "\n"
    below = mark.replace("-", " ")
    lines = plain.split("\n")[:-1]
    quoted = "\n".join((below if number else mark) + line for number, line in enumerate(lines)) + "\n"

    assert [
        (row.place.line, row.place.column + len(mark), [cell.plain for cell in row.cells])
        for row in _rows(plain)
    ] == [(row.place.line, row.place.column, [cell.plain for cell in row.cells]) for row in _rows(quoted)]


def _rows(text: str) -> list[Row]:
    found: list[Row] = []
    blocks = list(read_note(text, "note.md")[0].blocks)
    while blocks:
        block = blocks.pop(0)
        if isinstance(block, Table):
            found += block.rows
        elif isinstance(block, List):
            blocks = [below for item in block.items for below in item.below] + blocks
    return found


@given(
    st.one_of(
        st.text(max_size=40), st.lists(_PIECES, max_size=8).map("".join), _CELL.map(lambda cell: cell[0])
    )
)
@settings(max_examples=300, deadline=None)
def test_quick_reading_of_words_is_the_parser_s(content: str) -> None:
    """Words read without the parser, being plain or simply bold, are what the parser makes of them."""
    content = content.strip()
    place = Place("note.md", 1)
    page = Page("note.md", [content], has_hidden(content))
    words = Words()
    gather(page, content, 1, words)

    assert words.text(place) == read_text(page, content, place)
