"""What goes to and fro between a person's devices: which answers are on this one alone, and a plan in words
for one that can't compute it."""

import json
from collections.abc import Iterable
from datetime import date

from recall.store.core import Core, day_from
from recall.store.derive import keep_beside
from recall.store.events import LONGEST_TEXT
from recall.store.needs import PLAN_TOLD

_HANDED = "handed over answers"
_OWN = "FROM event WHERE type = 'reviewed' AND substr(writer, 1, 6) = ?"


def own_answers(core: Core) -> int:
    """Answers that this device wrote, those taken back among them."""
    return int(core.one(f"SELECT count(*) {_OWN}", [core.machine]))


def handed_over(core: Core, answers: int) -> None:
    """Note that so many of them, the first ones, are in somebody else's hands too. They are counted: the number of a
    row, or a clock that was set back, would tell wrongly once the store is made anew of its events."""
    with core.writing():
        core.set_local(_HANDED, str(answers))


def only_here(core: Core) -> tuple[int, date | None]:
    """Answers of this device that were never handed over, and the day of the first."""
    count, first = core.rows(
        f"SELECT count(*), min(day) FROM (SELECT id, day {_OWN} ORDER BY id LIMIT -1 OFFSET ?)"
        " WHERE id NOT IN (SELECT review FROM undone)",
        [core.machine, int(core.local(_HANDED) or "0")],
    )[0]
    return count, day_from(first)


def tell_plan(core: Core, lines: Iterable[str]) -> None:
    """Note a plan in words, as of today, where it says something else than the last one."""
    text = "\n".join((core.today().isoformat(), *lines))[:LONGEST_TEXT]
    if core.one("SELECT value FROM setting WHERE name = ?", [PLAN_TOLD]) != json.dumps(text):
        keep_beside(core, PLAN_TOLD, text)


def last_but_plans(core: Core) -> int:
    """The row number of the newest event that isn't a plan in words: what a plan rests on."""
    rows = core.rows(
        "SELECT no FROM event WHERE type <> 'setting' OR json_extract(body, '$.name') <> ? ORDER BY no DESC LIMIT 1",
        [PLAN_TOLD],
    )
    return int(rows[0][0]) if rows else 0


def plan_told(core: Core) -> tuple[date, list[str]] | None:
    """The last plan in words, and its day; None where none was made."""
    found = core.one("SELECT value FROM setting WHERE name = ?", [PLAN_TOLD])
    if found is None:
        return None
    day, *lines = json.loads(found).split("\n")
    return date.fromisoformat(day), lines
