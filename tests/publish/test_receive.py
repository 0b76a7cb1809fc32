"""Loading a published file: what a zip from anyone can do at worst is to be refused."""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from publish_kit import NOW, ROWS, events, notes, published, store
from store_kit import card_of, known_of

from recall.base.errors import RecallError, UnverifiedError
from recall.deck.read import read_deck
from recall.publish.bag import TAGS, make_bag
from recall.publish.receive import receive
from recall.publish.revision import verify
from recall.publish.sign import new_key, spoken
from recall.publish.zipped import read_zip, write_zip
from recall.store import Review, Store
from recall.store.publishers import pin, pinned

CHANGED = ROWS | {"**Fuel imbalance**": "180 kg"}


@pytest.fixture
def signed(tmp_path: Path) -> Path:
    """Revision 4 of the small deck, signed."""
    new_key(tmp_path / "key")
    return published(notes(tmp_path / "deck"), tmp_path / "out", tmp_path / "key").path


def refused(tmp_path: Path, content: bytes, match: str | None = None, name: str = "bad.zip") -> None:
    """Hold that a file is refused in one line, and that the store is as it was."""
    file = tmp_path / name
    file.write_bytes(content)
    with store(tmp_path / "store.db") as opened:
        before = events(opened)
        with pytest.raises(UnverifiedError, match=match) as caught:
            receive(opened, file)

        assert before == events(opened)
        assert [] == opened.decks()
    assert "\n" not in caught.value.what + caught.value.help
    assert caught.value.help


def test_cards_and_history_come_from_the_published_notes(tmp_path: Path, signed: Path) -> None:
    """What is loaded is what the instructor's own folder gives."""
    with store(tmp_path / "store.db") as opened:
        report, found = receive(opened, signed)

        assert ("small", "4", 4, 4) == (report.deck, report.revision, report.points, report.cards)
        assert found is not None
        assert {"small": frozenset({found.signer})} == pinned(opened)
        assert "deck.md" == opened.card(card_of(opened, "Fuel imbalance", "maximum")).file


def test_the_same_file_again_changes_nothing(tmp_path: Path, signed: Path) -> None:
    """An unchanged file is known by its bytes."""
    with store(tmp_path / "store.db") as opened:
        receive(opened, signed)
        before = events(opened)
        report, found = receive(opened, signed)

        assert (False, None) == (report.recorded, found)
        assert before == events(opened)


def test_only_changed_answers_are_learnt_anew(tmp_path: Path, signed: Path) -> None:
    """The changed card is due at once; every other keeps its memory; a withdrawn one keeps its history."""
    rows = {name: value for name, value in CHANGED.items() if name != "Boost pump pressure"}
    newer = published(notes(tmp_path / "deck", rows, revision="5"), tmp_path / "out", tmp_path / "key").path
    with store(tmp_path / "store.db") as opened:
        receive(opened, signed)
        for subject in ("Fuel imbalance", "Fuel temperature", "Boost pump pressure"):
            _answer(opened, subject)
        gone = card_of(opened, "Boost pump pressure", "maximum")
        kept = known_of(opened, "Fuel temperature", "maximum")
        report, _ = receive(opened, newer)
        fresh = known_of(opened, "Fuel imbalance", "maximum")
        was = opened.was(fresh.id)

        assert (1, 1) == (report.changed, report.withdrawn)
        assert (True, opened.today()) == (fresh.fresh, fresh.due)
        assert was is not None
        assert (("200 kg",), "5") == (was.card.answer.texts, was.revision)
        assert kept == known_of(opened, "Fuel temperature", "maximum")
        assert gone not in [known.id for known in opened.cards()]
        assert 1 == sum(entry.what == "reviewed" for entry in opened.history(gone))


def _answer(opened: Store, subject: str) -> None:
    known = known_of(opened, subject, "maximum")
    opened.record(Review(known.id, known.answer_hash, 3, right=True))


