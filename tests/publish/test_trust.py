"""Whom a store trusts: revisions in any order, one content a number, keys handed over, shared and lost."""

from datetime import date, timedelta
from itertools import permutations
from pathlib import Path

import pytest
from publish_kit import NOW, ROWS, events, notes, published, store
from store_kit import card_of

from recall.base.errors import RecallError, UnverifiedError
from recall.publish.hand_over import HandOver, family, followed, make_hand_over, read_hand_overs
from recall.publish.receive import receive
from recall.publish.sign import new_key, public_of, spoken
from recall.store import Store
from recall.store.publishers import given_up, pin, pinned, plain_number

LIMITS = {"1": "200 kg", "2": "190 kg", "3": "170 kg", "4": "180 kg"}
FROM = {"1": "2026-03-01", "2": "2026-04-01", "3": "2026-07-01", "4": "2026-09-01"}


def rows(limit: str) -> dict[str, str]:
    """The small deck with another limit."""
    return ROWS | {"**Fuel imbalance**": limit}


def asked(opened: Store) -> str:
    """The limit that is asked."""
    return opened.card(card_of(opened, "Fuel imbalance", "maximum")).answer.text


@pytest.fixture
def key(tmp_path: Path) -> Path:
    """The instructor's key."""
    new_key(tmp_path / "key")
    return tmp_path / "key"


@pytest.fixture
def four(tmp_path: Path, key: Path) -> dict[str, Path]:
    """Revisions 1 to 4, of which 3 and 4 wait for their days."""
    return {
        number: published(
            notes(tmp_path / "deck", rows(LIMITS[number]), revision=number, effective=FROM[number]),
            tmp_path / "out",
            key,
        ).path
        for number in LIMITS
    }


def test_revisions_load_in_any_order(tmp_path: Path, four: dict[str, Path]) -> None:
    """In whatever order four revisions come, the right one is asked on each day; older than the one in force is
    refused, and takes nothing away."""
    for order in permutations(LIMITS):
        path = tmp_path / f"{''.join(order)}.db"
        newest = ""
        for number in order:
            with store(path) as opened:
                if number < newest:
                    with pytest.raises(RecallError, match="in force already"):
                        receive(opened, four[number])
                else:
                    receive(opened, four[number])
                newest = max(newest, number if number in "12" else "")
        for day, number in (
            ("2026-05-02", "2"),
            ("2026-07-02", "3"),
            ("2026-09-02", "4"),
            ("2026-05-02", "2"),
        ):
            later = NOW + timedelta(days=(date.fromisoformat(day) - NOW.date()).days)
            with store(path, later) as opened:
                assert LIMITS[number] == asked(opened), (order, day)


@pytest.mark.parametrize("number", ["2", "2.0", "02"])
def test_one_number_has_one_content(tmp_path: Path, key: Path, four: dict[str, Path], number: str) -> None:
    """Other notes under a number that is known are refused, however the number is written; the same ones aren't."""
    other = notes(tmp_path / "deck", rows("150 kg"), revision=number, effective=FROM["2"])
    twin = published(other, tmp_path / "elsewhere", key).path
    with store(tmp_path / "store.db") as opened:
        receive(opened, four["2"])
        before = events(opened)
        with pytest.raises(RecallError, match="signed other notes"):
            receive(opened, twin)
        assert before == events(opened)
        receive(opened, four["2"])

        assert before == events(opened)


@pytest.mark.parametrize(
    ("text", "plain"), [("2", "2"), ("2.0", "2"), ("02", "2"), ("2.10", "2.10"), ("0", "0")]
)
def test_numbers_are_written_one_way(text: str, plain: str) -> None:
    """Zeros before a number and after the last dot say nothing."""
    assert plain == plain_number(text)


@pytest.mark.parametrize("number", ["\u0662", "\uff12", "2.\u0966"])
def test_digits_of_other_scripts_are_no_revision(tmp_path: Path, number: str) -> None:
    """A deck that says so can't be published."""
    with pytest.raises(RecallError):
        published(notes(tmp_path / "deck", revision=number), tmp_path / "out")


