"""Whose key a deck's revisions are signed with. The key is pinned by a `setting` event, so that it travels with a
merge; it isn't one of the person's settings."""

import json
from collections.abc import Iterable

from recall.kinds.model import Card
from recall.store.core import Core
from recall.store.derive import take

_PREFIX = "publisher of "


def lineage(core: Core, slug: str, formerly: str = "") -> frozenset[str]:
    """All names that a deck has or had, by the loads so far and its own word."""
    pairs = core.rows("SELECT DISTINCT deck, formerly FROM load WHERE formerly <> ''")
    found = {slug, formerly} - {""}
    while True:
        more = {name for pair in pairs if found & set(pair) for name in pair} - found
        if not more:
            return frozenset(found)
        found |= more


def pinned(core: Core) -> dict[str, str]:
    """Public key in hexadecimal by deck."""
    rows = core.rows("SELECT name, value FROM setting WHERE name LIKE ? || '%' ORDER BY name", [_PREFIX])
    keys = {name.removeprefix(_PREFIX): json.loads(value) for name, value in rows}
    return {slug: key for slug, key in keys.items() if key}


def pin(core: Core, slug: str, key: str) -> None:
    """Pin a deck's key; an empty one lets go of it."""
    with core.writing():
        event = core.append("setting", {"name": f"{_PREFIX}{slug}", "value": key})
        take(core, int(core.one("SELECT no FROM event WHERE id = ?", [event])) - 1)


def revisions(core: Core, slugs: Iterable[str]) -> list[str]:
    """The revisions of these decks that were loaded, in force or not."""
    wanted = set(slugs)
    return [revision for deck, revision in core.rows("SELECT deck, revision FROM load") if deck in wanted]


def changed_in(core: Core, slug: str, revision: str) -> list[tuple[Card, tuple[str, ...]]]:
    """The cards in force whose answer this revision changed, each with the answer before, critical ones first."""
    rows = core.rows(
        "SELECT now.card, before.card FROM card JOIN text AS now ON now.hash = card.text"
        " JOIN text AS before ON before.hash = card.was"
        " WHERE card.deck = ? AND since = ? AND asking = 1 ORDER BY critical DESC, rank",
        [slug, revision],
    )
    pairs = ((Card.from_json(now), Card.from_json(before)) for now, before in rows)
    return [(now, before.answer.texts) for now, before in pairs if not now.answer.drawn]
