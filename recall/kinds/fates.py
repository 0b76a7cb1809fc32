"""What became of each piece of a note: asked, shown with an answer, told in a finding, or passed over by a rule."""

from collections.abc import Iterator, Sequence
from typing import Literal

from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.finding import Finding, Place
from recall.base.text import one_line
from recall.kinds.model import Point
from recall.kinds.steps.telling import links
from recall.kinds.tables.headers import Match
from recall.notes.model import Block, Code, Definitions, Heading, List, Paragraph, Row, Table, Text

_COUNT = re.compile(r"\(?\d+[.)]?")
Ending = Literal["asked", "shown", "told", "passed over"]
ENDINGS: tuple[Ending, ...] = ("asked", "shown", "told", "passed over")
"""The ends of pieces, what tells most first."""


@dataclass(frozen=True, slots=True)
class Fate:
    """One piece and its one fate. piece: heading, paragraph, cell, item, definition or code; words: what it says;
    why: the finding's message, or the rule by which it is passed over; empty for what is asked or shown."""

    place: Place
    piece: str
    words: str
    fate: Ending
    why: str = ""


@dataclass(frozen=True, slots=True)
class Account:
    """A block as it was read: the points and findings that it made. whole: all its items are read as one; said: why
    it is passed over, or how it is shown (`asked`, `shown`); matches: how a table was matched, by the kinds that
    read it; down: lines that all of it stands further down by now."""

    block: Block
    points: Sequence[Point] = ()
    findings: Sequence[Finding] = ()
    whole: bool = False
    said: str = ""
    matches: Sequence[Match] = ()
    down: int = 0


def fates_of(accounts: Sequence[Account]) -> list[Fate]:
    """Each piece of the blocks with its fate, in order."""
    fates: dict[tuple[str, int, int, str], Fate] = {}
    for fate in (fate for account in accounts for fate in _down(account)):
        key = fate.place.file, fate.place.line, fate.place.column, fate.piece
        if key not in fates or ENDINGS.index(fate.fate) < ENDINGS.index(fates[key].fate):
            fates[key] = fate
    return [fates[key] for key in sorted(fates)]


def _down(account: Account) -> Iterator[Fate]:
    """The fates of a block where it stands now."""
    for fate in _fates(account):
        place = fate.place
        yield replace(fate, place=replace(place, line=place.line + account.down)) if account.down else fate


def _fates(account: Account) -> Iterator[Fate]:
    block = account.block
    if isinstance(block, Table):
        yield from _cells(account, block)
    elif isinstance(block, List):
        yield from _items(account, block)
    elif isinstance(block, Definitions):
        for entry in block.entries:
            yield _line(account, "definition", entry.term, {entry.term.place.line})
    elif isinstance(block, Heading):
        why = "" if account.points else account.said or "a heading"
        fate: Ending = "asked" if account.points else "passed over"
        yield Fate(block.text.place, "heading", one_line(block.text.plain), fate, why)
    elif isinstance(block, Paragraph):
        yield _line(account, "paragraph", block.text, {block.text.place.line})
    elif isinstance(block, Code):
        yield _line(account, "code", Text(block.plain, block.place), {block.place.line})


def _line(account: Account, piece: str, text: Text, lines: set[int]) -> Fate:
    """The fate of what stands in one place."""
    words = one_line(text.plain)
    if account.said in ("asked", "shown"):
        return Fate(text.place, piece, words, "asked" if account.said == "asked" else "shown")
    if account.points and (account.whole or lines & _lines(account.points)):
        return Fate(text.place, piece, words, "asked")
    if told := _told(account, lines):
        return Fate(text.place, piece, words, "told", told)
    return Fate(text.place, piece, words, "passed over", account.said or "prose")


def _items(account: Account, block: List) -> Iterator[Fate]:
    for item in block.items:
        lines = {item.place.line, item.text.place.line}
        fate = _line(account, "item", item.text, lines)
        if fate.fate == "passed over" and not account.said:
            why = "a link" if links(item.text) else "a title over a list" if item.below else "prose"
            fate = Fate(fate.place, "item", fate.words, "passed over", why)
        yield fate
        for below in item.below:
            if isinstance(below, List):
                yield from _items(account, below)
            elif isinstance(below, Paragraph):
                yield _line(account, "paragraph", below.text, {below.text.place.line, *lines})


def _cells(account: Account, table: Table) -> Iterator[Fate]:
    """Of a table: a cell is asked where its row makes a point and its column is known, else shown with that point."""
    lines = _lines(account.points)
    shown = set(range(len(table.headers)))
    for match in account.matches:
        lines |= {line for line, _ in match.sheet.carried} if account.points else set()
        shown &= set(match.shown)
    known = set(range(len(table.headers))) - (shown if account.matches else set())
    counted = {at for match in account.matches for at, role in match.roles.items() if role == "step"}
    if account.whole and not account.matches:
        counted = {0}  # steps that go on with those of the table above
    for row in table.rows:
        for at, cell in enumerate((*row.cells, *row.spare)):
            if at in counted and _COUNT.fullmatch(cell.plain.strip()):
                yield Fate(cell.place, "cell", one_line(cell.plain), "passed over", "the number of a step")
            elif cell:
                yield _cell(account, row, cell, lines, "asked" if at in known else "shown")


def _cell(account: Account, row: Row, cell: Text, lines: set[int], fate: Ending) -> Fate:
    words = one_line(cell.plain)
    if account.said in ("asked", "shown"):
        return Fate(cell.place, "cell", words, "asked" if account.said == "asked" else "shown")
    at = [said for said in account.findings if said.place == cell.place]
    if not at and not lines.isdisjoint((row.place.line, row.cells[0].place.line)):
        return Fate(cell.place, "cell", words, fate)
    told = at[0].message if at else _told(account, {row.place.line})
    if not told and account.findings and any(match.subject < 0 for match in account.matches):
        told = account.findings[0].message
    if told:
        return Fate(cell.place, "cell", words, "told", told)
    return Fate(cell.place, "cell", words, "passed over", "the head of the table over again")


def _told(account: Account, lines: set[int]) -> str:
    """What is said of lines, or of the whole block."""
    for said in account.findings:
        if said.place.line in lines or said.rule == "empty-template":
            return said.message
    first = next((said for said in account.findings if said.place.line == _first(account.block)), None)
    return first.message if first is not None else ""


def _first(block: Block) -> int:
    return block.text.place.line if isinstance(block, Heading | Paragraph) else block.place.line


def _lines(points: Sequence[Point]) -> set[int]:
    """The lines where points and their parts stand."""
    return {point.place.line for point in points} | {part.place.line for one in points for part in one.parts}
