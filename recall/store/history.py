"""The life of one card: what was asked and answered, how long it holds since, and what revisions did to it."""

import json
from datetime import date

from recall.schedule import Memory, answered, due_day
from recall.store.core import Core, by_id, day_from, placed
from recall.store.decks import fold_line
from recall.store.events import moment_of, writer_of
from recall.store.histories import COUNTS, Ways, read_histories, targets_of
from recall.store.reports import Entry


def history(core: Core, card: str) -> list[Entry]:
    """See `Store.history`."""
    ways = Ways(core, [card])
    entries = [*_reviews(core, card), *_undone(core, ways), *_revisions(core, card, ways)]
    return sorted(entries, key=lambda entry: (entry.at, entry.event))


def _reviews(core: Core, card: str) -> list[Entry]:
    (target,) = targets_of(core, [card])
    settings, parameters = core.settings(), core.parameters()
    memory: Memory | None = None
    due = None
    entries = []
    for _, place, day, mark, kind, no in read_histories(core, [target]):
        id, ok, seconds, body = core.rows("SELECT id, ok, seconds, body FROM event WHERE no = ?", [no])[0]
        counts = kind == COUNTS
        if counts:
            memory = answered(memory, mark, day, parameters)
            due = due_day(memory, settings.aim(target.critical), target.critical, parameters)
        plain = json.loads(body)
        at, on, right = moment_of(place), date.fromordinal(day), None if ok is None else bool(ok)
        holds, again = (memory.holds, day_from(due)) if counts and memory else (None, None)
        asked = (plain["given"], seconds, plain["mode"], counts)
        said = "claimed to be right" if plain.get("claimed") else ""
        entry = Entry(at, on, "reviewed", id, mark, right, *asked, holds, again, plain["revision"], said)
        entries.append(entry)
    return entries


def _undone(core: Core, ways: Ways) -> list[Entry]:
    rows = by_id(
        core,
        "SELECT id, day, mark, body FROM event WHERE type = 'reviewed'"
        " AND id IN (SELECT review FROM undone) AND card IN",
        ways.sources,
    )
    corrections = core.corrections()
    entries = []
    for id, day, mark, body in rows:
        _, days = corrections.get(writer_of(id), (0, 0))
        plain = json.loads(body)
        at, on = moment_of(placed(id, corrections)), date.fromordinal(day + days)
        entries.append(Entry(at, on, "undone", id, mark, given=plain["given"], mode=plain["mode"]))
    return entries


def _revisions(core: Core, card: str, ways: Ways) -> list[Entry]:
    """What each revision up to the one in force did to the card, under whichever id."""
    line = fold_line(
        core, str(core.one("SELECT deck FROM card WHERE id = ?", [card])), core.today(), scratch=True
    )
    entries = []
    for load, step in line.steps:
        did = (
            (step.changed, "changed"),
            (step.moved.values(), "moved"),
            (step.new, "loaded"),
            (step.back, "back"),
            (step.gone, "withdrawn"),
        )
        what = next((what for cards, what in did if not ways.sources.isdisjoint(cards)), None)
        if what is not None:
            day = date.fromordinal(load.in_force)
            entries.append(Entry(moment_of(load.event), day, what, load.event, revision=load.revision))
    return entries
