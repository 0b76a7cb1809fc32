"""The piece of the notes that a point was read from, with all that governs it: equal while nobody changed it.

It is found from a point's place and its note alone, by no rule of a kind, so that it stays the same when a later
version of the program makes something else of the same words. What isn't sure to lie apart is taken as one piece:
one that is too wide protects less where notes and program change at once, one that is too narrow hides a change.
"""

from collections.abc import Collection, Iterator, Sequence

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.text import one_line
from recall.kinds.model import Point, digest
from recall.kinds.plain import owned_by
from recall.notes.model import Block, Code, Definitions, Heading, List, Note, Paragraph, Row, Table, Text

_WHOLE_LISTS = frozenset(("supply",))
"""Kinds that make one point of a whole list."""
_AS_ABOVE = re.any_case(r"""["'”“„〃,^=\s]*|\W*(?:ditto|do|idem|(?:same )?as above|same)\W*""")
"""A cell that may say what the one above it says."""

Piece = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Stand:
    """What stands on a line. above: what governs it; what: blocks, or one row of a table."""

    above: Piece
    what: Sequence[Block] | Row

    def piece(self) -> Piece:
        """All it says."""
        if isinstance(self.what, Row):
            return (*self.above, _cells((*self.what.cells, *self.what.spare)))
        return (*self.above, *(one_line(line) for block in self.what for line in _lines(block)))


class Pieces:
    """The pieces of one note. by_heading: kinds whose points take what stands under their heading; said: what holds
    for all of the note; points: those that are asked about; texts: every piece that was asked for, by its digest."""

    def __init__(
        self, note: Note, by_heading: Collection[str], said: Piece = (), points: Sequence[Point] = ()
    ) -> None:
        self.by_heading = frozenset(by_heading)
        self.texts: dict[str, str] = {}
        self._said = tuple(map(one_line, (*said, *(line for line in note.lines if line.startswith("[^")))))
        self._at: dict[int, _Stand] = {}
        self._lists: dict[int, _Stand] = {}
        self._sections: list[tuple[int, _Stand]] = [(0, _Stand((), note.blocks))]
        self._digests: dict[tuple[int, str], str] = {}
        lines = [point.place.line for point in points] or [0]
        self._first, self._last = min(lines), max(lines)
        self._walk(note.blocks)

    def of(self, point: Point) -> str:
        """The digest of a point's piece."""
        line = point.place.line
        way = "section" if point.kind in self.by_heading else "list" if point.kind in _WHOLE_LISTS else "own"
        found = self._digests.get((line, way))
        if found is None:
            stand = self._stand(line, way)
            piece = (*self._said, *stand.piece())
            found = self._digests[line, way] = digest(piece)
            self.texts[found] = "\n".join(piece)
        return found

    def _stand(self, line: int, way: str) -> _Stand:
        if way == "list" and line in self._lists:
            return self._lists[line]
        if way != "section" and line in self._at:
            return self._at[line]
        return next(stand for start, stand in reversed(self._sections) if start <= line)

    def _walk(self, blocks: Sequence[Block]) -> None:
        headings: list[Heading] = []
        for at, block in enumerate(blocks):
            if isinstance(block, Heading):
                while headings and headings[-1].level >= block.level:
                    headings.pop()
                stand = _Stand(_heads(headings), (block, *owned_by(block, blocks, at + 1)))
                self._at[block.text.place.line] = stand
                self._sections.append((block.text.place.line, stand))
                headings.append(block)
            else:
                self._block(block, _heads(headings), blocks[at + 1 : at + 2])

    def _block(self, block: Block, above: Piece, after: Sequence[Block]) -> None:
        """Note what stands on the lines of a block. after: the block behind it, which it may introduce."""
        if isinstance(block, Table):
            if block.rows and (block.rows[-1].place.line < self._first or block.place.line > self._last):
                return
            above = (*above, *_lead(block))
            self._rows(block, (*above, _cells(block.headers)))
            self._at.setdefault(block.place.line, _Stand(above, (block,)))
        elif isinstance(block, List):
            above = (*above, *_lead(block))
            self._lists.setdefault(block.place.line, _Stand(above, (block,)))
            for item in block.items:
                alone = List((item,), block.ordered, block.topic, item.place)
                self._at.setdefault(item.place.line, _Stand(above, (alone,)))
                self._at.setdefault(item.text.place.line, _Stand(above, (alone,)))
                for at, below in enumerate(item.below):
                    self._block(below, (*above, one_line(_mark(item.text))), item.below[at + 1 : at + 2])
        elif isinstance(block, Definitions):
            for entry in block.entries:
                stand = _Stand(above, (Definitions((entry,), block.topic, block.place),))
                for text in (entry.term, *entry.meanings):
                    self._at.setdefault(text.place.line, stand)
        elif isinstance(block, Paragraph):
            leads = [next for next in after if isinstance(next, List | Table) and next.lead is block.text]
            self._at.setdefault(block.text.place.line, _Stand(above, (block, *leads)))
        elif isinstance(block, Code):
            self._at.setdefault(block.place.line, _Stand(above, (block,)))

    def _rows(self, table: Table, above: Piece) -> None:
        """Each row with all that the rows above may say for it: the cells that it leaves to them, and the last row
        that does no more than name a part of the table."""
        filled = [""] * len(table.headers)
        part = ""
        for row in table.rows:
            said = [bool(cell) for cell in row.cells]
            own = [
                some and (_begins_own(cell.plain[0]) or not _AS_ABOVE.fullmatch(cell.plain))
                for some, cell in zip(said, row.cells, strict=True)
            ]
            if sum(said) == 1:
                part = _cells(row.cells)
            first = said.index(True) if any(said) else len(said)
            left = tuple(
                one_line(filled[at]) for at in range(len(own)) if at < first or (said[at] and not own[at])
            )
            filled = [_mark(cell) if own[at] else filled[at] for at, cell in enumerate(row.cells)]
            self._at.setdefault(row.place.line, _Stand((*above, part, *left), row))


def _begins_own(sign: str) -> bool:
    """Whether no cell that begins so says what the one above it says."""
    return sign.isalnum() and sign not in "DdIiSsAa"


def _heads(headings: Sequence[Heading]) -> Piece:
    return tuple(one_line(_mark(heading.text)) for heading in headings)


def _lead(block: Table | List) -> Piece:
    return (one_line(_mark(block.lead)),) if block.lead else ()


def _cells(cells: Sequence[Text]) -> str:
    return one_line(" | ".join(map(_mark, cells)))


def _mark(text: Text) -> str:
    """Words, with what is bold in them, and those of pictures."""
    text = text.pictured or text
    if text.bold == "some":
        return " ".join(f"**{run.text}**" if run.bold else run.text for run in text.runs)
    return f"**{text.plain}**" if text.bold == "all" else text.plain


def _lines(block: Block) -> Iterator[str]:
    if isinstance(block, Heading | Paragraph):
        yield _mark(block.text)
    elif isinstance(block, Code):
        yield block.plain
    elif isinstance(block, Table):
        yield _cells(block.headers)
        yield from (_cells((*row.cells, *row.spare)) for row in block.rows)
    elif isinstance(block, Definitions):
        yield from (_cells((entry.term, *entry.meanings)) for entry in block.entries)
    else:
        for item in block.items:
            yield f"{'1.' if block.ordered else '-'} {_mark(item.text)}"
            for below in item.below:
                yield from _lines(below)
