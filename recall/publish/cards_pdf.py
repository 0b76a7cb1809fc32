"""Two-sided cards for cutting: questions on one page, their answers on its back, in place for either duplex edge."""

import io
from collections.abc import Callable, Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Paragraph

from recall.base.errors import RecallError
from recall.base.text import CAUTION
from recall.deck.model import Deck
from recall.kinds.model import Card
from recall.publish.paper import BOLD, REGULAR, fonts, marked_up, paper, printable
from recall.publish.tags import Element, TaggedCanvas

COLUMNS, ROWS = 2, 4
WIDTH, HEIGHT = 90 * mm, 62 * mm
"""Of one card, the same on every paper."""
EDGES = ("long", "short")
_PAD = 4 * mm
_SIZES = (10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0)


def cards_pdf(deck: Deck, cards: Sequence[Card], size: str = "a4", edge: str = "long") -> bytes:
    """The whole file, a front and its back by turns. edge: over which the printer turns the sheet."""
    if edge not in EDGES:
        raise RecallError(
            f"there is no edge `{edge}`", f"a sheet is turned over its edge: {' or '.join(EDGES)}"
        )
    fonts()
    into = io.BytesIO()
    width, height = paper(size)
    canvas = TaggedCanvas(Element("Document"), into, pagesize=(width, height), invariant=1)
    canvas.setTitle(printable(f"{deck.record.title or deck.record.deck}: cards"))
    cards = [card for card in cards if not card.answer.drawn]
    for start in range(0, len(cards), COLUMNS * ROWS):
        page = cards[start : start + COLUMNS * ROWS]
        for back in (False, True):
            with canvas.artifact():
                _page(canvas, deck, width, height)
            for at, card in enumerate(page):
                x, y = place(at, width, height, back=back, edge=edge)
                with canvas.artifact():
                    canvas.setLineWidth(0.3)
                    canvas.setDash(1, 2)
                    canvas.rect(x, y, WIDTH, HEIGHT)
                    canvas.setDash()
                (_back if back else _front)(canvas, card, x, y)
            canvas.showPage()
    canvas.save()
    return into.getvalue()


def place(at: int, width: float, height: float, *, back: bool, edge: str) -> tuple[float, float]:
    """Lower left corner of the card of a number on its page, in points. The back of a card lies behind its front:
    columns change sides when the sheet is turned over its long edge, rows over its short one."""
    column, row = at % COLUMNS, at // COLUMNS
    if back and edge == "long":
        column = COLUMNS - 1 - column
    elif back:
        row = ROWS - 1 - row
    left, top = (width - COLUMNS * WIDTH) / 2, (height + ROWS * HEIGHT) / 2
    return left + column * WIDTH, top - (row + 1) * HEIGHT


def _page(canvas: TaggedCanvas, deck: Deck, width: float, height: float) -> None:
    record = deck.record
    named = f"{record.title or record.deck}" + (f", revision {record.revision}" if record.revision else "")
    canvas.setFont(BOLD, 7)
    marked = " · ".join(filter(None, (record.marking, CAUTION)))
    canvas.drawCentredString(width / 2, height - 8 * mm, printable(marked))
    canvas.setFont(REGULAR, 7)
    canvas.drawCentredString(width / 2, 6 * mm, printable(f"{named} · {CAUTION}"))


def _front(canvas: TaggedCanvas, card: Card, x: float, y: float) -> None:
    _small(canvas, x, y + HEIGHT - _PAD, " / ".join(card.topic))
    if card.critical:
        _small(canvas, x, y + _PAD, "CRITICAL", bold=True, share=0.6)
    _small(canvas, x, y + _PAD, card.kind, share=0.4, right=True)
    _fitted(canvas, marked_up(card.prompt), x, y)


def _back(canvas: TaggedCanvas, card: Card, x: float, y: float) -> None:
    ordered = card.answer.ordered and len(card.answer.texts) > 1
    lines = [
        f"{number}. {marked_up(text)}" if ordered else marked_up(text)
        for number, text in enumerate(card.answer.texts, start=1)
    ]
    parts = ["<b>" + "<br/>".join(lines) + "</b>"]
    parts += [marked_up(card.why)] if card.why else []
    parts += [marked_up(f"{header}: {text}") for header, text in card.extra]
    _small(canvas, x, y + _PAD, card.cite or f"{card.file} line {card.line}")
    _fitted(canvas, "<br/>".join(parts), x, y)


def _small(
    canvas: TaggedCanvas,
    x: float,
    y: float,
    text: str,
    *,
    bold: bool = False,
    share: float = 1.0,
    right: bool = False,
) -> None:
    """A line at the edge of a card, cut to its share of the width."""
    text = printable(text)
    font = BOLD if bold else REGULAR
    room = (WIDTH - 2 * _PAD) * share
    while text and canvas.stringWidth(text, font, 6) > room:
        text = text[:-2].rstrip("…") + "…" if len(text) > 2 else ""
    if not text:
        return
    draw: Callable[[float, float, str], None] = canvas.drawRightString if right else canvas.drawString
    with canvas.tagged(canvas.document.child("P")):
        canvas.setFont(font, 6)
        draw(x + (WIDTH - _PAD if right else _PAD), y, text)


def _fitted(canvas: TaggedCanvas, markup: str, x: float, y: float) -> None:
    """Text in the middle of a card, as large as it goes in."""
    room = HEIGHT - 5 * _PAD / 2 - 8
    for size in _SIZES:
        style = ParagraphStyle("card", fontName=REGULAR, fontSize=size, leading=size * 1.25, alignment=1)
        text = Paragraph(markup, style)
        _, high = text.wrap(WIDTH - 2 * _PAD, room)
        if high <= room or size == _SIZES[-1]:
            with canvas.tagged(canvas.document.child("P")):
                text.drawOn(canvas, x + _PAD, y + (HEIGHT - min(high, room)) / 2)
            return
