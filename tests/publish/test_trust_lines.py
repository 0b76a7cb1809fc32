"""Whom a store trusts with a deck that has several names."""

from pathlib import Path

import pytest
from publish_kit import NOW, ROWS, events, notes, published, store

from recall.base.errors import RecallError, UnverifiedError
from recall.publish.hand_over import make_hand_over
from recall.publish.receive import receive
from recall.publish.sign import new_key, public_of
from recall.store.needs import MOST_KEYS
from recall.store.publishers import pinned

FORMERLY = "formerly: {}\n"


@pytest.fixture
def keys(tmp_path: Path) -> tuple[Path, Path]:
    """An instructor's key, and another one's."""
    for name in ("key", "other"):
        new_key(tmp_path / name)
    return tmp_path / "key", tmp_path / "other"


@pytest.mark.parametrize(("slug", "formerly"), [("skerry", "own"), ("own", "skerry")])
def test_who_is_trusted_with_one_deck_takes_no_other(
    tmp_path: Path, keys: tuple[Path, Path], slug: str, formerly: str
) -> None:
    """A file that joins two decks is taken from a key alone that both are held to."""
    key, other = keys
    theirs = published(notes(tmp_path / "skerry", slug="skerry"), tmp_path / "out", key).path
    own = published(notes(tmp_path / "own", {"Oil": "5 kg"}, slug="own"), tmp_path / "out", other).path
    planted = notes(tmp_path / "planted", ROWS, slug=slug, revision="99", more=FORMERLY.format(formerly))
    file = published(planted, tmp_path / "elsewhere", other).path
    with store(tmp_path / "store.db") as opened:
        receive(opened, theirs)
        receive(opened, own)
        before = events(opened)
        with pytest.raises(UnverifiedError, match="`skerry` was signed with"):
            receive(opened, file, replace=True)

        assert before == events(opened)


def test_nobody_claims_a_deck_before_it_comes(tmp_path: Path, keys: tuple[Path, Path]) -> None:
    """A deck whose name another one claims, by another key, doesn't come in unsaid and go into that one."""
    key, other = keys
    claims = notes(tmp_path / "own", {"Oil": "5 kg"}, slug="own", more=FORMERLY.format("skerry"))
    own = published(claims, tmp_path / "out", other).path
    theirs = published(notes(tmp_path / "skerry", slug="skerry"), tmp_path / "out", key).path
    with store(tmp_path / "store.db") as opened:
        receive(opened, own)
        with pytest.raises(UnverifiedError, match="`own` was signed with"):
            receive(opened, theirs)


def test_a_key_that_was_handed_over_signs_under_no_name(tmp_path: Path, keys: tuple[Path, Path]) -> None:
    """The old key of a deck that was renamed signs neither the new name nor the former one."""
    key, other = keys
    out, renamed = tmp_path / "out", FORMERLY.format("one")
    files = [published(notes(tmp_path / "deck", slug="one", revision="1"), out, key).path]
    files.append(published(notes(tmp_path / "deck", slug="two", revision="2", more=renamed), out, key).path)
    made = make_hand_over(public_of(key), public_of(other), "instead", key)
    (out / "instead.hand-over").write_text(made.text)
    files.append(published(notes(tmp_path / "deck", slug="two", revision="3", more=renamed), out, other).path)
    old = tmp_path / "old"
    late = [published(notes(tmp_path / "deck", slug="two", revision="4", more=renamed), old, key).path]
    late.append(published(notes(tmp_path / "deck", slug="one", revision="9"), tmp_path / "older", key).path)
    with store(tmp_path / "store.db") as opened:
        for at, file in enumerate(files):
            opened.clock.at = NOW.replace(minute=at)  # type: ignore[attr-defined]
            receive(opened, file)
        for file in late:
            with pytest.raises(UnverifiedError, match="a key that was handed over"):
                receive(opened, file)

        assert dict.fromkeys(("one", "two"), frozenset({public_of(other)})) == pinned(opened)


def test_no_more_keys_than_another_device_takes_in(tmp_path: Path, keys: tuple[Path, Path]) -> None:
    """A file that hands a deck over to more keys than the gate lets through is refused."""
    key, _ = keys
    out = tmp_path / "out"
    out.mkdir()
    for at in range(MOST_KEYS):
        made = make_hand_over(public_of(key), f"{at:064x}", "beside", key)
        (out / f"{at}.hand-over").write_text(made.text)
    file = published(notes(tmp_path / "deck"), out, key).path
    with store(tmp_path / "store.db") as opened, pytest.raises(RecallError, match=f"{MOST_KEYS + 1} keys"):
        receive(opened, file)
