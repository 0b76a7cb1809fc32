"""Files and texts that are no ordinary notes: what is said of them, and that nothing fails."""

from collections.abc import Callable
from pathlib import Path

import pytest

from recall.base.finding import Finding, Place
from recall.notes.model import FrontMatter, List, Paragraph, Table
from recall.notes.reader import LARGEST, LONGEST, read_file, read_note


def _said(findings: list[Finding]) -> list[tuple[str, int, int]]:
    return [(said.rule, said.place.line, said.place.column) for said in findings]


def test_byte_order_mark_and_line_ends_are_no_words(tmp_path: Path) -> None:
    """A mark at the head and line ends of any kind leave words, lines and findings alone."""
    path = tmp_path / "a note.markdown"
    path.write_bytes(b"\xef\xbb\xbf# A\r\n\r\nB\rC\r\n")

    note, findings = read_file(path, "a note.markdown")

    assert note is not None
    assert ("# A", "", "B", "C") == note.lines
    assert [] == findings


def test_front_matter_behind_a_byte_order_mark_is_read() -> None:
    """Front matter is found, with the line of its first inner line."""
    note, _ = read_note("\ufeff---\ntitle: A\nrevision: 1\n---\n\nB\n", "note.md")

    assert FrontMatter("title: A\nrevision: 1", 2) == note.front_matter


@pytest.mark.parametrize(
    ("data", "place", "help"),
    [
        (b"# A\n\nMax 70 \xb0C\n", Place("n.md", 3, 8), "save it as UTF-8"),
        ("Druck\n".encode("utf-16"), Place("n.md", 1, 1), "save it as UTF-8"),
        ("Öl\n".encode("utf-16-be"), Place("n.md", 1, 2), "save it as UTF-8"),
        ("When A, B.\n".encode("utf-16-le"), Place("n.md", 1, 1), "save it as UTF-8"),
        (
            b"\x7fELF\x02\x01\x03\x04\x00\xff",
            Place("n.md", 1, 10),
            "it seems no text at all: name a Markdown note",
        ),
        (b"%PDF-1.4\n\xe2", Place("n.md", 2, 1), "it seems no text at all: name a Markdown note"),
    ],
)
def test_other_encodings_are_unreadable(tmp_path: Path, data: bytes, place: Place, help: str) -> None:
    """Nothing is dropped or guessed: the first byte that isn't UTF-8 is named with its place, and what to do."""
    path = tmp_path / "n.md"
    path.write_bytes(data)

    note, findings = read_file(path, "n.md")

    assert note is None
    assert [("unreadable-file", place, help)] == [(said.rule, said.place, said.help) for said in findings]


def test_missing_file_is_a_finding(tmp_path: Path) -> None:
    """A file that is gone, or a folder in its place, is said and not raised."""
    for path in (tmp_path / "gone.md", tmp_path):
        note, findings = read_file(path, "gone.md")

        assert note is None
        assert [("unreadable-file", 1, 1)] == _said(findings)


def test_too_large_file_is_unreadable(tmp_path: Path) -> None:
    """A file may have 16 MiB and no byte more."""
    path = tmp_path / "n.md"
    with path.open("wb") as file:
        file.truncate(LARGEST + 1)

    note, findings = read_file(path, "n.md")

    assert note is None
    assert "larger than 16 MiB" in findings[0].message
    assert ["unreadable-file"] == [said.rule for said in findings]


