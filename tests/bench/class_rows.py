"""Answers of a large class, written straight to Parquet as `recall class` keeps them: a file a person.

Their figures follow no memory model; their shape is that of a class: half a topic's cards are asked on a day,
again after longer and longer gaps, sometimes twice on one day; strong and weak people, hard and easy points;
a revision halfway; every fourth person hands words in, some of which are another card's answer.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import duckdb
import pyarrow as pa
from class_kit import Deck

from recall.cohort.columns import CARDS
from recall.cohort.taken import KEPT

TIMES = 10
"""Answers of each person to each card."""
DECK = Deck(topics=100)
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


def write(folder: Path, people: int, times: int = TIMES) -> None:
    """Write the answers of a class of people."""
    connection = duckdb.connect(config={"threads": 2})
    rows = DECK.rows()
    named = pa.table(
        {
            "row": list(range(DECK.cards)),
            "card": [row["card"] for row in rows],
            "hash": [row["hash"] for row in rows],
            "answer": [row["answer"] for row in rows],
            "other": [str((at + 2) % DECK.cards) for at in range(DECK.cards)],
        }
    )
    connection.register("named", named)
    connection.execute(
        "CREATE TABLE cards AS SELECT *, (hash(row // 2, 8) % 1000) / 1000.0 - 0.5 AS ease FROM named ORDER BY row"
    )
    for part in ("answers", "memories"):
        (folder / KEPT / part / "deck=skerry").mkdir(parents=True, exist_ok=True)
    for who in range(people):
        connection.execute(
            f"CREATE OR REPLACE TEMP MACRO luck(r, n, k) AS (hash({who}, r, n, k) % 1000000) / 1000000.0"
        )
        digest = connection.execute(f"SELECT sha256('person {who}')").fetchone()
        assert digest is not None
        told = {"who": who, "strength": (who * 37 % 101) / 50 - 1, "times": times, "last": 739_985}
        for part, query in (("answers", _ANSWERS), ("memories", _MEMORIES)):
            file = folder / KEPT / part / "deck=skerry" / f"{digest[0]}.parquet"
            connection.execute(
                f"COPY (SELECT '{digest[0]}' AS person, * FROM ({query.format(**told)}))"
                f" TO '{file}' (FORMAT parquet, COMPRESSION zstd)"
            )


def cards() -> pa.Table:
    """The cards that are answered."""
    return pa.Table.from_pylist(DECK.rows(), schema=CARDS)


if __name__ == "__main__":
    write(Path(sys.argv[1]), int(sys.argv[2]))
