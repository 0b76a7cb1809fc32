"""Points and cards as tables: CSV (RFC 4180, UTF-8, lines end in CR LF) and JSON Lines.

A spreadsheet takes a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage return for a formula, and carries
it out. In CSV such a cell, and one that begins with an apostrophe, gets an apostrophe before it; taking one off each
cell that begins with one gives the table back.
"""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from recall.base.text import fields_of
from recall.deck.model import Deck
from recall.kinds.each.limit import amount_shown, held_of
from recall.kinds.limits.columns import AMOUNTS
from recall.kinds.model import Point

_EVALUATED = ("=", "+", "-", "@", "\t", "\r", "'", "＝", "＋", "－", "＠")
"""How a cell begins that a spreadsheet would carry out, full-width signs too, and the mark that prevents it."""

Fields = dict[str, Any]
"""Name → text, whole number, yes or no, or a list of texts."""


def cards_table(decks: Iterable[Deck]) -> Iterator[Fields]:
    """A card a row, in the order of the notes."""
    for deck in decks:
        for card in deck.cards:
            yield {
                "deck": deck.record.deck,
                "revision": deck.record.revision,
                **fields_of(card, "id", "point", "kind", "aspect", "topic", "subject", "condition"),
                "applies_to": card.applies,
                "prompt": card.prompt,
                "answer": list(card.answer.texts),
                "form": card.answer.form,
                **fields_of(card, "critical", "why", "cite", "file", "line"),
            }


def points_table(decks: Iterable[Deck]) -> Iterator[Fields]:
    """A point a row, in the order of the notes; those with an error are left out."""
    for deck in decks:
        for point in deck.points:
            if not point.faulty:
                yield {
                    "deck": deck.record.deck,
                    "revision": deck.record.revision,
                    "id": point.digest(deck.record.deck),
                    **fields_of(point, "kind", "topic", "subject", "condition"),
                    "applies_to": point.applies,
                    "says": [f"{role}: {text}" for role, text in says(point)],
                    **fields_of(point, "critical", "why", "cite"),
                    "other": [f"{header}: {text}" for header, text in point.extra],
                    "file": point.place.file,
                    "line": point.place.line,
                }


def says(point: Point) -> Iterator[tuple[str, str]]:
    """All that a point says: role and text, one pair for each member of a set or step of a flow."""
    for part in point.parts or (point,):
        if point.kind == "flow":
            yield "step", part.subject
        for role in AMOUNTS:
            if role in part.amounts:
                yield role, " for ".join(text for text in (amount_shown(part, role), held_of(part)) if text)
        for role, texts in part.fields.items():
            yield from ((role, text) for text in texts)


def as_csv(rows: Iterable[Mapping[str, Any]]) -> str:
    """Rows under a line of their names. A list stands in one cell, a line each."""
    into = io.StringIO(newline="")
    writer = csv.writer(into, lineterminator="\r\n")
    heads: Sequence[str] = ()
    for row in rows:
        if not heads:
            heads = tuple(row)
            writer.writerow(heads)
        writer.writerow([_cell(row[head]) for head in heads])
    return into.getvalue()


def _cell(value: Any) -> str:
    if isinstance(value, list):
        text = "\n".join(value)
    elif isinstance(value, bool):
        text = "yes" if value else "no"
    else:
        text = str(value)
    return f"'{text}" if text.startswith(_EVALUATED) else text


def as_json_lines(rows: Iterable[Mapping[str, Any]]) -> str:
    """One object a line."""
    return "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)