def test_too_long_line_is_unreadable(tmp_path: Path) -> None:
    """A line may have 1 MiB, counted in bytes."""
    path = tmp_path / "n.md"
    path.write_text("A\n" + "é" * (LONGEST // 2) + "\n" + "é" * (LONGEST // 2) + "e\n", encoding="utf-8")

    note, findings = read_file(path, "n.md")

    assert note is None
    assert [("unreadable-file", 3, 1)] == _said(findings)


def _nested_lists(depth: int) -> str:
    return "".join("  " * level + "- x\n" for level in range(depth))


def _nested_definitions(depth: int) -> str:
    return "".join("  " * level + "a\n" + "  " * level + ": b\n\n" for level in range(depth))


def _nested_admonitions(depth: int) -> str:
    return "".join("    " * level + "!!! note\n" for level in range(depth)) + "    " * depth + "x\n"


@pytest.mark.parametrize(
    "nested",
    [
        lambda depth: "> " * depth + "x\n",
        lambda depth: ">" * depth + " x\n",
        lambda depth: "- " * depth + "x\n",
        _nested_lists,
        _nested_definitions,
        _nested_admonitions,
    ],
)
def test_deep_nesting_is_unreadable(nested: Callable[[int], str]) -> None:
    """A hundred blocks in one another are read; one more, or a hundred more, are said to be too many."""
    for depth in (101, 200):
        note, findings = read_note(nested(depth), "note.md")

        assert () == note.blocks
        assert ["unreadable-file"] == [said.rule for said in findings]
    note, findings = read_note(nested(100), "note.md")

    assert note.blocks
    assert [] == findings


@pytest.mark.parametrize(
    ("above", "again"),
    [
        ("> " * 90 + "a\n", "b\n"),
        ("", "> <!--\n: [a]:\n"),
        ("", "> - ---\n   a\n"),
        ("", "    <a\n" + "> " * 30 + "</div>\n"),
    ],
)
def test_quotations_that_run_on_are_unreadable(above: str, again: str) -> None:
    """Where each looks over the lines of all the others, the note isn't read, and the finding says how to mend it."""
    note, findings = read_note(above + again * 2_000, "note.md")

    assert () == note.blocks
    assert ["unreadable-file"] == [said.rule for said in findings]
    assert "blank line" in findings[0].help


@pytest.mark.parametrize(
    "note", ["> a\n> b\n\n", "> a\nb\n\n", "> > a\n> b\nc\n\n", "- > a\n- b\n", "> - a\n> - b\n\n"]
)
def test_plain_quotations_are_read_however_many(note: str) -> None:
    """With a blank line behind each, or in a list, they cost no more than their lines."""
    read, findings = read_note(note * 3_000, "note.md")

    assert len(read.blocks) > 0
    assert [] == findings


@pytest.mark.parametrize(
    "unit", ["*", "_", "[", "![", "`", "<", "a<br>", "$V_", "&", "[a](b) ", "<sup>", "**a** "]
)
@pytest.mark.parametrize(
    "around", ["{}", "|a|\n|-|\n|{}|", "# {}", "- {}", "<table><tr><td>{}</table>", "<div>{}"]
)
def test_a_long_line_is_one_block(unit: str, around: str) -> None:
    """Thousands of marks in one line are read as one block with all its words, whatever the marks open."""
    note, findings = read_note(around.format(f"start {unit * (12_000 // len(unit))} end"), "note.md")

    assert 1 == len(note.blocks)
    assert "plain='start " in repr(note.blocks)
    assert "end'" in repr(note.blocks)
    assert [] == findings


def test_wide_table_is_read_whole() -> None:
    """A row of 5,000 cells has them all, each at its column."""
    row = "|".join(f" c{number} " for number in range(5000))
    note, _ = read_note(f"|{row}|\n|{'-|' * 5000}\n|{row}|\n", "note.md")
    table = note.blocks[0]

    assert isinstance(table, Table)
    assert [f"c{number}" for number in range(5000)] == [cell.plain for cell in table.rows[0].cells]
    assert f"|{row}|".index("c4999") + 1 == table.rows[0].cells[-1].place.column


def test_large_note_is_read_whole() -> None:
    """Nothing is left out of three megabytes of words and rows."""
    part = (
        "# Part {}\n\n"
        + "plain words and more of them, " * 55
        + "**bold**"
        + "\n\n| a | b |\n|---|---|\n"
        + "| c | d |\n" * 5
        + "\n"
    )
    text = "".join(part.format(number) for number in range(1800))
    note, findings = read_note(text, "note.md")

    assert len(text) > 3_000_000
    assert 3 * 1800 == len(note.blocks)
    assert 5 * 1800 == sum(len(block.rows) for block in note.blocks if isinstance(block, Table))
    assert [] == findings


def test_spans_that_multiply_are_refused() -> None:
    """Spans of an HTML table can't make far more cells than are written."""
    cells = "<tr>" + "<td colspan=9999 rowspan=9999>x" * 50
    note, findings = read_note(f"<table>{cells * 50}</table>\n\nAfter.\n", "note.md")

    assert [("unrecognised-table", 1, 1)] == _said(findings)
    assert ["After."] == [block.text.plain for block in note.blocks if isinstance(block, Paragraph)]


def test_hidden_characters_are_named_and_shown_escaped() -> None:
    """One finding a line: the characters by number, the words around them safe to show. One written out is meant."""
    _, findings = read_note("Sta\u202ert \u200bnow\n\nMax 70\x1b[31m &#8238; &shy;\n", "note.md")

    assert [("hidden-character", 1, 4), ("hidden-character", 3, 7)] == _said(findings)
    assert "hidden characters (U+202E, U+200B) in `Sta\\u{202E}rt \\u{200B}now`" == findings[0].message
    assert "hidden characters (U+001B) in" in findings[1].message


def test_line_ends_of_a_word_processor_are_named() -> None:
    """A note parted by U+2028 is one line to Markdown: nothing of it is read, and that is told."""
    _, findings = read_note("# Limits\u2028| Oil | 9 psi |\n", "note.md")

    assert [("hidden-character", 1, 9)] == [
        (said.rule, said.place.line, said.place.column) for said in findings
    ]


def test_source_lines_are_kept_as_written() -> None:
    """Hidden characters are taken out of words, not out of the source."""
    note, _ = read_note("A\u200bB \0C\n", "note.md")
    paragraph = note.blocks[0]

    assert isinstance(paragraph, Paragraph)
    assert "AB C" == paragraph.text.plain
    assert ("A\u200bB \0C",) == note.lines


def test_nested_lists_keep_their_places() -> None:
    """Lists begun on one line know their own columns."""
    note, _ = read_note("- 1. - x\n", "note.md")
    outer = note.blocks[0]
    assert isinstance(outer, List)
    middle = outer.items[0].below[0]
    assert isinstance(middle, List)
    inner = middle.items[0].below[0]
    assert isinstance(inner, List)

    assert [1, 3, 6, 8] == [
        outer.place.column,
        middle.place.column,
        inner.place.column,
        inner.items[0].text.place.column,
    ]


def test_a_footnote_is_neither_paragraph_nor_link_target() -> None:
    """What a footnote says stands aside; its mark links nowhere."""
    note, findings = read_note("# A\n\nFirm.[^1]\n\n[^1]: Estimated\n    and more\n\nEnd.\n", "note.md")

    assert ["A", "Firm.[^1]", "End."] == [block.text.plain for block in note.blocks]  # type: ignore[union-attr]
    assert ((), []) == (note.references, findings)