@pytest.fixture
def other(tmp_path: Path) -> Path:
    """Another key."""
    new_key(tmp_path / "other")
    return tmp_path / "other"


def hand_over(out: Path, old: Path, new: Path, way: str, by: Path | None = None) -> HandOver:
    """Write a hand-over into a folder of revisions."""
    made = make_hand_over(public_of(old), public_of(new), way, by or (new if way == "lost" else old))
    out.mkdir(exist_ok=True)
    out.joinpath(f"{way}.hand-over").write_text(made.text)
    return made


def revision_5(tmp_path: Path, key: Path, number: str = "5") -> Path:
    """A later revision by another key in the same folder."""
    folder = notes(tmp_path / "deck", rows("160 kg"), revision=number, effective="2026-04-15")
    return published(folder, tmp_path / "out", key).path


def test_a_key_is_handed_over(tmp_path: Path, key: Path, other: Path, four: dict[str, Path]) -> None:
    """Once the old key says so under its signature, the new one is taken and the old one no longer."""
    with pytest.raises(RecallError, match="was signed with the key"):
        revision_5(tmp_path, other)
    hand_over(tmp_path / "out", key, other, "instead")
    new = revision_5(tmp_path, other)
    old = published(notes(tmp_path / "deck", revision="6"), tmp_path / "elsewhere", key).path
    with store(tmp_path / "store.db") as opened:
        receive(opened, four["1"])
        receive(opened, new)
        assert {"small": frozenset({public_of(other)})} == pinned(opened)
        with pytest.raises(UnverifiedError, match="a key that was handed over"):
            receive(opened, old)

        assert "160 kg" == asked(opened)


def test_a_hand_over_is_shown_once(tmp_path: Path, key: Path, other: Path, four: dict[str, Path]) -> None:
    """A key that was given up comes back by no hand-over, neither a new one nor the old one shown again; whoever
    forgets the deck's keys begins anew."""
    hand_over(tmp_path / "out", key, other, "instead")
    new = revision_5(tmp_path, other)
    third = tmp_path / "third"
    new_key(third)
    later, replayed = tmp_path / "later", tmp_path / "replayed"
    hand_over(later, other, third, "instead")
    folder = notes(tmp_path / "deck", rows("170 kg"), revision="6", effective="2026-04-16")
    six = published(folder, later, third).path
    hand_over(replayed, third, other, "instead")
    folder = notes(tmp_path / "deck", rows("180 kg"), revision="7", effective="2026-04-17")
    seven = published(folder, replayed, other).path
    with store(tmp_path / "store.db") as opened:
        for file in (four["1"], new, six):
            receive(opened, file)
        assert {"small": frozenset({public_of(third)})} == pinned(opened)
        assert {public_of(key), public_of(other)} == given_up(opened, ["small"])
        with pytest.raises(UnverifiedError, match="a key that was handed over") as refused:
            receive(opened, seven)
        assert "170 kg" == asked(opened)
        assert "recall keys forget small" in refused.value.help
        pin(opened, "small", ())
        receive(opened, seven)

        assert {"small": frozenset({public_of(other)})} == pinned(opened)


def test_it_goes_along_with_every_later_revision(
    tmp_path: Path, key: Path, other: Path, four: dict[str, Path]
) -> None:
    """Who skipped the revision that changed hands can follow later, though the folder's own file is gone."""
    hand_over(tmp_path / "out", key, other, "instead")
    revision_5(tmp_path, other)
    (tmp_path / "out" / "instead.hand-over").unlink()
    latest = revision_5(tmp_path, other, "6")
    with store(tmp_path / "store.db") as opened:
        receive(opened, four["1"])
        receive(opened, latest)

        assert {"small": frozenset({public_of(other)})} == pinned(opened)


def test_two_authors(tmp_path: Path, key: Path, other: Path, four: dict[str, Path]) -> None:
    """With a key beside the first, either may sign, whichever a student meets first."""
    hand_over(tmp_path / "out", key, other, "beside")
    by_other = revision_5(tmp_path, other)
    by_first = revision_5(tmp_path, key, "6")
    both = {"small": frozenset({public_of(key), public_of(other)})}
    for name, first in (("one.db", four["1"]), ("two.db", by_other)):
        with store(tmp_path / name) as opened:
            receive(opened, first)
            receive(opened, by_other)
            receive(opened, by_first)

            assert both == pinned(opened)


