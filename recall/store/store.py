"""The store of one person, as everything else uses it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recall.base.dataclass import asdict
from recall.base.errors import RecallError
from recall.base.settings import Settings, setting_value
from recall.store.ahead import Ahead
from recall.store.events import LONGEST_TEXT, MOST_SECONDS
from recall.store.model import Known, Review

if TYPE_CHECKING:
    from recall.deck.model import Deck
    from recall.store.reports import Diagnosis, Entry, LoadReport, MergeReport


_LEFT_OUT = ("claimed", "drawn", "sitting", "of")
"""What an answer's event says only where there is something to say."""


class Store(Ahead):
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
            said = asdict(review) | {
                "day": (review.day or self.today()).toordinal(),
                "deck": review.deck or deck,
                "revision": revision if review.revision is None else review.revision,
                "seconds": None if review.seconds is None else min(max(review.seconds, 0.0), MOST_SECONDS),
                "given": review.given[:LONGEST_TEXT],
            }
            return self._note(
                "reviewed", {name: value for name, value in said.items() if value or name not in _LEFT_OUT}
            )

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
                self._note("undone", {"review": found[0][0]})
        return self.known(histories.now_called(self, *found[0]))

    def remark(self, card: str, text: str) -> None:
        """Keep the person's own remark on a card; an empty one takes it away."""
        from recall.store import derive

        card = self.find(card)
        if len(text) > LONGEST_TEXT:
            raise RecallError(f"a remark is {LONGEST_TEXT} characters at most", "make it shorter")
        derive.note_instead(self, "remarked", {"card": card, "text": text}, "card")

    def set(self, name: str, value: str) -> Settings:
        """Set one thing, as typed; all settings after it."""
        from recall.store import derive

        read = setting_value(name, value)
        if len(str(read)) > LONGEST_TEXT:
            raise RecallError(f"a setting is {LONGEST_TEXT} characters at most", "make it shorter")
        derive.note_instead(self, "setting", {"name": name, "value": read}, "name")
        return self.settings()

    def _note(self, type: str, fields: Mapping[str, Any]) -> str:
        from recall.store import derive

        return derive.note(self, type, fields)

    def history(self, card: str) -> list["Entry"]:
        """A card's life in order: answers (undone ones too) with how long it holds and when it is due after each, and
        what revisions did to it."""
        from recall.store import history

        with self.reading():
            return history.history(self, self.find(card))

    # Keeping it

    def merge(self, paths: Sequence[Path | str], *, same_person: bool = False) -> list["MergeReport"]:
        """Take in the events of other stores, or of files of them, which are left as they are; one transaction each.
        Any order and any number of times give one result. Another person's are refused without `same_person`."""
        from recall.store import merge

        return [merge.merge(self, Path(path), same_person=same_person) for path in paths]

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

    def doctor(self, asked: str = "") -> "Diagnosis":
        """Check the file and the events, derive all anew and mend what differs, propose corrections of clocks.

        asked: a run whose clock may be proposed for correction again, whatever was decided."""
        from recall.store import doctor

        return doctor.doctor(self, asked)
