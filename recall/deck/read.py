"""A source into a deck: notes, points, cards, and every finding about them."""

import gc
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.base.finding import Finding, Place, finding
from recall.deck.checks import STAGES
from recall.deck.held import Held, Made
from recall.deck.material import Material
from recall.deck.model import Accepted, Deck, Source
from recall.deck.record import Head, passed_over, read_head, record_from
from recall.deck.source import HEAD, file_shown, find_sources, notes_digest
from recall.kinds.effectivity import spelled
from recall.kinds.fates import Fate, fates_of
from recall.kinds.kind import Kind
from recall.kinds.model import Card, Scope
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
    return _read(Material(source, kinds, today), Held())


@dataclass(frozen=True, slots=True)
class Written:
    """A deck as it stands while it is being written. notes: what each one makes, by file as findings name it."""

    deck: Deck
    findings: tuple[Finding, ...]
    notes: Mapping[str, Made]

    def fates(self, file: str, first: int = 1, last: int = 1 << 30) -> list[Fate]:
        """What became of each piece of a note. first, last: lines that are looked at; tables beyond are left out."""
        return fates_of(self.notes[file].accounts, first, last)


def read_written(
    source: Source, held: Held, today: date | None = None, kinds: Sequence[Kind] = KINDS
) -> Written:
    """Read a deck with all that became of its notes. held: what earlier readings made of notes that still stand as
    they did, which is taken over; it holds this one's afterwards."""
    material = Material(source, kinds, today)
    deck, findings = _read(material, held)
    return Written(deck, tuple(findings), {note.file: held.makes[note.file] for note in material.notes})


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


def _read(material: Material, held: Held) -> tuple[Deck, list[Finding]]:
    with all_kept():
        _read_notes(material, held)
        for stage in STAGES:
            material.findings += stage(material)
    source, record, asked = material.source, material.record, material.asked
    findings = _in_order(_without_accepted(material.findings, record.accept), source)
    deck = Deck(
        record=record,
        points=tuple(one.point for one in asked),
        cards=tuple(_cards(material)),
        source=source,
        paused_points=frozenset(one.point.digest(record.deck) for one in asked if one.point.faulty),
        paused_files=frozenset(material.unread),
        notes=notes_digest(source),
        pieces=material.pieces,
        errors=sum(said.severity == "error" for said in findings),
    )
    return deck, findings


def _cards(material: Material) -> Iterator[Card]:
    """All cards to be asked; those that invite confusion say with which others."""
    for card in (card for one in material.live for card in one.cards):
        others = material.near.get(card.id)
        yield replace(card, near=tuple(others)) if others else card


def _read_notes(material: Material, held: Held) -> None:
    """The notes, and the points of each as copies: the stages mark them."""
    for file in material.source.files:
        named = file_shown(file)
        note, findings = held.note(material.source.root / file, named)
        material.findings += findings
        if note is None:
            material.unread.append(named)
        else:
            material.notes.append(note)
    for file, why in material.source.left:
        place = Place(file_shown(file), 1)
        help = "take the link out, or put the note itself in its place"
        material.findings.append(finding("unreadable-file", place, f"the link isn't followed: {why}", help))
        material.unread.append(place.file)
    heads = _heads(material)
    for note in material.notes:
        own, record = heads[note.file], material.record
        start = Scope(
            topic=tuple(part.strip() for part in own.get("topic", "").split(" / ") if part.strip()),
            source=own.get("source", ""),
            applies=record.applies_to,
            memory=says_memory(record.title),
            comma=comma_decimals(_cells(note)),
        )
        made = held.made(note, material.kinds, start, record)
        for at, point in enumerate(made.points):
            copy = point.copied()
            copy.fits = spelled(point.applies, record.aircraft)
            material.points.append(copy)
            material.kept[id(copy)] = made.cards, at
        material.pieces |= made.pieces
        material.findings += made.findings


def _heads(material: Material) -> dict[str, Mapping[str, str]]:
    """Read the record; what each note's front matter says of topic and source, by file."""
    source = material.source
    lone = len(source.files) == 1
    named = Path(source.files[0]).stem if source.lone else source.root.resolve().name
    said: dict[str, Mapping[str, str]] = {}
    heads: list[Head] = []
    for at, note in enumerate(material.notes):
        holds = lone or note.file == HEAD
        head = read_head(note.front_matter, note.file, inner=not holds)
        heads.append(head)
        material.findings += head.findings
        said[note.file] = head.values
        if at == 0:
            line = note.front_matter.line if holds and note.front_matter else 1
            material.record, own = record_from(head if holds else Head(), named, line)
            said[note.file] = own if holds else head.values
    material.findings += passed_over(heads)
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
