"""Keep what is derived in step with the events: after each new event, after a merge, or from nothing."""

import json
import warnings
from collections.abc import Collection, Mapping
from typing import Any

from recall.base.errors import StoreError
from recall.store.aim import renew_aim, renew_due
from recall.store.clocks import AHEAD, take_corrections
from recall.store.core import Core, by_id, placed, spread
from recall.store.damage import RESCUE, damage_of
from recall.store.decks import fold_line, keep_line, renew_asking
from recall.store.events import milliseconds, writer_of
from recall.store.loads import chains, line_of, note_load
from recall.store.memories import replay_cards
from recall.store.schema import DERIVATION, DERIVED_TABLES

_RARE = "type <> 'reviewed'"


def take(core: Core, after: int) -> int:
    """Bring the derived tables up to date with the events that arrived after row `after`; inside a transaction.

    Gives how many cards were replayed.
    """
    kinds = {
        row[0] for row in core.rows(f"SELECT DISTINCT type FROM event WHERE no > ? AND {_RARE}", [after])
    }
    if "clock corrected" in kinds:
        return rebuild(core)
    # Of many, the index of cards tells it without a look at the events themselves.
    last = int(core.one("SELECT coalesce(max(no), 0) FROM event"))
    by = "INDEXED BY event_card" if (last - after) * 4 > last else "NOT INDEXED"
    touched = {
        row[0]
        for row in core.rows(
            f"SELECT DISTINCT card FROM event {by} WHERE card IS NOT NULL AND no > ?", [after]
        )
    }
    if "undone" in kinds:
        touched |= _take_undone(core, after)
    if "remarked" in kinds:
        _take_remarks(core, after)
    all_cards = "tuned" in kinds and _take_tuned(core)
    if "setting" in kinds:
        _take_settings(core)
    slugs = _take_loads(core, after) if "deck loaded" in kinds else set()
    scratch = _carried_decks(core, after) if "carried" in kinds else set()
    touched |= _fold(core, slugs | scratch, scratch)
    return replay_cards(core, None if all_cards else reached(core, touched))


def note(core: Core, type: str, fields: Mapping[str, Any]) -> str:
    """Write one event and take up what follows from it, in one transaction; its id."""
    with core.writing():
        event = core.append(type, fields)
        take(core, int(core.one("SELECT no FROM event WHERE id = ?", [event])) - 1)
    return event


class SetInVainWarning(UserWarning):
    """What was set doesn't count: a run whose clock was ahead has set something else later."""


def note_instead(core: Core, type: str, fields: Mapping[str, Any], of: str) -> None:
    """Note what counts instead of all that was said of it before, and warn where it doesn't. of: the field that says
    of what."""
    same = "card = ?" if of == "card" else f"json_extract(body, '$.{of}') = ?"
    with core.writing():
        corrections, now = core.corrections(), milliseconds(core.clock.now())
        said = core.rows(f"SELECT id FROM event WHERE type = ? AND {_RARE} AND {same}", [type, fields[of]])
        note(core, type, fields)
    later = {writer_of(id) for (id,) in said if int(placed(id, corrections)[:-24]) > now + AHEAD}
    if later:
        warnings.warn(
            "what is set doesn't count yet: something else was set later than this computer's clock says; set the"
            f" clock, or if it is right: recall doctor --correct {min(later)}",
            SetInVainWarning,
            stacklevel=2,
        )


def keep_beside(core: Core, name: str, value: str) -> None:
    """Keep what isn't the person's setting as one, so that it travels with a merge (`needs.BESIDE`)."""
    note(core, "setting", {"name": name, "value": value})


def _fold(core: Core, slugs: Collection[str], scratch: Collection[str] = ()) -> set[str]:
    today = core.today()
    touched: set[str] = set()
    heads, wanted = ({line_of(core, slug)[0] for slug in some} for some in (slugs, scratch))
    for head in sorted(heads):
        line = fold_line(core, head, today, scratch=head in wanted)
        touched |= keep_line(core, line)
    return touched | fold_others(core) if heads else touched


def fold_others(core: Core) -> set[str]:
    """Fold the lines that aren't what they were, since another deck claims a name of theirs and claimed it first; the
    cards to replay."""
    stored = {slug: tuple(json.loads(chain)) for slug, chain in core.rows("SELECT slug, chain FROM deck")}
    return _fold(core, {head for head, chain in chains(core).items() if stored.get(head) != chain})


