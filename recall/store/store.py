"""The store of one person, as everything else uses it."""

import random
import secrets
import sqlite3
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from recall.base.clock import Clock
from recall.base.errors import RecallError, StoreError
from recall.base.settings import Settings, setting_value
from recall.deck.model import Deck
from recall.kinds.model import Card
from recall.store import derive, load, query, schema
from recall.store.core import Core, connect, examine
from recall.store.errors import guarded
from recall.store.model import Confusion, DayAhead, DeckInForce, Known, LoadReport, Review, Was


class Store(Core):
    """An open store. Every method that writes is one transaction: when it returns, the disk has it.

    Raises StoreError, with what to do, for a file that can't be used; RecallError for a request that can't be met.
    """

    @classmethod
    def open(
        cls,
        path: Path | str,
        clock: Clock,
        *,
        create: bool = True,
        patience: float = 15.0,
        rng: random.Random | None = None,
    ) -> "Store":
        """Open a store, made where there is none (unless `create` is False). patience: seconds to wait for others."""
        path = Path(path)
        if not create and not path.exists():
            raise StoreError(f"there is no store: {path}", "load a deck first, or name another with --store")
        with guarded(path):
            if create:
                path.parent.mkdir(parents=True, exist_ok=True)
            db = connect(path, patience=patience)
        store = cls(path, db, clock, rng or secrets.SystemRandom())
        try:
            with guarded(path):
                store._prepare()
        except BaseException:
            db.close()
            raise
        return store

    def _prepare(self) -> None:
        version = examine(self.path, self.db)
        if version < schema.VERSIONS:
            self._migrate(version)
        elif self.one("SELECT value FROM state WHERE name = 'derived'") != derive.DERIVATION:
            with self.writing():
                derive.rebuild(self)
        try:
            derive.refresh(self)
        except StoreError as error:
            cause = error.__cause__
            code = getattr(cause, "sqlite_errorcode", 0) & 0xFF
            if code != sqlite3.SQLITE_READONLY:
                raise

    def _migrate(self, version: int) -> None:
        with self.db.ensure_autocommit_on():
            self.db.execute("PRAGMA journal_mode = WAL")
        with self.writing():
            if examine(self.path, self.db) == schema.VERSIONS:
                return
            schema.migrations.apply(self.db)
            self.db.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
            self.db.execute(f"PRAGMA user_version = {schema.VERSIONS}")
            if version == 0:
                self.set_local("machine", f"{self.writer.random.getrandbits(80):020x}")
                self.append("person joined", {"person": f"{self.writer.random.getrandbits(80):020x}"})
            derive.rebuild(self)

    def __enter__(self) -> "Store":
        """The store itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close it."""
        self.close()

    # Decks

    def unchanged(self, root: Path | str, fingerprint: str) -> bool:
        """Whether the deck in a folder is, by its fingerprint, what the store last loaded."""
        return load.unchanged(self, str(Path(root).resolve()), fingerprint)

    def load(self, deck: Deck, *, replace: bool = False, carry: bool = False) -> LoadReport:
        """Take a deck into the store. replace: allow over half of its cards to be withdrawn; carry: accept the
        proposed renamings."""
        return load.load(self, deck, replace=replace, carry=carry)

    def decks(self) -> list[DeckInForce]:
        """Decks as they are asked now."""
        return query.decks(self)

    # Reviews

    def record(self, review: Review) -> str:
        """Keep one answered card; the id of its event."""
        with self.writing():
            rows = self.rows(
                "SELECT card.deck, deck.revision FROM card JOIN deck ON slug = line WHERE id = ?",
                [review.card],
            )
            if not rows:
                raise RecallError(f"there is no card `{review.card}`", "load its deck first")
            deck, revision = rows[0]
            event = self.append(
                "reviewed",
                {
                    "day": (review.day or self.today()).toordinal(),
                    "card": review.card,
                    "answer_hash": review.answer_hash,
                    "deck": review.deck or deck,
                    "revision": revision if review.revision is None else review.revision,
                    "mark": review.mark,
                    "right": review.right,
                    "overruled": review.overruled,
                    "marked_by": review.marked_by,
                    "seconds": review.seconds,
                    "given": review.given,
                    "mode": review.mode,
                },
            )
            self._taken(event)
        return event

    def undo(self, event: str | None = None) -> Known:
        """Take one review back for good: this machine's newest, or the one whose id ends so.

        Gives what is then known of its card.
        """
        with self.writing():
            if event is None:
                found = self.rows(
                    "SELECT id, card FROM event WHERE type = 'reviewed' AND substr(writer, 1, 6) = ?"
                    " AND id NOT IN (SELECT review FROM undone) ORDER BY no DESC LIMIT 1",
                    [self.machine],
                )
                if not found:
                    raise RecallError("there is no review of this machine to undo", "name another with --id")
            else:
                found = self.rows(
                    "SELECT id, card FROM event WHERE type = 'reviewed' AND id LIKE ? LIMIT 2", [f"%{event}"]
                )
                if len(found) != 1:
                    raise RecallError(
                        f"there is no one review `{event}`", "`recall history CARD` shows the ids"
                    )
            if self.one("SELECT 1 FROM undone WHERE review = ?", [found[0][0]]) is None:
                self._taken(self.append("undone", {"review": found[0][0]}))
        return query.known(self, found[0][1])

    def remark(self, card: str, text: str) -> None:
        """Keep the person's own remark on a card; an empty one takes it away."""
        card = query.find(self, card)
        with self.writing():
            self._taken(self.append("remarked", {"card": card, "text": text}))

    def set(self, name: str, value: str) -> Settings:
        """Set one thing, as typed; all settings after it."""
        read = setting_value(name, value)
        with self.writing():
            self._taken(self.append("setting", {"name": name, "value": read}))
        return self.settings()

    def _taken(self, event: str) -> None:
        row = int(self.one("SELECT no FROM event WHERE id = ?", [event]))
        derive.take(self, row - 1)

    # What is known

    def due_cards(
        self,
        day: date,
        limit: int | None = None,
        *,
        topic: str | None = None,
        kind: str | None = None,
        deck: str | None = None,
    ) -> list[Known]:
        """Cards due on a day: changed answers first, then the longest due."""
        return query.due_cards(self, day, limit, topic, kind, deck)

    def unasked_cards(
        self,
        limit: int | None = None,
        *,
        topic: str | None = None,
        kind: str | None = None,
        deck: str | None = None,
    ) -> list[Known]:
        """Cards never asked: critical first, then in the order of the notes."""
        return query.unasked_cards(self, limit, topic, kind, deck)

    def cards(
        self,
        *,
        deck: str | None = None,
        topic: str | None = None,
        kind: str | None = None,
        everything: bool = False,
    ) -> list[Known]:
        """All cards that are asked; with `everything` also withdrawn and paused ones and those of other aircraft."""
        return query.cards(self, deck, topic, kind, everything)

    def find(self, prefix: str) -> str:
        """The id of the one card whose id begins so."""
        return query.find(self, prefix)

    def known(self, card: str) -> Known:
        """What is known of a card."""
        return query.known(self, card)

    def card(self, card: str) -> Card:
        """A card with its wording, as its deck last had it."""
        return query.card(self, card)

    def was(self, card: str) -> Was | None:
        """The answer before the last change, and the revision that changed it; None where it never changed."""
        return query.was(self, card)

    def remark_on(self, card: str) -> str:
        """The person's remark on a card, empty where there is none."""
        return query.remark(self, card)

    def due_by_day(self, days: int) -> list[DayAhead]:
        """The load of today and the days after it."""
        return query.due_by_day(self, days)

    def unasked_left_today(self) -> int:
        """How many more unasked cards the setting allows today."""
        return max(0, self.settings().unasked - query.asked_today(self, self.today()))

    def pace(self) -> dict[str, list[float]]:
        """Seconds of the newest right answers by kind, newest first, at most 200 of a kind."""
        return query.pace(self)

    def usual_seconds(self) -> float:
        """Seconds from one answer to the next, the person's median."""
        return query.usual_seconds(self)

    def confusions(self) -> list[Confusion]:
        """Wrong answers that are another card's right one, the most frequent first."""
        return query.confusions(self)

    def answers_by_day(self, since: date) -> Sequence[tuple[date, int, int]]:
        """Day, answers, right answers, from a day on."""
        return list(query.answered_since(self, since))

    def events_of(self, card: str) -> list[dict[str, Any]]:
        """The events that name a card, as they are written out."""
        from recall.store.events import COLUMNS, to_dict

        rows = self.rows(f"SELECT {', '.join(COLUMNS)} FROM event WHERE card = ? ORDER BY id", [card])
        return [to_dict(row) for row in rows]
