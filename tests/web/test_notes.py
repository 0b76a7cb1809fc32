"""Notes as they are written."""

import hashlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import NOTE
from playwright.sync_api import Page
from web_kit import Caller, called, served

LACKING = """
## Remarks

| Pump | Remarks |
|---|---|
| Left | hums |

| Parameter | Minimum | Maximum | Unit |
|---|---|---|---|
| Oil pressure | 90 | 60 | psi |
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A deck of two notes, one of them with faults."""
    made = tmp_path / "fuel"
    made.mkdir()
    (made / "a.md").write_text(NOTE, encoding="utf-8")
    (made / "b.md").write_text("# More" + LACKING, encoding="utf-8")
    return made


@pytest.fixture
def client(store: Path, folder: Path) -> Iterator[Caller]:
    """The page over notes that are being written."""
    with called(store, notes=folder) as client:
        yield client


def _digest(folder: Path) -> dict[str, tuple[str, int]]:
    return {
        file.name: (hashlib.sha256(file.read_bytes()).hexdigest(), file.stat().st_mtime_ns)
        for file in folder.iterdir()
    }


def _line(said: str, number: int) -> str:
    """What stands at a line."""
    return said.partition(f'id="line-{number}"')[2].partition(f'id="line-{number + 1}"')[0]


def test_a_line_stands_beside_its_questions(client: Caller) -> None:
    """With their answers."""
    line = _line(client.read("/notes"), 7)

    assert "**Feeder quantity**" in line
    assert "feeder quantity" in line.partition("</code>")[2].lower()
    assert "700 lb" in line


def test_each_piece_has_its_fate(client: Caller) -> None:
    """Asked, shown, told or passed over, each with its reason."""
    first, second = client.read("/notes"), client.read("/notes?file=b.md")

    assert "passed over: a heading" in _line(first, 1)
    assert ">shown<" in _line(first, 3)
    assert "is-asked" in first
    assert "is-told" in second


def test_findings_stand_at_their_lines_with_their_cures(client: Caller) -> None:
    """And above, each leading to its line."""
    said = client.read("/notes?file=b.md")
    line = _line(said, 10)

    assert "<code>| Oil pressure | 90 | 60 | psi |</code>" in line
    assert '<p class="found error">' in line
    assert 'class="cure"' in line
    assert "#line-10" in said


def test_the_deck_as_a_student_will_see_it(client: Caller) -> None:
    """The question, and its answer behind a press."""
    said = client.read("/notes?see=1")

    assert "<summary>Answer</summary>" in said
    assert "700 lb" in said


def test_nothing_is_written_to_the_notes(client: Caller, folder: Path) -> None:
    """Neither their bytes nor their times change."""
    before = _digest(folder)
    for address in ("/notes", "/notes?file=b.md", "/notes?see=1"):
        client.read(address)

    assert before == _digest(folder)


def test_a_save_is_read_at_the_next_look(client: Caller, folder: Path) -> None:
    """What changed, came and went."""
    client.read("/notes")
    (folder / "a.md").write_text(NOTE.replace("700", "750"), encoding="utf-8")
    (folder / "c.md").write_text("# Late\n", encoding="utf-8")
    (folder / "b.md").unlink()
    said = client.read("/notes")

    assert "750 lb" in said
    assert "c.md" in said
    assert "b.md" not in said


@pytest.mark.parametrize("file", ["../store.db", "/etc/passwd", "a.md/..", "z.md", "a.md%00"])
def test_no_name_leads_out_of_the_deck(client: Caller, file: str) -> None:
    """What isn't a note of it isn't there."""
    assert 404 == client.get(f"/notes?file={file}").status_code


def test_without_notes_it_says_how(store: Path) -> None:
    """And stands in no navigation."""
    with called(store) as client:
        answer = client.get("/notes")

        assert "recall page PATH" in answer.text
        assert 'href="notes"' not in client.read("/today")


def test_a_note_that_cannot_be_read_is_said(client: Caller, folder: Path) -> None:
    """Its finding stands at its head."""
    (folder / "a.md").write_bytes(b"# Fuel \xff\n")

    assert "so its questions pause" in client.read("/notes")


def test_a_long_note_is_shown_in_parts(client: Caller, folder: Path) -> None:
    """The part with the line that is asked for."""
    rows = "".join(f"| Quantity {at} | {at} | psi |\n" for at in range(1, 400))
    (folder / "a.md").write_text(
        f"# Long\n\n| Parameter | Maximum | Unit |\n|---|---|---|\n{rows}", encoding="utf-8"
    )
    said = client.read("/notes?at=250")

    assert "Lines 201 to 300 of 403" in said
    assert "Quantity 246 " in said
    assert "Quantity 100 " not in said
    assert len(said) < 200_000


def save(note: Path, text: str) -> None:
    """Save a note at once, so that nobody reads half of it."""
    aside = note.with_suffix(".new")
    aside.write_text(text, encoding="utf-8")
    aside.replace(note)


def test_a_save_shows_by_itself(store: Path, folder: Path, tab: Page) -> None:
    """In the browser, at the line that changed, in another note too; what was opened stays open."""
    with served("--store", store, "page", folder) as page:
        tab.goto(f"{page.address}/notes")
        tab.wait_for_load_state()
        save(folder / "a.md", NOTE.replace("700", "750"))
        tab.wait_for_selector("#line-7.changed >> text=750 lb")
        other = (folder / "b.md").read_text(encoding="utf-8")
        save(folder / "b.md", other.replace("hums", "hums a tune"))
        tab.wait_for_selector("text=hums a tune")

        assert "file=b.md" in tab.url