def test_a_revision_waits_for_its_effective_date(tmp_path: Path, signed: Path) -> None:
    """Until then the old answer is asked, on the day the new one."""
    newer = published(
        notes(tmp_path / "deck", CHANGED, revision="5", effective="2026-06-01"),
        tmp_path / "out",
        tmp_path / "key",
    ).path
    with store(tmp_path / "store.db") as opened:
        receive(opened, signed)
        report, _ = receive(opened, newer)

        assert "4" == report.in_force
        assert ("200 kg",) == opened.card(card_of(opened, "Fuel imbalance", "maximum")).answer.texts
        assert [date(2026, 6, 1)] == [deck.pending for deck in opened.decks()]
    with store(tmp_path / "store.db", NOW + timedelta(days=31)) as opened:
        assert ("180 kg",) == opened.card(card_of(opened, "Fuel imbalance", "maximum")).answer.texts


def test_an_older_revision_is_refused(tmp_path: Path, signed: Path) -> None:
    """A step back would bring withdrawn answers back."""
    newer = published(
        notes(tmp_path / "deck", CHANGED, revision="5"), tmp_path / "out", tmp_path / "key"
    ).path
    with store(tmp_path / "store.db") as opened:
        receive(opened, newer)
        before = events(opened)
        with pytest.raises(RecallError, match="revision 5 is in force already"):
            receive(opened, signed)

        assert before == events(opened)


@pytest.mark.parametrize("other", [True, False])
def test_another_publisher_is_refused(tmp_path: Path, signed: Path, other: bool) -> None:
    """A later revision under another key, or under none, doesn't get in; its name says whose was expected."""
    new_key(tmp_path / "other")
    key = tmp_path / "other" if other else None
    forged = published(notes(tmp_path / "deck", CHANGED, revision="5"), tmp_path / "elsewhere", key).path
    with store(tmp_path / "store.db") as opened:
        _, found = receive(opened, signed)
        assert found is not None
        before = events(opened)
        with pytest.raises(UnverifiedError, match=spoken(found.signer)):
            receive(opened, forged)

        assert before == events(opened)


def test_another_name_is_no_way_round_the_key(tmp_path: Path, signed: Path) -> None:
    """A deck that says that it was formerly the pinned one needs its key too."""
    new_key(tmp_path / "other")
    folder = notes(tmp_path / "b", CHANGED, revision="5", slug="better", more="formerly: small\n")
    forged = published(folder, tmp_path / "elsewhere", tmp_path / "other").path
    with store(tmp_path / "store.db") as opened:
        receive(opened, signed)
        with pytest.raises(UnverifiedError, match="signed with another key"):
            receive(opened, forged)

        assert ["small"] == [deck.slug for deck in opened.decks()]


def test_a_pinned_key_travels_with_a_merge(tmp_path: Path, signed: Path) -> None:
    """What one device has pinned, the other holds to after a merge."""
    new_key(tmp_path / "other")
    forged = published(
        notes(tmp_path / "deck", revision="5"), tmp_path / "elsewhere", tmp_path / "other"
    ).path
    with store(tmp_path / "one.db") as one:
        receive(one, signed)
    with store(tmp_path / "two.db") as two:
        two.merge([tmp_path / "one.db"], same_person=True)
        with pytest.raises(UnverifiedError, match="signed with another key"):
            receive(two, forged)


def test_a_forgotten_key_makes_room_for_the_next(tmp_path: Path, signed: Path) -> None:
    """Once the person lets go of it, the next signed revision pins its own."""
    new_key(tmp_path / "other")
    newer = published(notes(tmp_path / "deck", revision="5"), tmp_path / "elsewhere", tmp_path / "other").path
    with store(tmp_path / "store.db") as opened:
        receive(opened, signed)
        pin(opened, "small", ())
        _, found = receive(opened, newer)

        assert found is not None
        assert {"small": frozenset({found.signer})} == pinned(opened)


def test_a_load_that_is_refused_pins_nothing(tmp_path: Path, signed: Path) -> None:
    """Withdrawing most of a deck needs a word; until then not even the key is kept."""
    with store(tmp_path / "store.db") as opened:
        receive(opened, published(notes(tmp_path / "deck"), tmp_path / "unsigned").path)
        few = notes(tmp_path / "deck", {"Fuel temperature": "50 °C"}, revision="5")
        newer = published(few, tmp_path / "out", tmp_path / "key").path
        with pytest.raises(RecallError, match="would withdraw"):
            receive(opened, newer)

        assert {} == pinned(opened)


