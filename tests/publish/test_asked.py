"""What is signed is what is asked: the cards of a published file, on any version that knows their format."""

import json
from collections.abc import Callable, Iterator
from datetime import datetime, timezone
from pathlib import Path
from typing import Any

import pytest
from demo_decks import demo
from publish_kit import ROWS, events, notes, published, store
from store_kit import knowledge, known_of

from recall.base.dataclass import replace
from recall.base.errors import UnverifiedError
from recall.deck.read import read_deck
from recall.kinds.each.limit import Limit
from recall.kinds.model import Draft, Point
from recall.publish import asked, revision
from recall.publish.asked import CARDS
from recall.publish.bag import make_bag
from recall.publish.publish import publish
from recall.publish.receive import receive
from recall.publish.sign import new_key
from recall.publish.tables import as_json_lines, cards_table
from recall.publish.zipped import read_zip, write_zip
from recall.store import Review

DECKS = Path(__file__).parents[2] / "decks"
SUBJECT = "Fuel imbalance"
CHANGED = ROWS | {f"**{SUBJECT}**": "180 kg"}
FUTURE = datetime(2026, 12, 20, 9, 0, tzinfo=timezone.utc)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Revision 4 of the small deck, signed."""
    new_key(tmp_path / "key")
    return published(notes(tmp_path / "deck"), tmp_path / "out", tmp_path / "key").path


def packed(file: Path, cards: bytes) -> bytes:
    """The same file with other cards, its checksums made anew, unsigned."""
    files = read_zip(file.read_bytes())
    top = next(iter(files)).partition("/")[0]
    start = f"{top}/data/"
    payload = {name.removeprefix(start): text for name, text in files.items() if name.startswith(start)}
    bag = make_bag(payload | {CARDS: cards}, {})
    return write_zip({f"{top}/{name}": text for name, text in bag.items()})


def cards_of(file: Path) -> list[bytes]:
    """The lines of a file's cards."""
    files = read_zip(file.read_bytes())
    return next(text for name, text in files.items() if name.endswith(CARDS)).splitlines()


