"""A deck: its record, points, cards and what of it is paused."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from recall.base.dataclass import dataclass, field
from recall.kinds.model import Card, Point


@dataclass(frozen=True, slots=True)
class Blueprint:
    """How the examination is built. pass_mark: per cent; questions: topic → number; each_area: every topic must
    reach the mark."""

    pass_mark: int | None = None
    questions: Mapping[str, int] = field(default_factory=dict)
    each_area: bool = False


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding accepted on purpose. where: a file, `file:line`, or a subject; empty: the whole deck."""

    rule: str
    where: str
    reason: str


@dataclass(frozen=True, slots=True)
class Record:
    """The record at the head of a deck. Texts are empty where nothing is said. aircraft: serials by variant."""

    deck: str
    title: str = ""
    formerly: str = ""
    revision: str = ""
    effective: date | None = None
    review_by: date | None = None
    authority: str = ""
    applies_to: str = ""
    marking: str = ""
    licence: str = ""
    authors: tuple[str, ...] = ()
    aircraft: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, str] = field(default_factory=dict)
    checkride: Blueprint | None = None
    accept: tuple[Accepted, ...] = ()
    line: int = 1


@dataclass(frozen=True, slots=True)
class Source:
    """Where a deck is read from. root: the folder that files are relative to; files: the notes, in order, as
    POSIX paths below root; shown: how the person named root (a prefix for files on screens, may be empty); left:
    links that aren't followed, each with the reason."""

    root: Path
    files: tuple[str, ...]
    shown: str
    lone: bool = False
    left: tuple[tuple[str, str], ...] = ()

    @property
    def place(self) -> Path:
        """What it is read from, in full: the folder, or the lone note."""
        return (self.root / self.files[0] if self.lone else self.root).resolve()

    def named(self, file: str) -> str:
        """A file as it is shown to the person."""
        return f"{self.shown}/{file}" if self.shown else file


@dataclass(frozen=True, slots=True)
class Deck:
    """A deck, read. paused_points: ids of points with an error; paused_files: notes that couldn't be read: the
    cards of both pause, they are not withdrawn. mark: its fingerprint, where it wasn't read from notes; notes: digest
    of its notes alone; read_by: digest of the program that read them, where that isn't this one; pieces: what of the
    notes each card was read from, by the card's `source`; errors: how many stand in its notes."""

    record: Record
    points: tuple[Point, ...]
    cards: tuple[Card, ...]
    source: Source
    mark: str = ""
    paused_points: frozenset[str] = frozenset()
    paused_files: frozenset[str] = frozenset()
    notes: str = ""
    read_by: str | None = None
    pieces: Mapping[str, str] = field(default_factory=dict)
    errors: int = 0

    @property
    def reading(self) -> str:
        """A digest of the program that read its notes."""
        from recall.deck.source import reading

        return reading() if self.read_by is None else self.read_by

    @property
    def fingerprint(self) -> str:
        """Another one when any source changes, or the way of reading."""
        return self.mark or f"{self.reading} {self.notes}"
