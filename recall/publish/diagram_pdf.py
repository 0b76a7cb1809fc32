"""The diagram of supplies on a page of a PDF: our own SVG drawn again, as large as the page allows."""

from typing import Any
from xml.etree import ElementTree as Xml

from reportlab.lib.colors import Color, black, white
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from recall.base import regex as re
from recall.publish.paper import BOLD, REGULAR, printable

_NARROWER = 0.88
"""The letters of paper are wider than those that the picture was laid out for."""
_STEP = re.compile(r"([MLHVhZ])([^MLHVhZ]*)")


class Drawing(Flowable):
    """One SVG as `diagram.svg` writes it: paths of straight lines, boxes, dots and words."""

    def __init__(self, svg: str, width: float, height: float) -> None:
        super().__init__()
        self.root = Xml.fromstring(svg)
        _, _, self.wide, self.high = map(float, self.root.attrib["viewBox"].split())
        upright = min(width / self.wide, height / self.high, 1.0)
        turned = min(width / self.high, height / self.wide, 1.0)
        self.turned = turned > upright * 1.1
        self.scale = turned if self.turned else upright
        across, down = (self.high, self.wide) if self.turned else (self.wide, self.high)
        self.width, self.height = across * self.scale, down * self.scale

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its size on paper."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it; the page is turned on its side where the picture is larger so."""
        canvas: Canvas = self.canv
        canvas.saveState()
        if self.turned:
            canvas.translate(self.width, 0)
            canvas.rotate(90)
        canvas.scale(self.scale, self.scale)
        self._all(canvas, self.root, 0.0, 0.0)
        canvas.restoreState()

    def _all(self, canvas: Canvas, parent: Xml.Element, dx: float, dy: float) -> None:
        for one in parent:
            tag, look = one.tag.rpartition("}")[2], one.attrib
            if tag == "g":
                x, y = map(float, re.findall(r"[-\d.]+", look["transform"]))
                self._all(canvas, one, dx + x, dy + y)
            elif tag == "path":
                self._path(canvas, look, dx, dy)
            elif tag == "rect":
                high = float(look["height"])
                x, y = self._at(float(look.get("x", 0)) + dx, float(look.get("y", 0)) + dy + high)
                drawn = _pens(canvas, look)
                canvas.rect(x, y, float(look["width"]), high, **drawn)
            elif tag == "circle":
                canvas.setFillColor(black)
                x, y = self._at(float(look["cx"]) + dx, float(look["cy"]) + dy)
                canvas.circle(x, y, float(look["r"]), 0, 1)
            elif tag == "text":
                self._text(canvas, one, dx, dy)

    def _at(self, x: float, y: float) -> tuple[float, float]:
        """Paper counts upwards."""
        return x, self.high - y

    def _path(self, canvas: Canvas, look: dict[str, str], dx: float, dy: float) -> None:
        drawn = _pens(canvas, look)
        path = canvas.beginPath()
        x = y = 0.0
        for letter, numbers in _STEP.findall(look["d"]):
            values = [float(number) for number in numbers.split()]
            if letter == "Z":
                path.close()
                continue
            if letter in "ML":
                x, y = values[0] + dx, values[1] + dy
            elif letter == "V":
                y = values[0] + dy
            else:
                x = x + values[0] if letter == "h" else values[0] + dx
            (path.moveTo if letter == "M" else path.lineTo)(*self._at(x, y))
        canvas.drawPath(path, **drawn)
        canvas.setDash()

    def _text(self, canvas: Canvas, one: Xml.Element, dx: float, dy: float) -> None:
        look = one.attrib
        font = BOLD if look.get("font-weight") == "bold" else REGULAR
        size = float(look.get("font-size", 12)) * _NARROWER
        text = printable(one.text or "")
        x, y = self._at(float(look["x"]) + dx, float(look["y"]) + dy)
        wide = canvas.stringWidth(text, font, size)
        x -= {"middle": wide / 2, "end": wide}.get(look.get("text-anchor", ""), 0.0)
        if "paint-order" in look:
            canvas.setFillColor(white)
            canvas.rect(x - 1, y - 2, wide + 2, size, 0, 1)
        canvas.setFillColor(black)
        canvas.setFont(font, size)
        canvas.drawString(x, y, text)


def _pens(canvas: Canvas, look: dict[str, str]) -> dict[str, Any]:
    """Set colours and lines; what is to be drawn of a shape."""
    fill, stroke = look.get("fill", "black"), look.get("stroke", "none")
    colours: dict[str, Color] = {"black": black, "white": white}
    canvas.setFillColor(colours.get(fill, black))
    canvas.setStrokeColor(colours.get(stroke, black))
    canvas.setLineWidth(float(look.get("stroke-width", 1)))
    dash = [float(part) for part in look.get("stroke-dasharray", "").split()]
    canvas.setDash(dash) if dash else canvas.setDash()
    return {
        "stroke": int(stroke != "none"),
        "fill": int(fill != "none" and not (stroke == "black" and fill == "black")),
    }