def test_every_damaged_file_is_found(tmp_path: Path, signed: Path) -> None:
    """One bit of each file in turn, packed again as if nothing had happened."""
    files = read_zip(signed.read_bytes())
    for name, content in files.items():
        damaged = bytearray(content)
        damaged[len(content) // 2] ^= 1
        refused(tmp_path, write_zip(files | {name: bytes(damaged)}))


def test_every_missing_file_is_found(tmp_path: Path, signed: Path) -> None:
    """One file left out in turn; without the signature alone it is an unsigned revision, which is another matter."""
    files = read_zip(signed.read_bytes())
    for name in files:
        if not name.endswith("signature.txt"):
            refused(tmp_path, write_zip({other: text for other, text in files.items() if other != name}))


def test_a_new_manifest_doesn_t_cover_a_changed_number(tmp_path: Path, signed: Path) -> None:
    """A number changed and all checksums made anew: the signature is of something else."""
    files = read_zip(signed.read_bytes())
    top = next(iter(files)).partition("/")[0]
    payload = {
        name.removeprefix(f"{top}/data/"): content.replace(b"200 kg", b"900 kg")
        for name, content in files.items()
        if name.startswith(f"{top}/data/")
    }
    bag = make_bag(payload, {}) | {"signature.txt": files[f"{top}/signature.txt"]}

    refused(
        tmp_path, write_zip({f"{top}/{name}": text for name, text in bag.items()}), "its signature is wrong"
    )


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_bad_byte_is_found(tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    """Wherever it stands: in a file, in a name, in the archive's own lists."""
    folder = tmp_path_factory.getbasetemp() / "bytes"
    if not folder.exists():
        published(notes(folder / "deck"), folder / "out")
    good = (folder / "out" / "small-r4.zip").read_bytes()
    at = data.draw(st.integers(0, len(good) - 1))
    bad = bytearray(good)
    bad[at] ^= data.draw(st.integers(1, 255))

    with pytest.raises(UnverifiedError):
        verify(Path("bad.zip"), bytes(bad))


def _with_entry(good: bytes, change: Callable[[zipfile.ZipFile], object]) -> bytes:
    into = io.BytesIO(good)
    with zipfile.ZipFile(into, "a") as archive:
        change(archive)
    return into.getvalue()


def _link(archive: zipfile.ZipFile) -> None:
    entry = zipfile.ZipInfo("small-r4/data/sources/link.md")
    entry.external_attr = 0o120777 << 16
    archive.writestr(entry, "/etc/passwd")


@pytest.mark.parametrize(
    ("change", "match"),
    [
        (lambda archive: archive.writestr("../outside.md", "x"), "path that isn't safe"),
        (lambda archive: archive.writestr("small-r4/data/../../../outside.md", "x"), "path that isn't safe"),
        (lambda archive: archive.writestr("/etc/outside.md", "x"), "path that isn't safe"),
        (lambda archive: archive.writestr("C:\\outside.md", "x"), "path that isn't safe"),
        (lambda archive: archive.writestr("small-r4/data/sources/", ""), "path that isn't safe"),
        (lambda archive: archive.writestr("small-r4/data/sources/DECK.md", "x"), "one path twice"),
        (lambda archive: archive.writestr("small-r4/data/sources/more.md", "x"), "isn't as it was published"),
        (lambda archive: archive.writestr("other/more.md", "x"), "isn't as it was published"),
        (_link, "isn't as it was published"),
    ],
)
def test_entries_that_don_t_belong_are_refused(
    tmp_path: Path, signed: Path, change: Callable[[zipfile.ZipFile], object], match: str
) -> None:
    """Paths out of the bag, links, doubles and additions; nothing is unpacked anywhere."""
    refused(tmp_path, _with_entry(signed.read_bytes(), change), match)

    assert not list(tmp_path.rglob("outside.md"))


def test_files_that_nobody_listed_are_refused(tmp_path: Path, signed: Path) -> None:
    """Also where the archive itself is in order."""
    files = read_zip(signed.read_bytes())
    for name in ("small-r4/data/sources/more.md", "small-r4/more.txt", "more.txt"):
        refused(tmp_path, write_zip(files | {name: b"x"}))


def test_a_bomb_is_refused_before_it_is_unpacked(tmp_path: Path, signed: Path) -> None:
    """A compressed entry that would fill the memory, and stored entries that claim the same bytes many times."""
    bomb = _with_entry(
        signed.read_bytes(),
        lambda archive: archive.writestr(
            "small-r4/data/sources/more.md", b"0" * 50_000_000, compress_type=zipfile.ZIP_DEFLATED
        ),
    )
    refused(tmp_path, bomb, "compressed")
    refused(tmp_path, _overlapping(1000), "more than it can")


def _overlapping(entries: int) -> bytes:
    """Many names for one stretch of bytes."""
    content = b"0" * 100_000
    same = struct.pack("<HHHHHIIIHH", 20, 0, 0, 0, 33, zlib.crc32(content), len(content), len(content), 5, 0)
    body = b"PK\x03\x04" + same + b"a/0.m" + content
    listed = b"".join(
        b"PK\x01\x02"
        + struct.pack("<H", 0x0314)
        + same
        + struct.pack("<HHHII", 0, 0, 0, 0, 0)
        + b"a/%03d" % at
        for at in range(entries)
    )
    end = struct.pack("<HHHHIIH", 0, 0, entries, entries, len(listed), len(body), 0)
    return body + listed + b"PK\x05\x06" + end


@pytest.mark.parametrize("content", [b"", b"PK", b"not a zip", b"PK\x05\x06" + b"\0" * 18])
def test_what_is_no_archive_is_refused(tmp_path: Path, content: bytes) -> None:
    """Empty files, other files, empty archives."""
    refused(tmp_path, content)


def test_a_cut_file_is_refused(tmp_path: Path, signed: Path) -> None:
    """A download that broke off."""
    content = signed.read_bytes()
    for share in (0.1, 0.5, 0.999):
        refused(tmp_path, content[: int(len(content) * share)])


def test_a_name_that_lies_is_refused(tmp_path: Path, signed: Path) -> None:
    """A folder and record of one revision with the notes of another."""
    files = read_zip(signed.read_bytes())
    payload = {
        name.partition("/data/")[2]: text.replace(b'"revision": "4"', b'"revision": "9"')
        for name, text in files.items()
        if "/data/" in name
    }
    bag = make_bag(payload, {})

    assert TAGS in bag
    refused(
        tmp_path,
        write_zip({f"small-r9/{name}": text for name, text in bag.items()}),
        "another deck or revision",
    )


def test_more_notes_than_a_deck_has_are_refused(tmp_path: Path, signed: Path) -> None:
    """Before they are read: reading them would take its time."""
    files = read_zip(signed.read_bytes())
    payload = {name.partition("/data/")[2]: text for name, text in files.items() if "/data/" in name}
    bag = make_bag(payload | {"sources/more.md": b"word " * 4_000_000}, {})

    refused(
        tmp_path, write_zip({f"small-r4/{name}": text for name, text in bag.items()}), "larger than 16 MiB"
    )


def test_an_accepted_renaming_takes_its_history_along(tmp_path: Path, signed: Path) -> None:
    """Of notes that nobody published it is proposed at the load, and carried over on request; a remark stays with an
    unchanged point all the while."""
    rows = {name.replace("differential", "pressure differential"): value for name, value in ROWS.items()}
    with store(tmp_path / "store.db") as opened:
        receive(opened, signed)
        _answer(opened, "Filter differential")
        kept = card_of(opened, "Fuel temperature", "maximum")
        opened.remark(kept, "half a hundred")
        newer, _ = read_deck(notes(tmp_path / "deck", rows, revision="5"))
        report = opened.load(newer)
        before = known_of(opened, "Filter pressure differential", "maximum")
        opened.load(newer, carry=True)
        after = known_of(opened, "Filter pressure differential", "maximum")

        assert [("Filter differential", "Filter pressure differential")] == [
            (one.old_subject, one.new_subject) for one in report.proposals
        ]
        assert ("unasked", "initial") == (before.standing, after.standing)
        assert "half a hundred" == opened.remark_on(kept)
