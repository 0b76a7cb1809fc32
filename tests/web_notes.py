"""A deck for the pages that tell: supplies, pictures of a life, answers given for one another."""

import random
from datetime import datetime, timedelta
from pathlib import Path

from cli_kit import NOTE
from web_kit import MORNING

from recall.base.clock import SetClock
from recall.store import Store
from recall.store.model import Review

SUPPLY = """
## Supply

| From | Feeds | Backup |
|---|---|---|
| Battery | Main bus, Essential bus | |
| Generator | Main bus | |
| Main bus | Fuel pump, Essential bus | |
| Essential bus | Radio | Battery |
"""
RECORD = "---\ntitle: Small\ncheckride:\n  pass: 70\n---\n"
DAYS, AHEAD = 6, 4


def told_store(folder: Path, now: datetime = MORNING) -> Path:
    """A store with a week behind it: each day's cards answered, those of abbreviations with one another's words."""
    note = folder / "small.md"
    note.write_text(RECORD + NOTE + SUPPLY, encoding="utf-8")
    path = folder / "told.db"
    clock, dice = SetClock(now - timedelta(days=DAYS)), random.Random(3)
    with Store.open(path, clock, rng=dice) as store:
        from recall.deck.read import read_deck

        store.load(read_deck(note)[0])
        words = {card.id: store.card(card.id).answer.text for card in store.cards(kind="abbreviation")}
        for _ in range(DAYS):
            for card in store.due_cards(store.today()) + store.unasked_cards(8):
                clock.advance(12)
                wrong = card.kind == "abbreviation" or dice.random() < 0.3
                others = [text for id, text in words.items() if id != card.id] if wrong else []
                given = dice.choice(others) if others else "?" if wrong else store.card(card.id).answer.text
                store.record(
                    Review(
                        card.id,
                        card.answer_hash,
                        1 if wrong else 3,
                        right=not wrong,
                        seconds=4.0,
                        given=given,
                    )
                )
            clock.at += timedelta(days=1)
        store.set("checkride_on", f"{store.today() + timedelta(days=AHEAD)}")
        store.set("checkride_minutes", "5")
    return path


def points_of(store: Path) -> list[str]:
    """The ids of its points."""
    with Store.open(store, SetClock(MORNING), create=False) as opened:
        return list(dict.fromkeys(card.point for card in opened.cards()))