@pytest.fixture
def another_version(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A version of the program that asks limits in other words, normalises their answers otherwise and drops some."""
    asks = Limit.drafts

    def drafts(self: Limit, point: Point) -> list[Draft]:
        return [
            replace(
                one, prompt=f"Now then: {one.prompt}", answer=replace(one.answer, same_as=("v2", one.aspect))
            )
            for one in asks(self, point)[:1]
        ]

    monkeypatch.setattr(Limit, "drafts", drafts)
    yield


def test_two_versions_ask_alike(tmp_path: Path, file: Path, request: pytest.FixtureRequest) -> None:
    """Two versions of the program list, ask and mark the same file alike, and agree after a merge."""
    with store(tmp_path / "one.db") as one, store(tmp_path / "two.db") as two:
        receive(one, file)
        request.getfixturevalue("another_version")
        assert {"Now then"} == {card.prompt[:8] for card in read_deck(tmp_path / "deck")[0].cards}
        receive(two, file)
        assert knowledge(one) == knowledge(two)
        cards = [[opened.card(known.id) for known in opened.cards()] for opened in (one, two)]
        assert cards[0] == cards[1]
        assert 4 == len(cards[0])
        for card in cards[0]:
            known = two.known(card.id)
            right = card.answer.mark("200 kg").right
            two.record(Review(known.id, known.answer_hash, 3 if right else 1, right=right))
        one.merge([two.path], same_person=True)
        two.merge([one.path])

        assert knowledge(one) == knowledge(two)
        assert 1 == known_of(one, SUBJECT, "maximum").right


def test_the_next_revision_under_another_version(
    tmp_path: Path, file: Path, request: pytest.FixtureRequest
) -> None:
    """Where the publisher's program is another one at the next revision, what its notes didn't change keeps its
    memory."""
    with store(tmp_path / "one.db") as opened:
        receive(opened, file)
        for known in opened.cards():
            opened.record(Review(known.id, known.answer_hash, 3, right=True))
        before = {known.id: known.memory for known in opened.cards()}
        request.getfixturevalue("another_version")
        newer = published(
            notes(tmp_path / "deck", CHANGED, revision="5"), tmp_path / "out", tmp_path / "key"
        ).path
        # The publisher's stamp is this very code's; the planted version has one of its own.
        lines = cards_of(newer)
        head = json.loads(lines[0]) | {"reading": "0" * 20}
        newer.write_bytes(packed(newer, b"\n".join([json.dumps(head).encode(), *lines[1:]]) + b"\n"))
        opened.db.execute("DELETE FROM setting WHERE name LIKE 'publisher of %'")
        report, _ = receive(opened, newer)

        assert (1, 0) == (report.changed, report.withdrawn)
        assert known_of(opened, SUBJECT, "maximum").memory is None
        kept = known_of(opened, "Fuel temperature", "maximum")
        assert before[kept.id] == kept.memory


def test_notes_aren_t_read(tmp_path: Path, file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Loading a published file reads none of its notes."""
    monkeypatch.setattr(revision, "read_deck", lambda *_, **__: pytest.fail("the notes were read"))
    with store(tmp_path / "store.db") as opened:
        report, _ = receive(opened, file)

        assert (4, 4, 4) == (report.points, report.cards, report.new)


@pytest.mark.parametrize("name", ["skerry", "rules-and-weather"])
def test_all_that_a_sitting_needs(tmp_path: Path, name: str) -> None:
    """Every card of a deck comes out of its published file as it went in."""
    deck, findings = demo(name)
    made = publish(deck, findings, out=tmp_path)
    with store(tmp_path / "store.db", FUTURE) as opened:
        receive(opened, made.path)
        told = {known.id: opened.card(known.id) for known in opened.cards(everything=True)}
        sources = dict(opened.rows("SELECT id, source FROM card"))

        assert {card.id: replace(card, source="", also=(), key=()) for card in deck.cards} == told
        assert {card.id: card.source for card in deck.cards} == sources


def test_what_is_known_is_not_read_again(tmp_path: Path, file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the next revision only the wordings are read that the store hasn't."""
    newer = published(
        notes(tmp_path / "deck", CHANGED, revision="5"), tmp_path / "out", tmp_path / "key"
    ).path
    read: list[str] = []
    reads = asked.glance

    def counted(wording: str, *rest: Any) -> Any:
        read.append(json.loads(wording)["subject"])
        return reads(wording, *rest)

    with store(tmp_path / "store.db") as opened:
        receive(opened, file)
        monkeypatch.setattr(asked, "glance", counted)
        receive(opened, newer)

    assert {SUBJECT} == set(read)


def test_a_file_of_before_there_were_formats(tmp_path: Path, file: Path) -> None:
    """A file whose cards have no format is read from its notes, as it was then."""
    deck, _ = read_deck(tmp_path / "deck")
    older = packed(file, as_json_lines(cards_table([deck])).encode())
    (tmp_path / "older.zip").write_bytes(older)
    with store(tmp_path / "one.db") as one, store(tmp_path / "two.db") as two:
        receive(one, file)
        receive(two, tmp_path / "older.zip")

        assert [known.id for known in one.cards()] == [known.id for known in two.cards()]


def test_a_later_format(tmp_path: Path, file: Path) -> None:
    """A format that this version doesn't know is refused, and says what to do."""
    first, *lines = cards_of(file)
    head = json.dumps(json.loads(first) | {"format": 2}).encode()
    (tmp_path / "later.zip").write_bytes(packed(file, b"\n".join([head, *lines]) + b"\n"))
    with store(tmp_path / "store.db") as opened, pytest.raises(UnverifiedError) as caught:
        receive(opened, tmp_path / "later.zip")

    assert "in a format that this version doesn't know (`2`)" in caught.value.what
    assert "use a later version of recall" == caught.value.help


Line = dict[str, Any]


def _beside(**more: Any) -> Callable[[Line], Line]:
    return lambda line: line | more


def _wording(**more: Any) -> Callable[[Line], Line]:
    return lambda line: line | {"wording": line["wording"] | more}


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(_beside(hash="0" * 20), id="another hash"),
        pytest.param(_beside(hash=7), id="a hash that is none"),
        pytest.param(_beside(key=["limit", "another"]), id="another key"),
        pytest.param(_beside(key=[]), id="no key"),
        pytest.param(_beside(key="limit"), id="a key that is no list"),
        pytest.param(_beside(key=[["limit"]]), id="a key of lists"),
        pytest.param(_beside(point="0" * 20), id="another point"),
        pytest.param(_beside(line=-1), id="a line before the first"),
        pytest.param(_beside(line=True), id="a line that is no number"),
        pytest.param(_beside(source="zz"), id="a source that is no digest"),
        pytest.param(_beside(also=[1]), id="forms that are no hashes"),
        pytest.param(_beside(also=7), id="forms that are no list"),
        pytest.param(_beside(more=1), id="something more beside"),
        pytest.param(
            lambda line: {k: v for k, v in line.items() if k != "point"}, id="something less beside"
        ),
        pytest.param(lambda line: {k: v for k, v in line.items() if k != "wording"}, id="no wording"),
        pytest.param(_beside(wording=[]), id="a wording that is a list"),
        pytest.param(_wording(prompt=7), id="a prompt that is a number"),
        pytest.param(_wording(prompt="\ud800"), id="a lone surrogate"),
        pytest.param(_wording(deck="another"), id="a card of another deck"),
        pytest.param(_wording(form="riddle"), id="an unknown form"),
        pytest.param(_wording(line=9), id="a line in the wording"),
        pytest.param(_wording(data={"right": {}}), id="data that can't be asked"),
        pytest.param(_wording(data={"near": 1e999}), id="a number without end"),
        pytest.param(_wording(more="x"), id="something more in the wording"),
        pytest.param(_wording(answer_hash="0" * 20), id="another hash in the wording"),
    ],
)
def test_a_line_that_nobody_published(tmp_path: Path, file: Path, change: Callable[[Line], Line]) -> None:
    """Whatever stands in a line that `publish` wouldn't write, the file is refused with its line, the store as it
    was."""
    first, second, *lines = cards_of(file)
    planted = json.dumps(change(json.loads(second)), sort_keys=True, separators=(",", ":")).encode()
    _refused(tmp_path, packed(file, b"\n".join([first, planted, *lines]) + b"\n"))


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda lines: [lines[0], lines[1], *lines[1:]], id="a card twice"),
        pytest.param(lambda lines: [lines[0], b"", *lines[1:]], id="an empty line"),
        pytest.param(lambda lines: [lines[0], b"[" * 100_000, *lines[1:]], id="100,000 brackets"),
        pytest.param(lambda lines: [lines[0], lines[1] + b"\xff", *lines[2:]], id="a byte that is no UTF-8"),
        pytest.param(
            lambda lines: [lines[0], lines[1].replace(b'","form"', b'", "form"'), *lines[2:]],
            id="a blank",
        ),
        pytest.param(
            lambda lines: [lines[0].replace(b'"deck":"small"', b'"deck":"large"'), *lines[1:]], id="slug"
        ),
        pytest.param(
            lambda lines: [lines[0].replace(b'"revision":"4"', b'"revision":"5"'), *lines[1:]], id="number"
        ),
        pytest.param(
            lambda lines: [lines[0].replace(b"2026-03-01", b"2999-03-01"), *lines[1:]], id="a far day"
        ),
        pytest.param(
            lambda lines: [lines[0].replace(b'"format":1', b'"format":true'), *lines[1:]], id="no number"
        ),
        pytest.param(lambda lines: [lines[0].replace(b'"notes"', b'"note"'), *lines[1:]], id="another head"),
    ],
)
def test_cards_that_nobody_published(
    tmp_path: Path, file: Path, change: Callable[[list[bytes]], list[bytes]]
) -> None:
    """The same of the lines together, and of their head."""
    _refused(tmp_path, packed(file, b"\n".join(change(cards_of(file))) + b"\n"))


def _refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "planted.zip").write_bytes(content)
    with store(tmp_path / "store.db") as opened:
        before = events(opened)
        with pytest.raises(UnverifiedError) as caught:
            receive(opened, tmp_path / "planted.zip")
        assert before == events(opened)
    assert "\n" not in caught.value.what
    assert caught.value.what.startswith("planted.zip doesn't verify: ")
    assert caught.value.help
