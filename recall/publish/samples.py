"""One of each export, to look at. Calendar and log are of drawn answers, in a store that is gone again."""

import random
from collections.abc import Sequence
from datetime import datetime, time, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

from recall.base.clock import SetClock
from recall.base.dataclass import replace
from recall.deck.model import Deck
from recall.kinds.model import Card
from recall.publish.calendar import calendar
from recall.publish.cards_pdf import cards_pdf
from recall.publish.log import as_batch, statements
from recall.publish.questions import questions
from recall.publish.sheet import sheet_of
from recall.publish.sheet_html import sheet_html
from recall.publish.sheet_pdf import sheet_pdf
from recall.publish.tables import as_csv, as_json_lines, cards_table, points_table
from recall.store import Review, Store

_START = datetime(2027, 1, 4, 9, 0, tzinfo=timezone.utc)
_DAYS, _EACH = 3, 8


def samples(deck: Deck, cards: Sequence[Card]) -> dict[str, bytes]:
    """Files by name. cards: those that tables, cards and questions are made of; the sheet is of the whole deck."""
    slug = deck.record.deck
    wanted = {card.point for card in cards}
    points = tuple(point for point in deck.points if point.digest(slug) in wanted)
    part = replace(deck, cards=tuple(cards), points=points)
    sheet = sheet_of(deck)
    files: dict[str, str | bytes] = {
        "sheet.pdf": sheet_pdf(sheet),
        "cards.pdf": cards_pdf(deck, cards),
        "questions.zip": questions(deck, cards)[0],
        "sheet.html": sheet_html(sheet),
        "cards.csv": as_csv(cards_table([part])),
        "points.jsonl": as_json_lines(points_table([part])),
        **_of_a_store(deck, cards),
    }
    return {
        f"{slug}-{name}": made.encode() if isinstance(made, str) else made for name, made in files.items()
    }


def _of_a_store(deck: Deck, cards: Sequence[Card]) -> dict[str, str]:
    """A few days of answers, three of four right, and the calendar and log that come of them."""
    day = deck.record.effective
    start = datetime.combine(day, time(9), timezone.utc) if day else _START
    clock, drawn = SetClock(start), random.Random(4)
    checkride = (start + timedelta(days=45)).date()
    with TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "store.db", clock, rng=random.Random(4))
        store.writer.id = "0" * 16  # elsewhere it tells machines apart
        store.load(deck)
        asked = [card for card in cards if card.answer.typed and card.answer.texts][: _DAYS * _EACH]
        for number, card in enumerate(asked):
            if number and number % _EACH == 0:
                clock.advance(86_400 - _EACH * 20)
            clock.advance(20)
            right = drawn.random() < 0.75
            given = card.answer.text if right else ""
            mark, seconds = 3 if right else 1, round(drawn.uniform(2, 12), 1)
            store.record(Review(card.id, card.answer_hash, mark, right=right, seconds=seconds, given=given))
        days = store.due_by_day(28)
        title = deck.record.title or deck.record.deck
        found = {
            "calendar.ics": calendar(days, clock.now(), person="sample", title=title, checkride=checkride),
            "log.json": "".join(as_batch(statements(store))),
        }
        store.close()
        return found
