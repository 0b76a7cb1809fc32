"""A source into a deck: notes, points, cards, and every finding about them."""

import gc
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from recall.base.dataclass import dataclass, field, replace
from recall.base.errors import RecallError
from recall.base.finding import Finding, Place, finding
from recall.deck.checks import CHECKS, Material
from recall.deck.combine import Asked, combine
from recall.deck.held import Held
from recall.deck.model import Accepted, Deck, Record, Source
from recall.deck.once import ask_once
from recall.deck.record import Head, passed_over, read_head, record_from
from recall.deck.source import HEAD, file_shown, find_sources, notes_digest
from recall.kinds.effectivity import spelled
from recall.kinds.fates import Account, Fate, fates_of
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Point, Scope
from recall.kinds.registry import KINDS
from recall.kinds.steps.memory import says_memory
from recall.notes.model import Note, Table
from recall.quantity import comma_decimals


def read_deck(
    source: Source | Path, *, today: date | None = None, kinds: Sequence[Kind] = KINDS
) -> tuple[Deck, list[Finding]]:
    """Read one deck. today: for `past-review-date`, not checked where None.

    Findings name files relative to the deck's root. Raises RecallError where a path holds no deck, or several.
    """
    if isinstance(source, Path):
        sources = find_sources(source)
        if len(sources) > 1:
            raise RecallError(f"`{source}` holds several decks", "name one of its folders")
        source = sources[0]
    with all_kept():
        return _read_deck(_Read(source, kinds), today)


def read_fates(source: Source, kinds: Sequence[Kind] = KINDS) -> list[Fate]:
    """What became of each piece of a deck's notes, file by file; findings about the deck as a whole aside."""
    accounts: list[Account] = []
    _Read(source, kinds, accounts=accounts).notes_and_points()
    order = {file_shown(file): at for at, file in enumerate(source.files)}
    return sorted(fates_of(accounts), key=lambda fate: order.get(fate.place.file, -1))


@dataclass(frozen=True, slots=True)
class Written:
    """A deck as it stands while it is being written. notes: by file, as findings name it, with what was made of each
    of its blocks."""

    deck: Deck
    findings: tuple[Finding, ...]
    notes: Mapping[str, tuple[Note, Sequence[Account]]]

    def fates(self, file: str, first: int = 1, last: int = 1 << 30) -> list[Fate]:
        """What became of each piece of a note. first, last: lines that are looked at; tables beyond are left out."""
        return fates_of(self.notes[file][1], first, last)


def read_written(source: Source, held: Held, today: date | None = None) -> Written:
    """Read a deck with all that became of its notes. held: what earlier readings made of notes that still stand as
    they did, which is taken over; it holds this one's afterwards."""
    held.lent.clear()
    with all_kept():
        read = _Read(source, KINDS, held=held)
        deck, findings = _read_deck(read, today)
    notes = {note.file: (note, held.makes[note.file][2].accounts) for note in read.notes}
    return Written(deck, tuple(findings), notes)


