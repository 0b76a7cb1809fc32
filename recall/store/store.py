"""The store of one person, as everything else uses it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recall.base.errors import RecallError
from recall.base.settings import Settings, setting_value
from recall.store import ahead, query
from recall.store.events import COLUMNS, LONGEST_TEXT, MOST_SECONDS, to_dict
from recall.store.model import Confusion, DayAhead, DeckInForce, Known, Review, Was
from recall.store.opening import Opened

if TYPE_CHECKING:
    from recall.deck.model import Deck
    from recall.kinds.model import Card
    from recall.store.loads import Content
    from recall.store.reports import Diagnosis, Entry, LoadReport, MergeReport, Tuning


class Store(Opened):
    """An open store. Every method that writes is one transaction: when it returns, the disk has it.

    Raises StoreError, with what to do, for a file that can't be used; RecallError for a request that can't be met.
    What few commands need is imported where it is used: a start is felt.
    """

    # Decks

    def unchanged(self, root: Path | str, fingerprint: str) -> bool:
        """Whether the deck in a folder is, by its fingerprint, what the store last loaded."""
        from recall.store import load

        return load.unchanged(self, str(Path(root).resolve()), fingerprint)

    def load(
        self,
        deck: "Deck",
        *,
        replace: bool = False,
        carry: bool = False,
        renamed: Mapping[str, str] | None = None,
    ) -> "LoadReport":
        """Take a deck into the store. replace: allow over half of its cards to be withdrawn; carry: accept the
        proposed renamings; renamed: ids of cards that go on from others, as its
        publisher decided (new id → old id): then nothing is proposed."""
        from recall.store import load
        from recall.store.loads import content_of

        content = content_of(deck, self.today(), renamed)
        return load.load(
            self, content, lambda: deck, replace=replace, carry=carry, decided=renamed is not None
        )

    def load_content(
        self, content: "Content", whole: "Callable[[], Deck]", *, replace: bool = False, carry: bool = False
    ) -> "LoadReport":
        """Take in a published deck as its event will tell it, as `load` does. whole: the deck, where its wording is
        needed."""
        from recall.store import load

        return load.load(self, content, whole, replace=replace, carry=carry, decided=True)

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
            seconds = review.seconds
            told = {
                "claimed": review.claimed,
                "drawn": review.drawn,
                "sitting": review.sitting,
                "of": review.of,
            }
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
                    "seconds": None if seconds is None else min(max(seconds, 0.0), MOST_SECONDS),
                    "given": review.given[:LONGEST_TEXT],
                    "mode": review.mode,
                    **{name: value for name, value in told.items() if value},
                },
            )
            self._taken(event)
        return event

    def undo(self, event: str | None = None) -> Known:
        """Take one review back for good: this machine's newest, or the one whose id ends so.

        Gives what is then known of its card.
        """
        from recall.store import histories

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
                    "SELECT id, card FROM event WHERE type = 'reviewed' AND substr(id, -length(?1)) = ?1 LIMIT 2",
                    [event],
                )
                if len(found) != 1:
                    what = "there is no review" if not found else "there are several reviews"
                    verb = "ends" if not found else "end"
                    raise RecallError(
                        f"{what} whose id {verb} in `{event}`", "`recall history CARD` shows the ids"
                    )
            if self.one("SELECT 1 FROM undone WHERE review = ?", [found[0][0]]) is None:
                self._taken(self.append("undone", {"review": found[0][0]}))
        return query.known(self, histories.now_called(self, *found[0]))

    def remark(self, card: str, text: str) -> None:
        """Keep the person's own remark on a card; an empty one takes it away."""
        card = self.find(card)
        if len(text) > LONGEST_TEXT:
            raise RecallError(f"a remark is {LONGEST_TEXT} characters at most", "make it shorter")
        with self.writing():
            self._taken(self.append("remarked", {"card": card, "text": text}))

    def set(self, name: str, value: str) -> Settings:
        """Set one thing, as typed; all settings after it."""
        read = setting_value(name, value)
        with self.writing():
            self._taken(self.append("setting", {"name": name, "value": read}))
        return self.settings()

    def _taken(self, event: str) -> None:
        from recall.store import derive

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
        critical: bool = False,
    ) -> list[Known]:
        """Cards due on a day: changed answers first, then the longest due."""
        return query.due_cards(self, day, limit, topic, kind, deck, critical)

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

    def cards_of(self, point: str) -> list[Known]:
        """The cards of a point, paused ones and those of other aircraft too; none where nothing has this id."""
        return query.cards_of(self, point)

    def find(self, named: str) -> str:
        """The id of the one card whose id begins so, or whose question these words fit."""
        from recall.store.seek import seek

        return seek(self, named)

    def known(self, card: str) -> Known:
        """What is known of a card."""
        return query.known(self, card)

    def card(self, card: str) -> "Card":
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
        return ahead.due_by_day(self, days)

    def days_ahead(self, cards: Sequence[Known], days: int) -> list[DayAhead]:
        """The load of some cards alone, for today and the days after it."""
        return ahead.days_ahead(
            self, ahead.counted(self, cards), sum(card.due is None for card in cards), days
        )

    def coming_first(self, cards: Iterable[Known]) -> list[Known]:
        """Those of some due cards that come before unasked ones today."""
        parameters, number = self.parameters(), self.today().toordinal()
        return [card for card in cards if ahead.first_day(card, parameters) <= number]

    def unasked_left_today(self, *, timed: bool = True) -> int:
        """How many more unasked cards today has time for; not timed: how many the settings leave for it."""
        if not timed:
            begun = self.one("SELECT count(*) FROM card WHERE first_day = ?", [self.today().toordinal()])
            return max(0, self.settings().unasked - int(begun))
        return ahead.days_ahead(self, ahead.due_counts(self, 1), 10**6, 1)[0].unasked

    def pace(self) -> dict[str, list[tuple[float, int]]]:
        """Seconds of the newest right answers by kind, with the letters of the question; newest first, at most 200 of
        a kind."""
        return query.pace(self)

    def usual_seconds(self) -> float:
        """Seconds from one answer to the next, the person's median."""
        return query.usual_seconds(self)

    def confusions(self) -> list[Confusion]:
        """Wrong answers that are another card's right one, the most frequent first."""
        return query.confusions(self)

    def history(self, card: str) -> list["Entry"]:
        """A card's life in order: answers (undone ones too) with how long it holds and when it is due after each, and
        what revisions did to it."""
        from recall.store import history

        with self.reading():
            return history.history(self, self.find(card))

    def events_of(self, card: str) -> list[dict[str, Any]]:
        """The events that name a card, as they are written out."""
        rows = self.rows(f"SELECT {', '.join(COLUMNS)} FROM event WHERE card = ? ORDER BY id", [card])
        return [to_dict(row) for row in rows]

    # Keeping it

    def merge(self, paths: Sequence[Path | str], *, same_person: bool = False) -> list["MergeReport"]:
        """Take in the events of other stores, which are left as they are; one transaction each. Any order and any
        number of times give one result. Another person's store is refused without `same_person`."""
        from recall.store import merge

        return merge.merge(self, [Path(path) for path in paths], same_person=same_person)

    def events_json(self, left: list[int] | None = None) -> Iterator[str]:
        """All events, a line of JSON each. left: takes up the numbers of those that are damaged and left out (0 where
        even that can't be read)."""
        from recall.store import merge

        return merge.events_json(self, left)

    def read_json(self, lines: Iterable[str], name: str, *, same_person: bool = False) -> "MergeReport":
        """Take in lines that `events_json` gave. name: the file they come from, for messages."""
        from recall.store import merge

        return merge.read_json(self, lines, name, same_person=same_person)

    def backup(self, to: Path | str | None = None) -> Path:
        """Copy the store and read the copy back; its path. to: None for the folder beside it, where old copies are
        thinned."""
        from recall.store import backup

        return backup.backup(self, None if to is None else Path(to))

    def backup_if_due(self) -> Path | None:
        """The weekly backup, where it is due."""
        from recall.store import backup

        return backup.backup_if_due(self)

    def doctor(self, asked: str = "") -> "Diagnosis":
        """Check the file and the events, derive all anew and mend what differs, propose corrections of clocks.

        asked: a run whose clock may be proposed for correction again, whatever was decided."""
        from recall.store import doctor

        return doctor.doctor(self, asked)

    def correct_clock(self, writer: str, seconds: float) -> None:
        """Accept a proposed correction: the events of a run count `seconds` later (earlier where negative)."""
        from recall.store import clocks

        clocks.correct_clock(self, writer, seconds)

    def take_back_clock(self, writer: str) -> None:
        """Take the correction of a run's clock back. Raises RecallError where none is in force."""
        from recall.store import clocks

        clocks.take_back(self, writer)

    def tune(self, *, adopt: bool = True) -> "Tuning":
        """Fit the memory model to this history and adopt it where it foretells the held-out last fifth better. Raises
        RecallError where the library is missing or there is too little history."""
        from recall.store import tune

        return tune.tune(self, adopt=adopt)
