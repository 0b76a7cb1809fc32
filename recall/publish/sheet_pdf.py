"""A study sheet as PDF: marking and caution on each page, heads of tables again on each page."""

import io
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    Image,
    KeepTogether,
    LongTable,
    PageTemplate,
    Spacer,
    TableStyle,
)

from recall.base.text import CAUTION
from recall.publish.diagram_pdf import Drawing
from recall.publish.paper import BOLD, REGULAR, fonts, marked_up, paper, printable
from recall.publish.sheet import COMMON, Block, Figure, Row, Sheet, Steps, Table
from recall.publish.tags import Element, Tagged, TaggedCanvas, paragraph

_SIDE, _TOP, _FOOT = 14 * mm, 18 * mm, 20 * mm
_PAD = 3.0
_NARROWEST, _WIDEST = 34.0, 172.0
"""Points that a column takes at least, and for one word at most."""
_MOST_WIDE, _MOST_HIGH = 110 * mm, 60 * mm


def sheet_pdf(sheet: Sheet, size: str = "a4") -> bytes:
    """The whole file. size: `a4` or `letter`."""
    fonts()
    into = io.BytesIO()
    width, height = paper(size)
    document = BaseDocTemplate(into, pagesize=(width, height), title=printable(sheet.title), invariant=1)
    tags = Element("Document")
    frame = Frame(_SIDE, _FOOT, width - 2 * _SIDE, height - _TOP - _FOOT, 0, 0, 0, 0)

    def edges(canvas: Any, _: BaseDocTemplate) -> None:
        with canvas.artifact():
            _edges(canvas, sheet, width, height)

    document.addPageTemplates([PageTemplate("page", [frame], onPage=edges)])
    flow = list(_flow(sheet, width - 2 * _SIDE, height - _TOP - _FOOT, tags))
    document.build(flow, canvasmaker=partial(TaggedCanvas, tags))
    return into.getvalue()


def _edges(canvas: Canvas, sheet: Sheet, width: float, height: float) -> None:
    """Marking and caution above, the revision and the page below."""
    canvas.saveState()
    canvas.setFont(BOLD, 7.5)
    canvas.drawCentredString(width / 2, height - 10 * mm, CAUTION)
    canvas.drawCentredString(width / 2, 13 * mm, CAUTION)
    canvas.setFont(REGULAR, 7.5)
    if sheet.marking:
        canvas.drawCentredString(width / 2, height - 14 * mm, printable(sheet.marking))
    canvas.drawString(_SIDE, 9 * mm, printable(sheet.foot)[:110])
    canvas.drawRightString(width - _SIDE, 9 * mm, f"page {canvas.getPageNumber()}")
    canvas.restoreState()


def _style(
    name: str, size: float, *, bold: bool = False, before: float = 0, after: float = 0
) -> ParagraphStyle:
    return ParagraphStyle(
        name,
        fontName=BOLD if bold else REGULAR,
        fontSize=size,
        leading=size * 1.25,
        spaceBefore=before,
        spaceAfter=after,
        splitLongWords=1,
        keepWithNext=1 if name.startswith("head") else 0,
    )


_TITLE = _style("head title", 16, bold=True, after=4)
_SECTION = _style("head section", 12.5, bold=True, before=12, after=3)
_TOPIC = _style("head topic", 9.5, bold=True, before=8, after=3)
_LIST = _style("head list", 9, bold=True, before=4, after=2)
_PLAIN = _style("plain", 8.5)
_CELL = _style("cell", 7.5)
_HEAD = _style("cell head", 7.5, bold=True)
_CRITICAL = _style("cell critical", 7.5, bold=True)
_BELOW = _style("below", 7.5)
_UNDER = ParagraphStyle("step below", parent=_BELOW, leftIndent=14)
_STEP = ParagraphStyle(
    "step", parent=_PLAIN, leftIndent=14, bulletIndent=0, bulletFontName=REGULAR, bulletFontSize=8.5
)
_MARK = "CRITICAL: "


class _Diagram(Tagged, Drawing):
    """The diagram, as a picture with words for it."""


class _Image(Tagged, Image):
    """A picture, with words for it."""


class _Table(LongTable):
    """A table whose lines and grounds are no content."""

    canv: Any

    def _drawBkgrnd(self) -> None:  # noqa: N802
        with self.canv.artifact():
            super()._drawBkgrnd()  # type: ignore[misc]

    def _drawLines(self) -> None:  # noqa: N802
        with self.canv.artifact():
            super()._drawLines()  # type: ignore[misc]


def _flow(sheet: Sheet, width: float, height: float, tags: Element) -> Iterator[Flowable]:
    yield paragraph(tags, "H1", marked_up(sheet.title), _TITLE)
    for label, text in sheet.facts:
        yield paragraph(tags, "P", f"{marked_up(label)}: {marked_up(text)}", _PLAIN)
    yield Spacer(0, 4)
    yield paragraph(tags, "P", "Points marked CRITICAL must be known without fail.", _PLAIN)
    for section in sheet.sections:
        part = tags.child("Sect")
        yield paragraph(part, "H2", marked_up(section.title), _SECTION)
        if section.diagram:
            diagram = _Diagram(section.diagram, width, height - 40)
            diagram.element = part.child("Figure", f"{section.title}, drawn; the table below says the same")
            yield diagram
        if section.remark:
            yield paragraph(part, "P", marked_up(section.remark), _PLAIN)
        for group in section.groups:
            heading = [paragraph(part, "H3", marked_up(group.topic), _TOPIC)] if group.topic else []
            for block in group.blocks:
                yield from _block(block, width, heading, part)
                heading = []