def reached(core: Core, ids: Collection[str]) -> set[str]:
    """Cards, and all that their histories may move to."""
    if core.one("SELECT 1 FROM link") is None:
        return set(ids)
    return spread(core, "SELECT target FROM link WHERE source IN", ids)[0]


def refresh(core: Core, slugs: Collection[str]) -> int:
    """Take up the revisions of these decks that are in force today; how many cards were replayed."""
    with core.writing():
        return replay_cards(core, reached(core, _fold(core, slugs)))


def rebuild(core: Core) -> int:
    """Throw away all that is derived and compute it from the events; how many cards. Inside a transaction.

    Raises StoreError while an event is damaged: what was derived before it was is worth more.
    """
    if damage := damage_of(core.db):
        raise StoreError(f"the store is damaged ({damage.said}): {core.path}", RESCUE)
    for table in DERIVED_TABLES:
        core.db.execute(f"DELETE FROM {table}")
    core.db.execute("INSERT INTO state VALUES ('derived', ?)", [DERIVATION])
    take_corrections(core)
    _take_undone(core, 0)
    _take_remarks(core, 0)
    _take_settings(core)
    _take_tuned(core)
    slugs = _take_loads(core, 0)
    _fold(core, slugs, slugs)
    return replay_cards(core, None)


def _take_loads(core: Core, after: int) -> set[str]:
    """Note loads, with the wordings that earlier versions kept in the event itself; the slugs of their decks."""
    new = core.rows(f"SELECT id FROM event WHERE no > ? AND type = 'deck loaded' AND {_RARE}", [after])
    core.db.executemany(
        "INSERT OR IGNORE INTO text (hash, card) SELECT entry.key, entry.value"
        " FROM event, json_each(body, '$.texts') AS entry WHERE event.id = ?",
        new,
    )
    return {note_load(core, event) for (event,) in new}


def _take_undone(core: Core, after: int) -> set[str]:
    """Note undone reviews; the cards that they concern."""
    reviews = [said["review"] for _, said in core.told("undone", after)]
    core.db.executemany("INSERT OR IGNORE INTO undone VALUES (?)", [(review,) for review in reviews])
    return {
        row[0] for row in by_id(core, "SELECT card FROM event WHERE type = 'reviewed' AND id IN", reviews)
    }


def _take_remarks(core: Core, after: int) -> None:
    corrections = core.corrections()
    new = core.rows(f"SELECT card FROM event WHERE no > ? AND type = 'remarked' AND {_RARE}", [after])
    for (card,) in set(new):
        rows = core.rows("SELECT id, body FROM event WHERE card = ? AND type = 'remarked'", [card])
        _, body = max(rows, key=lambda row: placed(row[0], corrections))
        core.db.execute("INSERT OR REPLACE INTO remark VALUES (?, ?)", [card, json.loads(body)["text"]])


def _take_settings(core: Core) -> None:
    """The last event of each name wins."""
    before = core.settings()
    core.db.executemany(
        "INSERT OR REPLACE INTO setting VALUES (?, ?)",
        [(said["name"], json.dumps(said["value"])) for _, said in core.told("setting")],
    )
    after = core.settings()
    if after.aircraft != before.aircraft:
        renew_asking(core)
        renew_aim(core)
    if (after.target, after.critical_target) != (before.target, before.critical_target):
        renew_due(core)


def _take_tuned(core: Core) -> bool:
    """The last accepted parameters; whether they are others than before."""
    before = core.one("SELECT value FROM state WHERE name = 'parameters'")
    for _, said in core.told("tuned")[-1:]:
        weights = json.dumps(said["parameters"])
        core.db.execute("INSERT OR REPLACE INTO state VALUES ('parameters', ?)", [weights])
    return bool(before != core.one("SELECT value FROM state WHERE name = 'parameters'"))


def _carried_decks(core: Core, after: int) -> set[str]:
    cards = [card for _, said in core.told("carried", after) for card in (said["from"], said["to"])]
    return {row[0] for row in by_id(core, "SELECT deck FROM card WHERE id IN", cards)}
