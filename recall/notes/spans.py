"""The grid of an HTML table: rows and columns out of cells that span several."""

from recall.base.dataclass import dataclass, field
from recall.base.finding import Place
from recall.notes.model import Row, Table, Text

_MOST = 65_536
"""Cells of one table that nobody wrote: repeated by spans, or missing at the end of rows."""


class TooWideError(Exception):
    """A table that would have far more cells than were written."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell as written. across, down: how many columns and rows it spans; heads: written as a header."""

    text: Text
    across: int = 1
    down: int = 1
    heads: bool = False


@dataclass(slots=True)
class _Line:
    place: Place
    section: str
    cells: list[Cell] = field(default_factory=list)


class Grid:
    """Gathers the rows of an HTML table."""

    def __init__(self, place: Place) -> None:
        self.place = place
        self._lines: list[_Line] = []
        self._section = ""

    def section(self, name: str) -> None:
        """Enter the head, the body or the foot; empty: leave it."""
        self._section = name

    def row(self, place: Place) -> None:
        """Begin a row."""
        self._lines.append(_Line(place, self._section))

    def add(self, cell: Cell) -> None:
        """Add a cell to the row begun last."""
        if not self._lines or self._lines[-1].section != self._section:
            self.row(cell.text.place)
        self._lines[-1].cells.append(cell)

    def table(self, topic: tuple[str, ...], lead: Text | None) -> Table | None:
        """The table with each span repeated in all its places; none where it has no cell.

        Raises TooWideError where spans and missing cells come to more than a table may have.
        """
        lines = [line for line in self._lines if line.cells]
        if not lines:
            return None
        heading = _heading(lines)
        filled, room = _fill(lines, heading)
        headers = _joined(filled[:heading])
        rows = []
        for line, cells in zip(lines[heading:], filled[heading:], strict=True):
            texts = [cell.text for cell in cells]
            missing = max(0, len(headers) - len(texts))
            room -= missing
            if room < 0:
                raise TooWideError
            texts += [Text("", line.place)] * missing
            spare = tuple(texts[len(headers) :])
            rows.append(Row(tuple(texts[: len(headers)]), line.place, spare if any(spare) else ()))
        return Table(headers, tuple(rows), topic, self.place, lead)


def _heading(lines: list[_Line]) -> int:
    """How many rows are headers: the head's, or the first ones of header cells only, or else the first one."""
    count = 0
    for line in lines:
        if line.section != "thead" and not (
            line.section != "tfoot" and all(cell.heads for cell in line.cells)
        ):
            break
        count += 1
    return max(1, count)


def _fill(lines: list[_Line], heading: int) -> tuple[list[list[Cell]], int]:
    """Each row's cells, spans repeated, and the room left. A span doesn't reach from the headers into the rows."""
    filled: list[list[Cell]] = []
    over: dict[int, tuple[Cell, int]] = {}
    room = _MOST
    for number, line in enumerate(lines):
        if number == heading:
            over.clear()
        row: list[Cell] = []
        under: dict[int, tuple[Cell, int]] = {}
        for cell in line.cells:
            room -= _carry(row, over, under) + cell.across - 1
            if room < 0:
                raise TooWideError
            for _ in range(cell.across):
                if cell.down > 1:
                    under[len(row)] = (cell, cell.down - 1)
                row.append(cell)
        while over:
            room -= _carry(row, over, under)
            if over:
                row.append(Cell(Text("", line.place)))
                room -= 1
        filled.append(row)
        over = under
    return filled, room


def _carry(row: list[Cell], over: dict[int, tuple[Cell, int]], under: dict[int, tuple[Cell, int]]) -> int:
    """Fill the next places of a row with the cells that span down into them; returns how many.

    over: by column, what reaches into this row and for how many rows; under: what reaches into the next.
    """
    filled = 0
    while len(row) in over:
        cell, left = over.pop(len(row))
        if left > 1:
            under[len(row)] = (cell, left - 1)
        row.append(cell)
        filled += 1
    return filled


def _joined(rows: list[list[Cell]]) -> tuple[Text, ...]:
    """One header a column out of one or more header rows: `Oil` over `Min` is `Oil Min`."""
    headers = []
    for column in range(max(map(len, rows))):
        texts = [row[column].text for row in rows if column < len(row)]
        distinct = [text for at, text in enumerate(texts) if text and text not in texts[:at]]
        if len(distinct) > 1:
            plain = " ".join(text.plain for text in distinct)
            headers.append(Text(plain, distinct[-1].place))
        else:
            headers.append(distinct[0] if distinct else texts[0])
    return tuple(headers)
