"""A class's answers in columns: what is kept of a hand-in, and the cards that it is about (Apache
Parquet)."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np
import pyarrow as pa

from recall.base.text import fields_of
from recall.cohort.handin import MARKERS, MODES, HandIn
from recall.schedule import DEFAULT, Parameters
from recall.schedule.batch import replay

if TYPE_CHECKING:
    from recall.kinds.model import Card

_EPOCH = 719_163
"""The number of 1970-01-01."""


def _texts(*names: str) -> "list[tuple[str, pa.DataType]]":
    return [(name, pa.string()) for name in names]


ANSWERS = pa.schema(
    [
        *_texts("deck", "person", "card", "hash", "revision"),
        ("day", pa.date32()),
        ("mark", pa.int8()),
        ("right", pa.bool_()),
        ("seconds", pa.float32()),
        *_texts("mode", "by"),
        ("claimed", pa.bool_()),
        ("overruled", pa.bool_()),
        ("nth", pa.int32()),
        ("opens", pa.bool_()),
        ("gap", pa.int32()),
        ("told", pa.float64()),
        ("given", pa.string()),
    ]
)
"""An answer a row, in the order in which a card was answered. nth: which answer of this trainee to this card
with this right answer, from 0; opens: the first of its day; gap: whole days since the one before (null for
the first); told: recall as the trainee's own memory model foretold it just before (null for the first);
given: null where it wasn't handed in."""

_REMEMBERED = [("holds", pa.float64()), ("day", pa.int32()), ("decay", pa.float64())]
MEMORIES = pa.schema([*_texts("deck", "person", "card", "hash"), *_REMEMBERED])
"""What a trainee remembers, a row a card and right answer. holds: days; day: number of the last answer's;
decay: of the trainee's own curve."""

_WORDED = _texts("card", "hash", "point", "kind", "aspect", "system", "topic", "subject", "prompt", "answer")
CARDS = pa.schema([*_WORDED, ("critical", pa.bool_()), *_texts("file"), ("line", pa.int32())])
"""The cards of a deck, a row each; a withdrawn one as it last was."""


def _runs(pair: np.ndarray, day: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Of each answer, which one to its pair it is, and days since the one before (-1: none)."""
    order = np.argsort(pair, kind="stable")
    sizes = np.bincount(pair)
    nth = np.empty(len(pair), np.int64)
    nth[order] = np.arange(len(pair)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    ahead = day[order]
    reached = np.maximum.accumulate(ahead + (10**7) * np.repeat(np.arange(len(sizes)), sizes)) % 10**7
    gap = np.full(len(pair), -1, np.int64)
    gap[order[1:]] = reached[1:] - reached[:-1]
    gap[nth == 0] = -1
    return nth, gap


def columns_of(made: HandIn) -> tuple[pa.Table, pa.Table]:
    """ANSWERS and MEMORIES of a hand-in."""
    told = made.answers
    card, answer = (np.array(told[name], np.int64) for name in ("card", "hash"))
    day, mark = np.array(told["day"], np.int64), np.array(told["mark"], np.int64)
    _, first, pair = np.unique(card * (len(made.hashes) + 1) + answer, return_index=True, return_inverse=True)
    model = Parameters.of(made.parameters) if made.parameters else DEFAULT
    memories = replay(pair, day, mark, model)
    nth, gap = _runs(pair, day) if len(pair) else (pair, pair)
    before = memories.recall_before

    def named(names: Iterable[str], at: np.ndarray) -> pa.Array:
        return pa.DictionaryArray.from_arrays(
            pa.array(at, pa.int32()), pa.array(list(names), pa.string())
        ).cast(pa.string())

    def same(value: str, count: int) -> pa.Array:
        return pa.array([value], pa.string()).take(pa.array(np.zeros(count, np.int64)))

    rows = pa.table(
        {
            "deck": same(made.deck, len(pair)),
            "person": same(made.person, len(pair)),
            "card": named(made.cards, card),
            "hash": named(made.hashes, answer),
            "revision": named(made.revisions, np.array(told["revision"], np.int64)),
            "day": pa.array((day - _EPOCH).astype(np.int32), pa.date32()),
            "mark": pa.array(mark, pa.int8()),
            "right": pa.array(mark > 1),
            "seconds": pa.array(told["seconds"], pa.float32()),
            "mode": named(MODES, np.array(told["mode"], np.int64)),
            "by": named(MARKERS, np.array(told["by"], np.int64)),
            "claimed": pa.array(np.array(told["claimed"], bool)),
            "overruled": pa.array(np.array(told["overruled"], bool)),
            "nth": pa.array(nth, pa.int32()),
            "opens": pa.array((nth == 0) | (gap > 0)),
            "gap": pa.array(gap, pa.int32(), mask=gap < 0),
            "told": pa.array(before, pa.float64(), mask=np.isnan(before)),
            "given": pa.array(made.given or [None] * len(pair), pa.string()),
        },
        schema=ANSWERS,
    )
    held = pa.table(
        {
            "deck": same(made.deck, len(first)),
            "person": same(made.person, len(first)),
            "card": named(made.cards, card[first]),
            "hash": named(made.hashes, answer[first]),
            "holds": memories.holds,
            "day": pa.array(memories.last_day, pa.int32()),
            "decay": pa.array(np.full(len(first), model.decay), pa.float64()),
        },
        schema=MEMORIES,
    )
    return rows, held


def cards_table(cards: "Iterable[Card]", level: int) -> pa.Table:
    """CARDS. level: how many headings from the top name a system."""
    rows = [
        {
            **fields_of(card, "point", "kind", "aspect", "prompt", "critical", "file", "line"),
            "card": card.id,
            "hash": card.answer_hash,
            "system": " / ".join((card.topic or (card.deck,))[:level]),
            "topic": " / ".join(card.topic or (card.deck,)),
            "subject": card.subject + (f" ({card.condition})" if card.condition else ""),
            "answer": "; ".join(card.answer.texts),
        }
        for card in cards
    ]
    return pa.Table.from_pylist(rows, schema=CARDS)
