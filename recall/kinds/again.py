"""What the parts of a note made before, taken over where they, and what holds there, are as they were. A part goes
from one heading to the next; what stands under deeper headings may belong to it, so it must be as it was too."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding
from recall.kinds.fates import Account
from recall.kinds.model import Point
from recall.notes.model import Block, Heading, Note

_NAMES_LINES = re.compile(r"\bline \d")
Key = tuple[object, ...]
Name = tuple[str, ...]


class Reading(Protocol):
    """A walk over the blocks of a note: what it made, what holds where it is, and how often each name came."""

    points: list[Point]
    findings: list[Finding]
    accounts: list[Account]
    headings: list[Heading]
    said: list[tuple[int, str, str]]
    counted: dict[Name, int]


@dataclass(frozen=True, slots=True)
class Part:
    """What a part made. line: of its heading; long: how many parts were read with it; headings, said: what holds
    behind it; counted: how often names had come before it, and behind it."""

    line: int
    long: int
    points: list[Point]
    findings: list[Finding]
    accounts: list[Account]
    headings: list[Heading]
    said: list[tuple[int, str, str]]
    counted: dict[Name, tuple[int, int]]

    def fits(self, walk: Reading, line: int) -> bool:
        """Whether it would be the same if it were read at a line."""
        named = line != self.line and any(_NAMES_LINES.search(one.message) for one in self.findings)
        return not named and all(walk.counted.get(name, 0) == was for name, (was, _) in self.counted.items())

    def at(self, line: int) -> "Part":
        """The part as it stands at a line."""
        by = line - self.line
        if not by:
            return self
        return replace(
            self,
            line=line,
            points=[down(point, by) for point in self.points],
            findings=[
                replace(one, place=replace(one.place, line=one.place.line + by)) for one in self.findings
            ],
            accounts=[replace(one, down=one.down + by) for one in self.accounts],
        )


def down(point: Point, by: int) -> Point:
    """A point that stands some lines further down."""
    moved = point.copied()
    moved.place = replace(point.place, line=point.place.line + by)
    if point.parts:
        moved.parts = tuple(down(part, by) for part in point.parts)
    return moved


@dataclass(slots=True)
class _Open:
    """A part that is being read: its key, its number, and how much there was before it."""

    key: Key
    at: int
    points: int
    findings: int
    accounts: int
    counted: dict[Name, int] = field(default_factory=dict)


class Parts:
    """The parts of a note by all that they depend on. mark: what holds for all of the note; before: those of its last
    reading."""

    def __init__(self, note: Note, mark: object = None, before: "Parts | None" = None) -> None:
        self.mark = mark
        self._note = note
        self._before: Mapping[Key, Part] = before._now if before is not None and before.mark == mark else {}
        self._now: dict[Key, Part] = {}
        self._at = {id(note.blocks[start.block]): at for at, start in enumerate(note.starts)}
        self._open: _Open | None = None

    def count(self, walk: Reading, name: Name) -> int:
        """Count a name; how often it has come by now."""
        before = walk.counted.get(name, 0)
        if self._open is not None:
            self._open.counted.setdefault(name, before)
        walk.counted[name] = before + 1
        return before + 1

    def take(self, walk: Reading, blocks: Sequence[Block], first: int) -> int:
        """Where a part begins that was read before, take over what it made; the block behind it, or the first one
        itself where it is to be read."""
        at = self._at.get(id(blocks[first]))
        if at is None:
            return first
        self.close(walk, at)
        starts, key = self._note.starts, self._key(walk, at)
        known = self._before.get(key)
        if known is None or not known.fits(walk, starts[at].line):
            self._open = _Open(key, at, len(walk.points), len(walk.findings), len(walk.accounts))
            return first
        part = self._now[key] = known.at(starts[at].line)
        walk.points += part.points
        walk.findings += part.findings
        walk.accounts += part.accounts
        walk.headings, walk.said = list(part.headings), list(part.said)
        walk.counted |= {name: now for name, (_, now) in part.counted.items()}
        later, behind = range(first + 1, len(blocks)), at + part.long
        return next((one for one in later if self._at.get(id(blocks[one])) == behind), len(blocks))

    def close(self, walk: Reading, at: int | None = None) -> None:
        """A part was read up to the next one, or to the end of the note."""
        if (read := self._open) is None:
            return
        at = len(self._note.starts) if at is None else at
        self._now[read.key] = Part(
            self._note.starts[read.at].line,
            at - read.at,
            walk.points[read.points :],
            walk.findings[read.findings :],
            walk.accounts[read.accounts :],
            list(walk.headings),
            list(walk.said),
            {name: (was, walk.counted[name]) for name, was in read.counted.items()},
        )
        self._open = None

    def _key(self, walk: Reading, at: int) -> Key:
        """All that a part depends on: its lines with those that its headings own, and what holds there."""
        starts, lines = self._note.starts, self._note.lines
        behind = starts[at + 1].block if at + 1 < len(starts) else None
        own = self._note.blocks[starts[at].block : behind]
        level = min(block.level for block in own if isinstance(block, Heading))
        end = next((one.line for one in starts[at + 1 :] if one.level <= level), len(lines) + 1)
        text = "\n".join(lines[starts[at].line - 1 : end - 1])
        above = tuple((one.level, one.text.plain, one.id) for one in walk.headings)
        return text, above, tuple(walk.said)
