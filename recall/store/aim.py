"""The recall that a checkride asks of critical points, by the decks' blueprints."""

import json
from collections.abc import Mapping

from recall.deck.topics import in_topic
from recall.schedule import Memory, due_day
from recall.schedule.model import critical_aim
from recall.store.core import Core

NAME = "critical target"


def renew_aim(core: Core) -> None:
    """Note the recall that the decks in force ask of critical points, the most that one of them does; and when cards
    are due by it."""
    drawn = [0.0]
    for slug, record in core.rows("SELECT slug, record FROM deck WHERE current IS NOT NULL"):
        questions = (json.loads(record).get("checkride") or {}).get("questions") or {}
        if questions:
            drawn.append(_critical_questions(core, slug, questions))
    aim = json.dumps(round(critical_aim(max(drawn)), 4))
    if core.one("SELECT value FROM state WHERE name = ?", [NAME]) != aim:
        core.db.execute("INSERT OR REPLACE INTO state VALUES (?, ?)", [NAME, aim])
        renew_due(core)


def _critical_questions(core: Core, slug: str, questions: Mapping[str, int]) -> float:
    """How many critical cards a blueprint draws on average, each card from the narrowest topic that names it."""
    sql = "SELECT topic, count(*), sum(critical) FROM card WHERE asking = 1 AND line = ? GROUP BY topic"
    found = {tuple(json.loads(topic)): counts for topic, *counts in core.rows(sql, [slug])}
    own = {named: [topic for topic in found if in_topic(topic, named)] for named, n in questions.items() if n}
    total = 0.0
    for named in sorted(own, key=lambda named: sum(found[topic][0] for topic in own[named])):
        counts = [found[topic] for topic in own[named]]
        cards, critical = (sum(column) for column in zip(*counts, strict=True)) if counts else (0, 0)
        total += min(questions[named], cards) * critical / max(cards, 1)
        found |= {topic: [0, 0] for topic in own[named]}
    return total


def renew_due(core: Core) -> None:
    """Compute every due day again from the memories."""
    parameters, settings = core.parameters(), core.settings()
    rows = core.rows("SELECT no, holds, difficulty, last_day, critical FROM card WHERE holds IS NOT NULL")
    due = (
        (due_day(Memory(holds, hard, last), settings.aim(critical), bool(critical), parameters), no)
        for no, holds, hard, last, critical in rows
    )
    core.db.executemany("UPDATE card SET due = ? WHERE no = ?", due)
