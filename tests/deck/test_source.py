"""Where notes are found: folders, links, odd names; nothing outside the deck, nothing read twice."""

import os

import pytest
from deck_kit import said

from recall.base.errors import RecallError
from recall.deck.read import read_deck
from recall.deck.source import find_sources, fingerprint

TABLE = "# Gear\n\n| Control | Position |\n| --- | --- |\n| Bus tie | OPEN |\n"


def files_of(folder):
    """Files of the only deck at a path."""
    (source,) = find_sources(folder)
    return source.files


def test_notes_of_a_folder(tmp_path):
    """deck.md first, then by name, `.markdown` and capitals too, folders below; hidden ones and others not."""
    (tmp_path / "sub dir").mkdir()
    (tmp_path / ".git").mkdir()
    for name in (
        "b.md",
        "a.markdown",
        "deck.md",
        "C.MD",
        "sub dir/z z.md",
        "x.txt",
        ".hidden.md",
        ".git/g.md",
    ):
        (tmp_path / name).write_text(TABLE)

    assert ("deck.md", "C.MD", "a.markdown", "b.md", "sub dir/z z.md") == files_of(tmp_path)


def test_decks_below_a_folder(tmp_path):
    """Each folder with a deck.md of its own is a deck; the others belong to the one above."""
    for name in ("one/deck.md", "one/a/b.md", "two/deck.md", "two/a.md"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(TABLE)

    assert [("deck.md", "a/b.md"), ("deck.md", "a.md")] == [source.files for source in find_sources(tmp_path)]
    with pytest.raises(RecallError, match="several decks"):
        read_deck(tmp_path)


def test_nothing_to_read(tmp_path):
    """A path that isn't there, and a folder without notes, are requests that can't be met."""
    with pytest.raises(RecallError):
        find_sources(tmp_path / "nowhere")
    with pytest.raises(RecallError):
        find_sources(tmp_path)


def test_a_loop_of_folders(tmp_path):
    """It is followed once, and said."""
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "n.md").write_text(TABLE)
    (tmp_path / "a" / "back").symlink_to(tmp_path, target_is_directory=True)
    deck, findings = read_deck(tmp_path)

    assert (1, [("a/back", 1, "unreadable-file")]) == (len(deck.cards), said(findings))


def test_a_loop_of_links(tmp_path):
    """Two links to each other, and one to itself, are said."""
    (tmp_path / "n.md").write_text(TABLE)
    (tmp_path / "a.md").symlink_to(tmp_path / "b.md")
    (tmp_path / "b.md").symlink_to(tmp_path / "a.md")
    (tmp_path / "c.md").symlink_to(tmp_path / "c.md")
    deck, findings = read_deck(tmp_path)

    assert 1 == len(deck.cards)
    assert {
        ("a.md", 1, "unreadable-file"),
        ("b.md", 1, "unreadable-file"),
        ("c.md", 1, "unreadable-file"),
    } == set(said(findings))


def test_a_link_out_of_the_deck(tmp_path):
    """What lies outside isn't read, and its place says so."""
    inside = tmp_path / "deck"
    inside.mkdir()
    (tmp_path / "secret.md").write_text(TABLE.replace("Bus tie", "Secret"))
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "m.md").write_text(TABLE.replace("Bus tie", "More"))
    (inside / "n.md").write_text(TABLE)
    (inside / "out.md").symlink_to(tmp_path / "secret.md")
    (inside / "more").symlink_to(tmp_path / "more", target_is_directory=True)
    deck, findings = read_deck(inside)

    assert ["Bus tie"] == [card.subject for card in deck.cards]
    assert [("out.md", 1, "unreadable-file")] == said(findings)


def test_a_link_within_the_deck_is_followed_once(tmp_path):
    """The note itself counts, not its link."""
    (tmp_path / "z.md").write_text(TABLE)
    (tmp_path / "a.md").symlink_to(tmp_path / "z.md")

    assert (("z.md",), []) == (files_of(tmp_path), read_deck(tmp_path)[1])


def test_names_that_cant_be_shown(tmp_path):
    """Line ends, escapes and bytes that are no text are escaped in places; the notes are read all the same."""
    for at, name in enumerate((b"line\nend.md", b"esc\x1b[31m.md", b"bytes\xff.md", b"blank name.md")):
        text = TABLE.replace("Bus tie", f"Control {at}") + "\n[x](nowhere.md)\n"
        (tmp_path / os.fsdecode(name)).write_text(text)
    deck, findings = read_deck(tmp_path)

    assert 4 == len(deck.cards)
    assert {"blank name.md", r"esc\u{001B}[31m.md", r"line\u{000A}end.md", r"bytes\u{DCFF}.md"} == {
        found.place.file for found in findings if found.rule == "broken-reference"
    }
    assert all(card.to_json().encode("utf-8") for card in deck.cards)


def test_a_folder_too_deep(tmp_path):
    """Folders in folders are looked through without end to the stack."""
    deep = tmp_path
    for _ in range(300):
        deep = deep / "d"
    deep.mkdir(parents=True)
    (deep / "n.md").write_text(TABLE)

    assert 1 == len(files_of(tmp_path))


def test_a_lone_note(tmp_path):
    """A file is a deck named after itself."""
    (tmp_path / "Gear notes.md").write_text(TABLE)
    deck, findings = read_deck(tmp_path / "Gear notes.md")

    assert ("gear-notes", True, []) == (deck.record.deck, deck.source.lone, findings)


def test_a_note_that_cant_be_read_pauses_its_cards(tmp_path):
    """The others are read; the file is named."""
    (tmp_path / "a.md").write_bytes(b"\xff\xfe\x00 not text")
    (tmp_path / "b.md").write_text(TABLE)
    deck, findings = read_deck(tmp_path)

    assert (frozenset(("a.md",)), 1) == (deck.paused_files, len(deck.cards))
    assert [("a.md", 1, "unreadable-file")] == said(findings)


def test_a_fingerprint_changes_with_any_note(tmp_path):
    """Content, name, coming and going of a file each change it; time doesn't."""
    (tmp_path / "a.md").write_text(TABLE)
    first = fingerprint(find_sources(tmp_path)[0])
    os.utime(tmp_path / "a.md", (1, 1))
    same = fingerprint(find_sources(tmp_path)[0])
    (tmp_path / "b.md").write_text("")
    more = fingerprint(find_sources(tmp_path)[0])
    (tmp_path / "b.md").rename(tmp_path / "c.md")
    renamed = fingerprint(find_sources(tmp_path)[0])

    assert (first, 3) == (same, len({first, more, renamed}))
