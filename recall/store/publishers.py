"""Whose keys a deck's revisions are signed with, and what was signed under which number. Both are kept by `setting`
events, so that they travel with a merge; they aren't the person's settings."""

import json
from collections.abc import Iterable

from recall.store.core import Core
from recall.store.derive import keep_beside, note_instead
from recall.store.needs import PUBLISHER, SIGNED
from recall.store.revisions import plain_number, revision_key


def lineage(core: Core, slug: str, formerly: str = "") -> frozenset[str]:
    """All names that a deck has or had, by the loads so far and its own word."""
    pairs = core.rows("SELECT DISTINCT deck, formerly FROM load WHERE formerly <> ''")
    found = {slug, formerly} - {""}
    while True:
        more = {name for pair in pairs if found & set(pair) for name in pair} - found
        if not more:
            return frozenset(found)
        found |= more


def pinned(core: Core) -> dict[str, frozenset[str]]:
    """Public keys in hexadecimal by deck."""
    keys = {name.removeprefix(PUBLISHER): value.split() for name, value in _noted(core, PUBLISHER)}
    return {slug: frozenset(some) for slug, some in keys.items() if some}


def given_up(core: Core, slugs: Iterable[str]) -> frozenset[str]:
    """The keys that these decks were held to and are no longer, since their keys were last forgotten."""
    names = {f"{PUBLISHER}{slug}" for slug in slugs}
    held: dict[str, set[str]] = {}
    for _, said in core.told("setting"):
        if said["name"] in names:
            before = held.setdefault(said["name"], set())
            before.update(said["value"].split())
            if not said["value"]:
                before.clear()
    now = pinned(core)
    return frozenset().union(*held.values()) - frozenset().union(
        *(now.get(slug, frozenset()) for slug in slugs)
    )


def pin(core: Core, slug: str, keys: Iterable[str]) -> None:
    """Hold a deck to these keys; none lets go of them."""
    said = {"name": f"{PUBLISHER}{slug}", "value": " ".join(sorted(keys))}
    note_instead(core, "setting", said, "name")


def in_force(core: Core, slugs: Iterable[str]) -> str:
    """The highest revision of these decks that is in force today; empty where none is."""
    wanted = set(slugs)
    rows = core.rows("SELECT slug, revision FROM deck WHERE current IS NOT NULL")
    return max((revision for slug, revision in rows if slug in wanted), key=revision_key, default="")


def overtaken(core: Core, slugs: Iterable[str], revision: str) -> str:
    """The revision in force of these decks, if it is newer than this one, which would never be asked; else empty."""
    newest = in_force(core, slugs)
    return newest if revision_key(revision) < revision_key(newest) else ""


def note_signed(core: Core, slug: str, revision: str, key: str, notes: str) -> None:
    """Note what a key signed under a number. notes: a digest of them, 64 hexadecimal digits."""
    keep_beside(core, f"{SIGNED}{slug} {plain_number(revision)}", f"{key} {notes}")


def signed_as(core: Core, slugs: Iterable[str], revision: str) -> set[tuple[str, str]]:
    """Who signed which notes under a number: keys and digests."""
    wanted = {f"{SIGNED}{slug} {plain_number(revision)}" for slug in slugs}
    return {
        (key, notes)
        for name, value in _noted(core, SIGNED)
        if name in wanted
        for key, notes in [value.split()]
    }


def _noted(core: Core, prefix: str) -> list[tuple[str, str]]:
    rows = core.rows("SELECT name, value FROM setting WHERE name LIKE ? || '%' ORDER BY name", [prefix])
    return [(name, json.loads(value)) for name, value in rows]
