"""Answers of a large class, written straight to Parquet as `recall class` keeps them, a file a person, with a deck as
it was published and files that stand for the hand-ins.

Their figures follow no memory model; their shape is that of a class: half a topic's cards are asked on a day,
again after longer and longer gaps, sometimes twice on one day; strong and weak people, hard and easy points;
a revision halfway; every fourth person hands words in, some of which are another card's answer.
"""

import hashlib
import json
from pathlib import Path
from string import ascii_uppercase

import duckdb
import pyarrow as pa

from recall.base.dataclass import asdict
from recall.cohort.taken import KEPT, Person
from recall.deck.read import read_deck
from recall.deck.source import find_sources
from recall.kinds.model import Card
from recall.publish.publish import publish

TIMES, TOPICS, EACH = 10, 100, 10
"""Answers of each person to each card; topics; points in each, two cards a point."""
HAND_IN_BYTES = 150_000
"""Of a hand-in of 20,000 answers."""
_ANSWERS = """
    SELECT card, hash, CASE WHEN day < 60 THEN '1' ELSE '2' END AS revision,
           DATE '2026-09-01' + day::INTEGER AS day, (CASE WHEN ok THEN 3 ELSE 1 END)::TINYINT AS mark, ok AS right,
           (4 + 8 * luck(row, nth, 2))::FLOAT AS seconds, 'daily' AS mode, 'program' AS by,
           false AS claimed, false AS overruled,
           nth, nth = 0 OR gap > 0 AS opens, CASE WHEN nth > 0 THEN gap END AS gap, told,
           CASE WHEN {who} % 4 = 0 THEN
                CASE WHEN ok THEN answer WHEN luck(row, nth, 3) < 0.4 THEN '24 V'
                     WHEN luck(row, nth, 3) < 0.6 THEN other ELSE '?' END
           END AS given
    FROM (SELECT *, luck(row, nth, 4) < 1 / (1 + exp(-(ln(base / (1 - base)) + {strength} + ease))) AS ok
          FROM (SELECT *, coalesce(told, 0.5) AS base
                FROM (SELECT *, CASE WHEN nth > 0 AND gap > 0 THEN 0.8 + 0.17 * luck(row, nth, 5) END AS told
                      FROM (SELECT *, (begins + offs[nth + 1] - twice * (nth = 1)::INTEGER)::INTEGER AS day,
                                   (offs[nth + 1] - offs[greatest(nth, 1)] - twice * (nth = 1)::INTEGER
                                    + twice * (nth = 2)::INTEGER)::INTEGER AS gap
                            FROM (SELECT *, (hash({who}, row, 1) % 50)::INTEGER AS begins,
                                         (hash({who}, row, 6) % 4 = 0)::INTEGER AS twice,
                                         [0, 1, 3, 6, 10, 16, 25, 38, 57, 85] AS offs
                                  FROM cards, (SELECT unnest(range({times}))::INTEGER AS nth))))))
    ORDER BY row, nth
"""
_MEMORIES = """
    SELECT card, hash, (20.0 + hash({who}, row, 7) % 100)::DOUBLE AS holds, {last} AS day, 0.1542 AS decay FROM cards
    ORDER BY row
"""


def _note() -> str:
    lines = ["---", "deck: skerry", "title: Many", "revision: 2", "effective: 2026-01-01", "---", "# Many"]
    for point in range(TOPICS * EACH):
        if point % EACH == 0:
            lines += [f"\n## Topic {point // EACH:03d}\n", "| Abbreviation | Meaning |", "|---|---|"]
        code = "".join(ascii_uppercase[point // 26**at % 26] for at in (2, 1, 0)) + "Q"
        lines.append(f"| {code} | unit {code[0].lower()}{point} of group {point} |")
    return "\n".join(lines) + "\n"


def _published(folder: Path) -> tuple[Card, ...]:
    """Publish the deck into a folder; its cards, in order."""
    notes = folder / "notes"
    notes.mkdir(parents=True)
    notes.joinpath("deck.md").write_text(_note(), encoding="utf-8")
    deck, findings = read_deck(find_sources(notes)[0])
    publish(deck, findings, out=folder)
    return deck.cards


def write(folder: Path, people: int) -> None:
    """Write a class of people."""
    cards = _published(folder)
    connection = duckdb.connect(config={"threads": 2})
    answers = [card.answer.text for card in cards]
    named = {
        "row": list(range(len(cards))),
        "card": [card.id for card in cards],
        "hash": [card.answer_hash for card in cards],
        "answer": answers,
        "other": [*answers[2:], *answers[:2]],
    }
    connection.register("named", pa.table(named))
    connection.execute(
        "CREATE TABLE cards AS SELECT *, (hash(row // 2, 8) % 1000) / 1000.0 - 0.5 AS ease FROM named ORDER BY row"
    )
    for part in ("answers", "memories"):
        (folder / KEPT / part / "deck=skerry").mkdir(parents=True)
    here = []
    for who in range(people):
        connection.execute(
            f"CREATE OR REPLACE TEMP MACRO luck(r, n, k) AS (hash({who}, r, n, k) % 1000000) / 1000000.0"
        )
        key = hashlib.sha256(f"person {who}".encode()).hexdigest()
        told = {"who": who, "strength": (who * 37 % 101) / 50 - 1, "times": TIMES, "last": 739_985}
        for part, query in (("answers", _ANSWERS), ("memories", _MEMORIES)):
            file = folder / KEPT / part / "deck=skerry" / f"{key}.parquet"
            connection.execute(
                f"COPY (SELECT '{key}' AS person, * FROM ({query.format(**told)}))"
                f" TO '{file}' (FORMAT parquet, COMPRESSION zstd)"
            )
        content = key.encode() * (HAND_IN_BYTES // 64)
        folder.joinpath(f"{key[:12]}.handin").write_bytes(content)
        mark = hashlib.sha256(content).hexdigest()
        here.append(asdict(Person(key, "skerry", 1, "", mark, TIMES * len(cards))))
    folder.joinpath(KEPT, "people.json").write_text(json.dumps(here))
