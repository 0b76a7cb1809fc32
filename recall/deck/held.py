"""What was read of notes before: taken over where a note, and what holds at its head, still are as they were."""

import hashlib
from collections.abc import Sequence
from pathlib import Path

from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding
from recall.deck.model import Record
from recall.deck.pictures import name_pictures
from recall.deck.pieces import Pieces
from recall.kinds.fates import Account
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Point, Scope
from recall.kinds.reader import read_points
from recall.notes.model import Note
from recall.notes.reader import read_file


@dataclass(slots=True)
class Made:
    """What a note makes. pieces: what its points were read from, by their digests; cards: those that a point makes by
    itself, by its place among them, once they were made."""

    note: Note
    mark: object
    points: list[Point]
    findings: list[Finding]
    accounts: list[Account]
    pieces: dict[str, str]
    cards: dict[int, list[Card]] = field(default_factory=dict)


@dataclass(slots=True)
class Held:
    """Notes by their names and digests, and what they make."""

    notes: dict[str, tuple[bytes, Note | None, list[Finding]]] = field(default_factory=dict)
    makes: dict[str, Made] = field(default_factory=dict)

    def note(self, path: Path, named: str) -> tuple[Note | None, list[Finding]]:
        """A note, read; see `read_file`."""
        try:
            mark = hashlib.sha256(path.read_bytes()).digest()
        except OSError:
            mark = b""
        known = self.notes.get(named)
        if known is None or known[0] != mark or not mark:
            known = self.notes[named] = (mark, *read_file(path, named))
        return known[1], known[2]

    def made(self, note: Note, kinds: Sequence[Kind], start: Scope, record: Record) -> Made:
        """Points of a note, their findings and pieces. start: what holds at its head."""
        mark = kinds, start, record.deck, record.columns
        before = self.makes.get(note.file)
        if before is not None and before.note is note and before.mark == mark:
            return before
        made = self.makes[note.file] = _made(note, kinds, start, record, mark)
        if before is not None and before.mark == mark:
            made.cards = _moved(before, made)
        return made


def _moved(before: Made, now: Made) -> dict[int, list[Card]]:
    """The cards of points that are as they were but for their line. One that is made of parts is asked anew."""
    known = {(one.kind, one.source, one.subject, one.condition): at for at, one in enumerate(before.points)}
    moved = {}
    for at, point in enumerate(now.points):
        was = known.get((point.kind, point.source, point.subject, point.condition))
        if was in before.cards and not point.parts and point.says_the_same(before.points[was]):
            by = point.place.line - before.points[was].place.line
            moved[at] = [card.down(by) for card in before.cards[was]] if by else before.cards[was]
    return moved


def _made(note: Note, kinds: Sequence[Kind], start: Scope, record: Record, mark: object) -> Made:
    accounts: list[Account] = []
    points, findings = read_points(note, kinds, record.columns, start, accounts)
    said = (*start.topic, *(f"{a}: {b}" for a, b in record.columns.items()))
    pieces = Pieces(note, [kind.name for kind in kinds if kind.by_heading], said, points)
    for point in points:
        point.source = pieces.of(point)
    name_pictures(points, note, kinds)
    return Made(note, mark, points, findings, accounts, pieces.texts)