def test_a_lost_key_is_asked_about(tmp_path: Path, key: Path, other: Path, four: dict[str, Path]) -> None:
    """The folder is gone on with; a student is told, and types what the instructor says. The message doesn't tell."""
    hand_over(tmp_path / "out", key, other, "lost")
    new = revision_5(tmp_path, other)
    said = spoken(public_of(other))
    with store(tmp_path / "store.db") as opened:
        receive(opened, four["1"])
        before = events(opened)
        for typed in ("", said[:4], said[:14], spoken(public_of(key)), "0000 0000 0000 0000"):
            with pytest.raises(UnverifiedError, match="was lost") as caught:
                receive(opened, new, new_key=typed)
            assert said[:9] not in caught.value.what + caught.value.help
            assert bool(typed) == ("what was typed" in caught.value.what)
        assert before == events(opened)
        receive(opened, new, new_key=said[:19].upper())

        assert {"small": frozenset({public_of(other)})} == pinned(opened)


@pytest.mark.parametrize("way", ["instead", "beside"])
def test_a_forged_hand_over_proves_nothing(
    tmp_path: Path, key: Path, other: Path, four: dict[str, Path], way: str
) -> None:
    """One that the new key signed by itself is passed over, and so is one whose words were changed."""
    forged = hand_over(tmp_path / "out", key, other, way, by=other)
    lost = make_hand_over(public_of(key), public_of(other), "lost", other)
    right = make_hand_over(public_of(key), public_of(other), way, key)

    assert set() == read_hand_overs(forged.text)
    assert set() == read_hand_overs(lost.text.replace("lost", way))
    assert set() == read_hand_overs(right.text.replace(public_of(other), "0" * 64))
    assert {right} == read_hand_overs(f"rubbish\n{right.text}")
    with pytest.raises(RecallError, match="was signed with the key"):
        revision_5(tmp_path, other)


def test_who_may_sign() -> None:
    """Keys follow hand-overs however far; the old one goes but where it signs beside."""
    a, b, c, d = "a", "b", "c", "d"
    overs = [HandOver(b, c, "beside", ""), HandOver(a, b, "instead", ""), HandOver(c, d, "lost", "")]

    assert {"b", "c"} == followed({a}, overs)
    assert {"b", "d"} == followed({a}, overs, lost=True)
    assert {"d"} == followed({d}, overs)
    assert {"b", "c"} == family(c, overs)


def test_what_was_signed_travels(tmp_path: Path, key: Path, four: dict[str, Path]) -> None:
    """Another device that took in the events holds to the same key, and knows what the number stands for."""
    twin = published(
        notes(tmp_path / "deck", rows("150 kg"), revision="2", effective=FROM["2"]),
        tmp_path / "elsewhere",
        key,
    ).path
    with store(tmp_path / "one.db") as one, store(tmp_path / "two.db") as two:
        receive(one, four["2"])
        two.read_json(events(one), "one", same_person=True)
        with pytest.raises(RecallError, match="signed other notes"):
            receive(two, twin)

        assert pinned(one) == pinned(two)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("publisher of small", "0" * 63),
        ("publisher of small", f"{'0' * 64}  {'1' * 64}"),
        ("publisher of Small", "0" * 64),
        ("signed small", f"{'0' * 64} {'1' * 64}"),
        ("signed small \u0662", f"{'0' * 64} {'1' * 64}"),
        ("signed small 2", "0" * 64),
        ("signed small 2", 7),
    ],
)
def test_crafted_keys_are_refused(tmp_path: Path, name: str, value: object) -> None:
    """Nothing else than keys comes in as a key."""
    with store(tmp_path / "one.db") as one:
        with one.writing():
            one.append("setting", {"name": name, "value": value})
        lines = events(one)
    with store(tmp_path / "two.db") as two, pytest.raises(RecallError):
        two.read_json(lines, "one", same_person=True)