def _block(block: Block, width: float, heading: Sequence[Flowable], into: Element) -> Iterator[Flowable]:
    if isinstance(block, Table):
        yield from heading
        yield _table(block, width, into.child("Table"))
    elif isinstance(block, Figure):
        yield KeepTogether([*heading, *_figure(block, into)])
    else:
        parts = [*heading, *_steps(block, into)]
        yield KeepTogether(parts[:12])
        yield from parts[12:]


def _figure(block: Figure, into: Element) -> Iterator[Flowable]:
    """A picture above its words; of a drawing that paper can't show, where it lies."""
    words = block.words
    try:
        image = _Image(io.BytesIO(block.picture.content))
        scale = min(1.0, _MOST_WIDE / image.drawWidth, _MOST_HIGH / image.drawHeight)
    except (OSError, ValueError):  # the library reads pictures of dots alone, and those that are whole
        words += f" ({block.picture.path}, shown on a screen)"
    else:
        wide, high = image.drawWidth * scale, image.drawHeight * scale
        image.drawWidth, image.drawHeight, image.hAlign = wide, high, "LEFT"
        image.element = into.child("Figure", block.picture.words or block.words)
        yield Spacer(0, 4)
        yield image
    yield paragraph(into, "P", marked_up(words), _BELOW)


def _folded(table: Table, width: float) -> Table:
    """A table whose words have room: while they have none, the column with the fewest cells goes into the notes."""
    heads = list(table.heads)
    rows = [dict(zip(heads, row.cells, strict=True)) for row in table.rows]
    critical = [row.critical for row in table.rows]
    while sum(_least(table)) > width and (others := [head for head in heads[1:] if head not in COMMON]):
        thin = min(others, key=lambda head: sum(bool(row[head]) for row in rows))
        heads.remove(thin)
        heads += [COMMON[0]] * (COMMON[0] not in heads)
        for row in rows:
            said = f"{thin}: {row[thin]}" if row[thin] else ""
            row[COMMON[0]] = "; ".join(filter(None, (said, row.get(COMMON[0], ""))))
        cells = [tuple(row[head] for head in heads) for row in rows]
        table = Table(tuple(heads), tuple(map(Row, cells, critical)))
    return table


def _table(table: Table, width: float, into: Element) -> Flowable:
    table = _folded(table, width)
    line = into.child("TR")
    rows = [[paragraph(line, "TH", marked_up(head), _HEAD) for head in table.heads]]
    style: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("GRID", (0, 0), (-1, -1), 0.4, colors.grey),
        ("BACKGROUND", (0, 0), (-1, 0), colors.HexColor("#e8eaee")),
        ("LEFTPADDING", (0, 0), (-1, -1), _PAD),
        ("RIGHTPADDING", (0, 0), (-1, -1), _PAD),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
    ]
    for number, row in enumerate(table.rows, start=1):
        first, *others = (marked_up(cell) for cell in row.cells)
        if row.critical:
            style.append(("LINEBEFORE", (0, number), (0, number), 3, colors.black))
            first = _MARK + first
        line = into.child("TR")
        rows.append(
            [
                paragraph(line, "TD", first, _CRITICAL if row.critical else _CELL),
                *(paragraph(line, "TD", cell, _CELL) for cell in others),
            ]
        )
    return _Table(rows, colWidths=_widths(table, width), repeatRows=1, style=TableStyle(style), splitInRow=1)


def _widths(table: Table, width: float) -> list[float]:
    """Columns by what they hold, none narrower than its longest word where there is room."""
    least, wish = _least(table), []
    for cells in _columns(table):
        whole = sorted(stringWidth(printable(cell), REGULAR, 7.5) for cell in cells)
        wish.append(whole[int(len(whole) * 0.9)] ** 0.75 * 3)
    room = width - sum(least)
    if room <= 0:
        return [one * width / sum(least) for one in least]
    more = [max(0.1, want - have) for want, have in zip(wish, least, strict=True)]
    return [have + room * one / sum(more) for have, one in zip(least, more, strict=True)]


def _columns(table: Table) -> Iterator[list[str]]:
    for at in range(len(table.heads)):
        yield [(_MARK if row.critical and not at else "") + row.cells[at] for row in table.rows]


def _least(table: Table) -> list[float]:
    """How wide each column must be for its longest word."""
    least = []
    for head, cells in zip(table.heads, _columns(table), strict=True):
        words = [*head.split(), *(word for cell in cells for word in cell.split())]
        longest = max(stringWidth(printable(word), BOLD, 7.5) for word in words) + 2 * _PAD + 1
        least.append(max(_NARROWEST, min(longest, _WIDEST)))
    return least


def _steps(steps: Steps, into: Element) -> Iterator[Flowable]:
    yield paragraph(into, "H4", (_MARK if steps.critical else "") + marked_up(steps.title), _LIST)
    listed = into.child("L")
    for number, step in enumerate(steps.steps, start=1):
        text = (_MARK if step.critical and not steps.critical else "") + marked_up(step.text)
        item = listed.child("LI")
        yield paragraph(item, "LBody", text, _STEP, bulletText=f"{number}." if steps.numbered else None)
        for line in step.below:
            yield paragraph(item, "LBody", marked_up(line), _UNDER)
    for line in steps.below:
        yield paragraph(into, "P", marked_up(line), _BELOW)
    yield Spacer(0, 4)
