"""What was read of notes before: taken over where a note, and what holds at its head, still are as they were."""

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding
from recall.deck.combine import cards_of
from recall.deck.model import Record
from recall.deck.pictures import name_pictures
from recall.deck.pieces import Pieces
from recall.kinds.again import Parts
from recall.kinds.fates import Account
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Point, Scope
from recall.kinds.plain import footnotes_of
from recall.kinds.reader import read_points
from recall.notes.model import Note
from recall.notes.reader import read_file


class Made(NamedTuple):
    """What a note makes. pieces: what its points were read from, by their digests; parts: what each of its parts
    makes."""

    points: list[Point]
    findings: list[Finding]
    accounts: list[Account]
    pieces: dict[str, str]
    parts: Parts


@dataclass(slots=True)
class Held:
    """Notes by their names and digests, and what they make."""

    notes: dict[str, tuple[bytes, Note | None, list[Finding]]] = field(default_factory=dict)
    makes: dict[str, tuple[Note, tuple[object, ...], Made]] = field(default_factory=dict)
    asked: dict[str, dict[int, list[Card]]] = field(default_factory=dict)
    """Cards of the points of each note, by their place among them."""
    lent: dict[int, tuple[str, int]] = field(default_factory=dict)
    """Which point each one of this reading is a copy of."""

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
        """Points of a note, their findings and pieces. start: what holds at its head. The points are copies: whoever
        reads a deck marks them."""
        footnotes = [line for line in note.lines if line.startswith("[^")], footnotes_of(note)
        mark = (kinds, start, record.deck, record.columns, *footnotes)
        known = self.makes.get(note.file)
        if known is None or known[0] is not note or known[1] != mark:
            before = known[2] if known is not None and known[1] == mark else None
            made = _made(note, kinds, start, record, Parts(note, mark, before and before.parts), before)
            self.asked[note.file] = self._moved(note.file, before, made) if before else {}
            known = self.makes[note.file] = (note, mark, made)
        points = [point.copied() for point in known[2].points]
        self.lent |= {id(point): (note.file, at) for at, point in enumerate(points)}
        return known[2]._replace(points=points)

    def _moved(self, file: str, before: Made, now: Made) -> dict[int, list[Card]]:
        """The cards of points that are as they were but for their line. One that is made of parts is asked anew."""
        known = {
            (one.kind, one.source, one.subject, one.condition): at for at, one in enumerate(before.points)
        }
        asked = self.asked[file]
        moved = {}
        for at, point in enumerate(now.points):
            was = known.get((point.kind, point.source, point.subject, point.condition))
            if was not in asked or point.parts or not point.says_the_same(before.points[was]):
                continue
            by = point.place.line - before.points[was].place.line
            moved[at] = [card.down(by) for card in asked[was]] if by else asked[was]
        return moved

    def cards(self, kind: Kind, point: Point, deck: str) -> list[Card]:
        """The cards that a point makes by itself, made once; of one that several were joined to, each time."""
        if id(point) not in self.lent:
            return cards_of(kind, point, deck)
        file, at = self.lent[id(point)]
        asked = self.asked[file]
        if at not in asked:
            asked[at] = cards_of(kind, point, deck)
        return list(asked[at])


def _made(
    note: Note, kinds: Sequence[Kind], start: Scope, record: Record, parts: Parts, before: Made | None
) -> Made:
    accounts: list[Account] = []
    points, findings = read_points(note, kinds, record.columns, start, accounts, parts)
    said = (*start.topic, *(f"{a}: {b}" for a, b in record.columns.items()))
    fresh = [point for point in points if not point.source]
    pieces = Pieces(note, [kind.name for kind in kinds if kind.by_heading], said, fresh)
    for point in fresh:
        point.source = pieces.of(point)
    texts = before.pieces if before is not None else {}
    taken = {point.source: texts[point.source] for point in points if point.source in texts}
    if note.references:  # the parts keep them without their pictures
        points = [point.copied() for point in points]
        name_pictures(points, note, kinds)
    return Made(points, findings, accounts, taken | pieces.texts, parts)