@contextmanager
def all_kept() -> Iterator[None]:
    """No search for garbage while a deck is read: all that is made is kept anyway."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _read_deck(read: "_Read", today: date | None) -> tuple[Deck, list[Finding]]:
    source, kinds = read.source, read.kinds
    read.notes_and_points()
    combined = combine(read.points, kinds, read.record.deck, read.held.cards)
    read.findings += combined.findings
    made_of = combined.sources
    if any(one.point.kind == "supply" for one in combined.asked):
        from recall.deck.supply_cards import ask_supplies

        made_of |= ask_supplies(combined.asked, read.record.deck)
    said, computed = ask_once(combined.asked, read.record.deck)
    read.findings += said
    made_of |= computed
    for name, parts in made_of.items():
        read.pieces[name] = "\n".join(read.pieces[part] for part in parts)
    material = Material(read.record, source, tuple(read.notes), tuple(combined.asked), today, tuple(kinds))
    for check in CHECKS:
        read.findings += check(material)
    asked = combined.asked
    deck = Deck(
        record=read.record,
        points=tuple(one.point for one in asked),
        cards=tuple(_with_near(asked, material.near)),
        source=source,
        paused_points=frozenset(one.point.digest(read.record.deck) for one in asked if one.point.faulty),
        paused_files=frozenset(read.unread),
        notes=notes_digest(source),
        pieces=read.pieces,
    )
    return deck, _in_order(_without_accepted(read.findings, read.record.accept), source)


def _with_near(asked: Sequence[Asked], near: Mapping[str, list[str]]) -> Iterator[Card]:
    """All cards to be asked; those that invite confusion say with which others."""
    for one in asked:
        for card in one.cards if not one.point.faulty else ():
            others = near.get(card.id)
            yield replace(card, near=tuple(others)) if others else card


@dataclass(slots=True)
class _Read:
    source: Source
    kinds: Sequence[Kind]
    record: Record = field(default_factory=lambda: Record("deck"))
    notes: list[Note] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    accounts: list[Account] | None = None
    pieces: dict[str, str] = field(default_factory=dict)
    held: Held = field(default_factory=Held)

    def notes_and_points(self) -> None:
        for file in self.source.files:
            named = file_shown(file)
            note, findings = self.held.note(self.source.root / file, named)
            self.findings += findings
            if note is None:
                self.unread.append(named)
            else:
                self.notes.append(note)
        for file, why in self.source.left:
            place = Place(file_shown(file), 1)
            help = "take the link out, or put the note itself in its place"
            self.findings.append(finding("unreadable-file", place, f"the link isn't followed: {why}", help))
            self.unread.append(place.file)
        heads = self.heads()
        for note in self.notes:
            own = heads[note.file]
            start = Scope(
                topic=tuple(part.strip() for part in own.get("topic", "").split(" / ") if part.strip()),
                source=own.get("source", ""),
                applies=self.record.applies_to,
                memory=says_memory(self.record.title),
                comma=comma_decimals(_cells(note)),
            )
            made = self.held.made(note, self.kinds, start, self.record)
            for point in made.points:
                point.fits = spelled(point.applies, self.record.aircraft)
            self.pieces |= made.pieces
            self.points += made.points
            self.findings += made.findings
            if self.accounts is not None:
                self.accounts += made.accounts

    def heads(self) -> dict[str, Mapping[str, str]]:
        """Read the record; what each note's front matter says of topic and source, by file."""
        lone = len(self.source.files) == 1
        named = Path(self.source.files[0]).stem if self.source.lone else self.source.root.resolve().name
        said: dict[str, Mapping[str, str]] = {}
        heads: list[Head] = []
        for at, note in enumerate(self.notes):
            holds = lone or note.file == HEAD
            head = read_head(note.front_matter, note.file, inner=not holds)
            heads.append(head)
            self.findings += head.findings
            said[note.file] = head.values
            if at == 0:
                line = note.front_matter.line if holds and note.front_matter else 1
                self.record, own = record_from(head if holds else Head(), named, line)
                said[note.file] = own if holds else head.values
        self.findings += passed_over(heads)
        return said


def _cells(note: Note) -> Iterator[str]:
    for block in note.blocks:
        if isinstance(block, Table):
            for row in block.rows:
                yield from (cell.plain for cell in row.cells)


def _without_accepted(findings: list[Finding], accepted: Sequence[Accepted]) -> list[Finding]:
    def accepts(entry: Accepted, said: Finding) -> bool:
        place = said.place
        return entry.rule == said.rule and (
            entry.where in ("", place.file, f"{place.file}:{place.line}")
            or f"`{entry.where}`" in said.message
        )

    return [said for said in findings if not any(accepts(entry, said) for entry in accepted)]


def _in_order(findings: list[Finding], source: Source) -> list[Finding]:
    order = {file_shown(file): at for at, file in enumerate(source.files)}
    return sorted(
        findings,
        key=lambda said: (
            order.get(said.place.file, -1), said.place.line, said.place.column, said.rule, said.message
        ),
    )  # fmt: skip
