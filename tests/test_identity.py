"""What the cards of the demo decks are known by is pinned: it changes by hand only (`identity.py`)."""

import json

import identity
import pytest

from recall.base.text import digest

THINK = """
Cards of the demo decks are known by something else than before. What that does to a student who has this deck:
  an id that goes while another comes: the card begins anew, unless what it was read from is the same;
  another hash or normal form for the same id: the same, for whoever merges with a device of another version.
If the notes changed, or more of them is read now, write the file anew: python tests/identity.py.
If neither did, don't: leave version 1 of the normal form as it is, and let a second one stand beside it.
DEVELOPERS.md, "What never changes", has the whole of it. First differences:
"""


@pytest.mark.parametrize("deck", identity.DECKS)
def test_what_cards_are_known_by(deck: str) -> None:
    """Every card has the id, the hash and the normal form that it had."""
    expected = set((identity.KEPT / f"{deck}.txt").read_text(encoding="utf-8").splitlines())
    found = set(identity.lines(deck))
    differing = sorted(
        [f"- {line}" for line in expected - found] + [f"+ {line}" for line in found - expected]
    )

    assert [] == differing, THINK + "\n".join(
        line[:150] for line in sorted(differing, key=lambda one: one[2:])[:20]
    )


@pytest.mark.parametrize("deck", identity.DECKS)
def test_the_hash_is_of_the_normal_form(deck: str) -> None:
    """A hash is the digest of its normal form, and version 1 of that is the only one so far."""
    for line in (identity.KEPT / f"{deck}.txt").read_text(encoding="utf-8").splitlines():
        _, known, version, normal = line.split(" ", 3)

        assert ("1", known) == (version, digest(json.loads(normal)))


def test_a_change_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """A planted change of one hash is found, and told with what to think of."""
    wrong = [line.replace(" 1 ", " 2 ", 1) for line in identity.lines("skerry")[:1]]
    monkeypatch.setattr(identity, "lines", lambda _: [*wrong])
    with pytest.raises(AssertionError, match="What never changes"):
        test_what_cards_are_known_by("skerry")
